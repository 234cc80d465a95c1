"""Plans drawn from the ledger: marks for what is to come, holds, and a rack that changed meanwhile."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.actions import planning, rack_plans
from cutplan.model import Fate, Job, Plan
from cutplan.problems import ProblemsFound

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.fixture
def rack(parts: str) -> actions.Rack:
    """A ledger with two offcuts, beside the workshop file of the small list."""
    rack = actions.find_rack(near=parts)
    actions.rack_add(rack, "SHS 40x40x3", "2600", place="B2")
    actions.rack_add(rack, "SHS 40x40x3", "500")
    return rack


def planned(rack: actions.Rack, folder: str = "out", **how: Any) -> tuple[Job, Plan]:
    job = actions.read_job("frame.csv")
    return job, actions.plan_into(job, folder, rack=rack, **how)[0]


def test_the_ledger_is_the_rack_once_it_is_there(parts: str, rack: actions.Rack, tmp_path: Path) -> None:
    (tmp_path / "rack.csv").write_text("Mark,Section,Length\nR1,SHS 40x40x3,5000\n")
    (tmp_path / "workshop.toml").write_text('[files]\nprices = "prices.csv"\nrack = "rack.csv"\n')
    job = actions.read_job(parts)
    assert [offcut.mark for offcut in job.offcuts] == ["A1", "C1"]
    assert "The rack is the ledger rack.ledger. The list rack.csv is not read." in job.assumed
    assert [(file.role, file.name) for file in job.files][-1] == ("ledger", "rack.ledger")
    assert [offcut.mark for offcut in actions.read_job(parts, rack="rack.csv").offcuts] == ["R1"]
    rack.path.rename(tmp_path / "elsewhere")
    assert [offcut.mark for offcut in actions.read_job(parts).offcuts] == ["R1"]
    assert [offcut.mark for offcut in actions.read_job(parts, rack="elsewhere").offcuts] == ["A1", "C1"]
    assert (actions.ledger_given("elsewhere"), actions.ledger_given("rack.csv")) == (Path("elsewhere"), None)


def test_several_lists_draw_from_one_ledger(parts: str, rack: actions.Rack, tmp_path: Path) -> None:
    """The sections of either list are offered to both; what is held for one of them alone is held for another job."""
    (tmp_path / "door.csv").write_text("Mark,Quantity,Section,Length\nD,2,FL 40x5,300\n")
    prices = (tmp_path / "prices.csv").read_text().rstrip("\n")
    row = dict.fromkeys(prices.splitlines()[0].split(","), "")
    row |= {"Merchant": "Yard", "Section": "FL 40x5", "Length": "6000", "Price": "9", "Per": "each"}
    (tmp_path / "prices.csv").write_text(f"{prices}\n{','.join(row.values())}\n")
    actions.rack_add(rack, "FL 40x5", "700")
    job = actions.read_job([parts, "door.csv"])
    assert [offcut.mark for offcut in job.offcuts] == ["A1", "C1", "E1"]
    assert [file.role for file in job.files].count("ledger") == 1
    plan, _ = actions.plan_into(job, "both", rack=rack, hold=True)
    used = {bar.source for bar in plan.bars} & {"A1", "C1", "E1"}
    assert "E1" in used
    assert [each.mark for each in actions.read_job([parts, "door.csv"]).offcuts] == ["A1", "C1", "E1"]
    assert not used & {offcut.mark for offcut in actions.read_job("door.csv").offcuts}
    actions.undo(rack)
    door = actions.read_job("door.csv")
    actions.plan_into(door, "door", rack=rack, hold=True)
    assert "E1" not in [offcut.mark for offcut in actions.read_job([parts, "door.csv"]).offcuts]


def test_a_ledger_that_cannot_be_read_is_told_with_the_rest(parts: str, tmp_path: Path) -> None:
    (tmp_path / "rack.ledger").write_text("not one")
    (tmp_path / "frame.csv").write_text("Quantity,Section,Length\nx,SHS 40x40x3,1200\n1,SHS 40x40x3,900\n")
    with pytest.raises(ProblemsFound) as refused:
        actions.read_job(parts)
    assert len(refused.value.problems) == 2
    assert "a file that is no ledger" in str(refused.value)


def test_marks_of_offcuts_to_come_are_on_the_plan(rack: actions.Rack) -> None:
    _, plan = planned(rack)
    kept = [bar.drop.mark for bar in plan.bars if bar.drop.fate is Fate.KEEP]
    assert kept == ["E1", "F1"][: len(kept)]
    assert kept
    assert actions.verify(Path("out/plan.json")) == ()
    again = planned(rack)[1]
    assert [bar.drop.mark for bar in again.bars] == [bar.drop.mark for bar in plan.bars]
    other = planned(rack, "other")[1]
    assert not set(kept) & {bar.drop.mark for bar in other.bars}


def test_a_plan_holds_what_it_uses(rack: actions.Rack) -> None:
    planned(rack, hold=True)
    (piece,) = [piece for piece in actions.rack_show(rack) if piece.mark == "A1"]
    assert [(hold.job, hold.quantity) for hold in piece.holds] == [("frame", 1)]
    Path("gate.csv").write_text(Path("frame.csv").read_text())
    assert [offcut.mark for offcut in actions.read_job("gate.csv").offcuts] == ["C1"]
    assert [offcut.mark for offcut in actions.read_job("frame.csv").offcuts] == ["A1", "C1"]


def test_a_rack_that_changed_meanwhile(rack: actions.Rack, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = planning.plan

    def meanwhile(job: Job, **how: Any) -> Plan:
        answer = whole(job)
        actions.rack_scrap(rack, ["A1"])
        return answer

    monkeypatch.setattr(planning, "plan", meanwhile)
    with pytest.raises(ProblemsFound) as refused:
        planned(rack)
    assert "a rack that changed while the plan was made: A1 is not there any more" in str(refused.value)
    assert not Path("out").exists()


def test_a_rack_that_changed_between_the_marks_and_the_hold(
    rack: actions.Rack, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The marks set aside stay so: another piece is given a later one, a plan made again in the folder has them."""
    aside: list[str] = []
    later: list[str] = []

    def meanwhile(*of: Any) -> Plan:
        plan = rack_plans.marked(*of)
        aside.extend(bar.drop.mark for bar in plan.bars if bar.drop.fate is Fate.KEEP)
        later.extend(actions.rack_add(rack, "SHS 40x40x3", "2650"))
        return plan

    with monkeypatch.context() as patch:
        patch.setattr(planning, "marked", meanwhile)
        with pytest.raises(ProblemsFound, match=r"a rack that changed while the plan was made: .* has come"):
            planned(rack, hold=True)
    assert not Path("out").exists()
    assert all(piece.holds == () for piece in actions.rack_show(rack))
    assert aside
    assert later
    assert not set(later) & set(aside)
    again = planned(rack, hold=True)[1]
    kept = [bar.drop.mark for bar in again.bars if bar.drop.fate is Fate.KEEP]
    assert kept[: len(aside)] == aside[: len(kept)] != []


def test_a_hold_ends_when_the_plan_cannot_be_written(rack: actions.Rack, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(planning, "write_files", full)
    with pytest.raises(OSError, match="No space"):
        planned(rack, hold=True)
    assert all(piece.holds == () for piece in actions.rack_show(rack))


LIST = "Mark,Section,Length\nR1,SHS 40x40x3,5000\n"


@pytest.mark.parametrize(
    ("named", "given", "begun", "found", "hint"),
    [
        (
            "",
            None,
            False,
            "no ledger yet to hold pieces in: there is no rack.ledger",
            "cutplan rack add begins it with a piece, cutplan rack read with a list of pieces; then plan again",
        ),
        (
            "rack.csv",
            None,
            False,
            "no ledger yet to hold pieces in: there is no rack.ledger",
            "cutplan rack read rack.csv begins it with the pieces of rack.csv; then plan again",
        ),
        (
            "old rack.csv",
            None,
            False,
            "no ledger yet to hold pieces in: there is no rack.ledger",
            'cutplan rack read "old rack.csv" begins it with the pieces of old rack.csv; then plan again',
        ),
        (
            "rack.csv",
            "other.csv",
            False,
            "no ledger yet to hold pieces in: there is no rack.ledger",
            "cutplan rack read begins it with the pieces of other.csv; then plan again",
        ),
        (
            "rack.csv",
            "rack.csv",
            True,
            "a plan that draws from a list of offcuts, not from rack.ledger",
            "plan with --rack rack.ledger",
        ),
    ],
)
def test_nothing_is_held_without_a_ledger_and_how_it_comes_to_one_is_told(
    named: str,
    given: str | None,
    begun: bool,
    found: str,
    hint: str,
    parts: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for name in filter(None, {named, given}):
        (tmp_path / name).write_text(LIST)
    if named:
        (tmp_path / "workshop.toml").write_text(f'[files]\nprices = "prices.csv"\nrack = "{named}"\n')
    rack = actions.find_rack(near=parts)
    if begun:
        actions.rack_read(rack, named)
    monkeypatch.setattr(planning, "plan", pytest.fail)  # a search would be in vain
    with pytest.raises(ProblemsFound) as refused:
        actions.plan_into(actions.read_job(parts, rack=given), "out", rack=rack, hold=True)
    (problem,) = refused.value.problems
    assert (problem.found, problem.hint) == (found, hint)
    assert rack.path.exists() == begun
    assert not Path("out").exists()


def test_the_note_beside_a_plan(parts: str, tmp_path: Path) -> None:
    rack = actions.find_rack(near=parts)
    planned(rack, "reports/frame")
    assert Path("reports/frame/rack.txt").read_text() == "../../rack.ledger\n"
    assert rack_plans.noted_rack(Path("reports/frame/plan.json")) == Path("rack.ledger")
    assert rack_plans.noted_rack(Path("plan.json")) is None
