"""The one gate to a plan file: whatever was changed in it, no command uses it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.actions.checked import read_plan
from cutplan.model import Job, Plan
from cutplan.planfile import to_document
from cutplan.problems import ProblemsFound
from tests.commands import run
from tests.effort import some
from tests.plan_values import changed, full_job

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.fixture(scope="module")
def full() -> tuple[Job, Plan]:
    return full_job()


@pytest.fixture(scope="module")
def written(full: tuple[Job, Plan], tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("written")
    actions.write_plan(*full, folder)
    (folder / "rack.txt").write_text("rack.ledger\n", encoding="utf-8")
    return folder


@pytest.fixture
def plan_file(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(written, tmp_path / "out")) / actions.PLAN_FILE


def altered(plan_file: Path, change: Callable[[Any], None]) -> None:
    document = json.loads(plan_file.read_text(encoding="utf-8"))
    change(document)
    plan_file.write_text(json.dumps(document), encoding="utf-8")


def no_bars(document: Any) -> None:
    document["groups"][0]["bars"] = []


def no_bars_anywhere(document: Any) -> None:
    for group in document["groups"]:
        group["bars"] = []


CHANGES: dict[str, Callable[[Any], None]] = {
    "no bars": no_bars,
    "no bars anywhere": no_bars_anywhere,
    "a hole moved": lambda document: document["parts"][0]["holes"][0].update(position="101"),
    "a hole on another face": lambda document: document["parts"][0]["holes"][0].update(face=2),
    "one wall for through": lambda document: document["parts"][0]["holes"][0].update(through=False),
    "a landing dropped": lambda document: document["parts"][0]["holes"].pop(),
    "the opposite hand": lambda document: document["parts"][1].update(opposite_hand=True),
    "another place": lambda document: document["offcuts"][0].update(place="bottom"),
    "another heat number": lambda document: document["offcuts"][0].update(heat_number="H78"),
    "a cope": lambda document: document["parts"][0].update(cope="none"),
    "a note": lambda document: document["parts"][1].update(note="left hand"),
    "a length as typed": lambda document: document["parts"][0].update(typed_length="2100"),
    "a section as typed": lambda document: document["parts"][0].update(typed_section="SHS 50x50x3"),
    "an area": lambda document: document["sections"][0].update(area="401"),
    "a surface": lambda document: document["sections"][0].update(surface_per_metre="0.2"),
    "assumptions emptied": lambda document: document["job"].update(assumptions=[]),
    "what a scale reads at square": lambda document: document["workshop"]["saw"].update(square_reads="0"),
    "a mark to paint": lambda document: document["groups"][0]["bars"][0]["drop"].update(mark="K7"),
    "a total": lambda document: document["totals"]["money"].update(to_pay="1"),
    "a part that is nowhere": lambda document: document["groups"][0]["bars"][0]["cuts"][0].update(mark="ZZ"),
}
"""What a person acts on, each changed once."""

COMMANDS = {
    "verify": (),
    "labels": (),
    "record": (),
    "record --sheet": ("sheet.xlsx",),
    "receive": (),
    "receive --sheet": ("sheet.xlsx",),
    "replan": ("--bent", "1", "--usable", "0"),
}
"""Every command that reads a plan file, with what else it needs."""


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_every_change_is_noticed(change: Callable[[Any], None], plan_file: Path) -> None:
    altered(plan_file, change)
    failures = actions.verify(plan_file)
    assert failures
    with pytest.raises(actions.CheckFailed) as refused:
        read_plan(plan_file)
    assert refused.value.failures == failures


@pytest.mark.parametrize("words", COMMANDS, ids=str)
@pytest.mark.parametrize("change", some([no_bars, CHANGES["a hole moved"], CHANGES["a part that is nowhere"]], no_bars))
def test_no_command_uses_a_plan_that_was_changed(
    change: Callable[[Any], None], words: str, plan_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(plan_file.parent)
    altered(plan_file, change)
    before = {path.name: path.read_bytes() for path in plan_file.parent.iterdir()}
    name, *option = words.split()
    result = run(name, str(plan_file), *option, *COMMANDS[words])
    assert result.exit_code == 4, result.output
    assert "does not hold" in result.output
    assert {path.name: path.read_bytes() for path in plan_file.parent.iterdir()} == before


@pytest.mark.parametrize("words", some(COMMANDS, *list(COMMANDS)[::2]), ids=str)
def test_every_command_uses_a_plan_as_it_was_written(words: str, parts: str) -> None:
    """The refusals above are for what was changed and for nothing else."""
    assert run("plan", parts, "--out", "out").exit_code == 0
    name, *option = words.split()
    result = run(name, "out/plan.json", *option, *COMMANDS[words])
    assert result.exit_code == 0, result.output


def test_of_a_plan_that_does_not_hold_no_totals_are_worked_out(plan_file: Path) -> None:
    altered(plan_file, no_bars)
    failures = actions.verify(plan_file)
    assert any("are not cut" in text for text in failures)
    assert failures[-1].startswith("its values have the digest ")


def test_what_a_file_derives_from_its_plan_is_judged_too(plan_file: Path) -> None:
    altered(plan_file, lambda document: document["groups"][0]["integers"].update(divisor="1"))
    digest, divisor = actions.verify(plan_file)
    assert "digest" in digest
    assert "divisor" in divisor


def test_a_plan_is_judged_as_values_too(small_job: Job, small_plan: Plan) -> None:
    assert actions.verify((small_job, small_plan)) == ()
    assert actions.review((small_job, small_plan)).holds


def test_a_plan_read_is_the_plan_written(full: tuple[Job, Plan], plan_file: Path) -> None:
    assert read_plan(plan_file) == full


def test_what_is_no_plan_file_is_refused(plan_file: Path) -> None:
    altered(plan_file, lambda document: document.pop("digest"))
    with pytest.raises(ProblemsFound, match="no 'digest'"):
        read_plan(plan_file)


def test_changed_puts_the_old_value_back(full: tuple[Job, Plan]) -> None:
    document = to_document(*full)
    with changed(document, ("parts", 0, "note"), "other"):
        assert document["parts"][0]["note"] == "other"
    assert document["parts"][0]["note"] == ""


def test_lists_read_again_are_compared(parts: str, tmp_path: Path) -> None:
    assert run("plan", parts).exit_code == 0
    same = run("verify", "reports/frame/plan.json", "--inputs", parts)
    assert same.exit_code == 0, same.output
    assert "the lists, read again, say what the plan file says" in same.stdout
    listed = tmp_path / "prices.csv"
    listed.write_text(listed.read_text() + "\n\n")
    again = run("verify", "reports/frame/plan.json", "--inputs", parts)
    assert again.exit_code == 0, again.output
    assert "prices.csv was written again since, in nothing that the plan rests on" in again.stdout
    (tmp_path / parts).write_text((tmp_path / parts).read_text().replace("A,4,", "A,3,"))
    other = run("verify", "reports/frame/plan.json", "--inputs", parts)
    assert other.exit_code == 4, other.output
    assert "parts.A.quantity: 4 is stated, the lists say 3" in other.stdout
    assert run("verify", "reports/frame/plan.json").exit_code == 0, "the plan file itself holds as ever"


def test_a_plan_of_the_rest_is_compared_in_what_is_left(parts: str, tmp_path: Path) -> None:
    assert run("rack", "add", "SHS 40x40x3", "6000", "--end-a", "mill", "--end-b", "mill").exit_code == 0
    assert run("plan", parts).exit_code == 0
    done = run("replan", "reports/frame/plan.json", "--spoiled", "A", "--bar", "1", "--copy", "2", "--measured", "0")
    assert done.exit_code == 0, done.output
    against = ("verify", "reports/frame/rest-1/plan.json", "--inputs", parts)
    same = run(*against)
    assert same.exit_code == 0, same.output
    assert "the lists, read again, say of what is left to cut what the plan file says" in " ".join(same.stdout.split())
    listed = tmp_path / parts
    before = listed.read_text()
    for typed, said in (("A,1,", "parts.A.quantity: "), ("Z,4,", "parts[A]: is no longer in the lists")):
        listed.write_text(before.replace("A,4,", typed))
        other = run(*against)
        assert other.exit_code == 4, other.output
        assert said in other.stdout


def test_of_a_rack_with_a_ledger_what_the_plan_uses_is_compared(parts: str) -> None:
    assert run("rack", "add", "SHS 40x40x3", "2600").exit_code == 0
    assert run("plan", parts).exit_code == 0
    against = ("verify", "reports/frame/plan.json", "--inputs", parts)
    assert "offcut" in Path("reports/frame/plan.json").read_text(encoding="utf-8")
    assert run(*against).exit_code == 0
    assert run("rack", "add", "SHS 40x40x3", "300").exit_code == 0
    assert run(*against).exit_code == 0, run(*against).output
    assert run("rack", "move", "A1", "--place", "C9").exit_code == 0
    moved = run(*against)
    assert moved.exit_code == 4
    assert 'offcuts.A1.place: "" is stated, the lists say "C9"' in moved.stdout


def test_other_files_go_with_a_parts_list(plan_file: Path) -> None:
    assert run("verify", str(plan_file), "--prices", "prices.csv").exit_code == 2
