"""The commands of costs and quotes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Plan
from tests.builders import job, offer, part
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.fixture
def plan_file(parts_planned: Plan) -> Path:
    return Path("reports/frame/plan.json")


def test_costs_in_words_and_as_json(plan_file: Path) -> None:
    told = run("cost", str(plan_file), "--transport", "12.50")
    assert told.exit_code == 0
    assert "12.50" in told.stdout
    assert "Written: " in told.stderr
    values = json.loads(run("cost", str(plan_file), "--transport", "12.50", "--json").stdout)
    assert values["files"] == [str(plan_file.with_name(name)) for name in ("cost.pdf", "cost.xlsx")]
    for row in values["rows"]:
        assert row["amount"] in told.stdout


def test_a_quote_is_kept_and_given_once(plan_file: Path) -> None:
    words = ("quote", str(plan_file), "--customer", "Fernhollow; 3 Quarry Lane", "--valid-until", "2031-06-01")
    first = json.loads(run(*words, "--json").stdout)
    assert (first["number"], first["kept"], first["before"]) == ("Q1", True, False)
    assert first["files"] == [str(plan_file.with_name(name)) for name in ("quote-Q1.pdf", "quote-Q1.xlsx")]
    assert "It is in the ledger already." in run(*words).stdout
    dearer = json.loads(run(*words, "--transport", "50", "--json").stdout)
    assert (dearer["number"], float(dearer["price"]) - float(first["price"])) == ("Q2", 50)
    assert "frame" in run("job", "list").stdout


def test_a_recorded_job_is_held_against_its_quote(plan_file: Path) -> None:
    assert run("quote", str(plan_file)).exit_code == 0
    assert run("record", str(plan_file), "--minutes", "saw 30, weld 60").exit_code == 0
    told = run("jobs", "--out", "jobs.svg")
    assert "1.50 h" in told.stdout
    assert "  weld: 1 job took " in told.stdout
    assert "# in [hours]" not in told.stdout, "one job is no reason to change a figure"
    assert Path("jobs.svg").read_text(encoding="utf-8").startswith("<svg")
    (job,) = json.loads(run("jobs", "--json").stdout)["jobs"]
    assert (job["quote"], job["minutes"], job["stage"]) == ("Q1", "90", "recorded")


def test_job_show_holds_one_job_against_its_quote(plan_file: Path) -> None:
    assert json.loads(run("job", "show", str(plan_file), "--json").stdout)["quoted"] is None
    assert run("quote", str(plan_file)).exit_code == 0
    before = run("job", "show", str(plan_file))
    assert "Quote Q1 " in before.stdout, before.output
    assert "not recorded yet" in before.stdout
    assert run("record", str(plan_file), "--minutes", "saw 30, weld 60").exit_code == 0
    told = run("job", "show", str(plan_file)).stdout
    assert "1.50 h" in told
    (listed,) = json.loads(run("jobs", "--json").stdout)["jobs"]
    assert json.loads(run("job", "show", str(plan_file), "--json").stdout)["quoted"] == listed
    for item in listed["assemblies"]:
        assert f"cost {item['quoted_cost']} as quoted, {item['cost']} in the end" in told


def test_cost_and_quote_are_by_the_workshop_file_of_the_plan(parts: str) -> None:
    """The list lies beside its workshop file, the plan does not: both are at the 60.00 an hour of that file."""
    Path("lists").mkdir()
    Path("lists/workshop.toml").write_text("[cost]\nhour_rate = 60\n")
    for file in (parts, "prices.csv"):
        Path(file).rename(f"lists/{file}")
    assert run("plan", f"lists/{parts}", "--prices", "lists/prices.csv", "--out", "out").exit_code == 0
    costed = json.loads(run("cost", "out/plan.json", "--json").stdout)
    assert any(row["block"] == "Hours" and float(row["amount"]) for row in costed["rows"])
    assert costed["price"] == json.loads(run("quote", "out/plan.json", "--number", "7", "--json").stdout)["price"]


def test_minutes_told_too_late_are_refused(plan_file: Path) -> None:
    assert run("record", str(plan_file)).exit_code == 0
    told = run("record", str(plan_file), "--minutes", "weld 20")
    assert told.exit_code == 1
    assert told.stderr.startswith('--minutes: found "weld 20".')
    assert "not kept" in told.stderr
    assert "cutplan undo" in told.stderr
    assert run("undo").exit_code == 0
    assert run("record", str(plan_file), "--minutes", "weld 20").exit_code == 0
    (job,) = json.loads(run("jobs", "--json").stdout)["jobs"]
    assert job["minutes"] == "20"


def test_a_coat_that_no_part_gets_is_told_with_the_quote(plan_file: Path) -> None:
    Path("workshop.toml").write_text('[[coat]]\nname = "zinc"\non = "blakc"\nper_kg = 1\n')
    assert 'the coat zinc, on "blakc"' in run("quote", str(plan_file), "--number", "7").stdout
    (note,) = json.loads(run("quote", str(plan_file), "--number", "7", "--json").stdout)["notes"]
    assert 'the coat zinc, on "blakc"' in note


def test_a_plan_from_the_rack_is_quoted_without_its_ledger_by_number(parts: str) -> None:
    assert run("rack", "add", "SHS 40x40x3", "2600").exit_code == 0
    assert run("plan", parts, "--out", "out").exit_code == 0
    Path("rack.ledger").unlink()
    told = run("quote", "out/plan.json")
    assert told.exit_code == 1
    assert "with --number the job is quoted" in told.stderr
    assert run("quote", "out/plan.json", "--number", "7").exit_code == 0
    assert not Path("rack.ledger").exists()


def test_minutes_that_cannot_be_read_record_nothing(plan_file: Path) -> None:
    told = run("record", str(plan_file), "--minutes", "sawing 30")
    assert told.exit_code == 1
    assert told.stderr.startswith('--minutes: found "sawing 30".')
    assert not list(Path().glob("*.ledger"))


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--valid-until", "1 June"), "job.day"),
        (("--valid-until", "1999-06-01"), "quote.over"),
        (("--number", "Q 1/2"), "number.own"),
        (("--transport", "much"), "number.unreadable"),
    ],
)
def test_what_a_quote_does_not_take(plan_file: Path, words: tuple[str, ...], code: str) -> None:
    told = run("quote", str(plan_file), *words, "--json")
    assert told.exit_code == 1
    (problem,) = json.loads(told.stdout)["problems"]
    assert (problem["code"], problem["where"]) == (code, words[0])
    assert not list(plan_file.parent.glob("quote-*"))


def test_no_ledger_is_begun_for_a_quote_with_a_number_of_its_own(plan_file: Path) -> None:
    told = run("quote", str(plan_file), "--number", "2031-014")
    assert "kept nowhere but in these files" in told.stdout
    assert not list(Path().glob("*.ledger"))


def test_what_has_no_price_is_not_quoted(tmp_path: Path) -> None:
    made = job([part("A", 1, 2000)], [offer("#2", 6000, None)])
    actions.write_plan(made, actions.plan(made), tmp_path)
    told = run("quote", str(tmp_path / "plan.json"), "--number", "7", "--ledger", str(tmp_path / "rack.ledger"))
    assert told.exit_code == 1
    assert "tiny: found no price for SHS 40x40x3" in told.stderr
    assert not list(tmp_path.glob("quote-*"))


def test_what_cannot_be_read_is_placed(plan_file: Path) -> None:
    told = run("cost", str(plan_file), "--transport", "a lot")
    assert told.exit_code == 1
    assert told.stderr.startswith('--transport: found "a lot".')
    assert not plan_file.with_name("cost.pdf").exists()
