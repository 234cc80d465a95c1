"""A command that records and plans again does all of it or nothing, and one undo takes all of it back.

The small list: four A of 1200 and two B of 850 out of one bar of 6 m and one of 3 m.
"""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path
from typing import NoReturn

import pytest

from cutplan import actions
from cutplan.actions import replanning
from cutplan.actions.gone_wrong import Wrong
from cutplan.actions.replanning import replan
from cutplan.model import Plan
from cutplan.planning import plan_job
from cutplan.problems import ProblemsFound
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from tests.effort import some

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = Path("reports/frame/plan.json")
REST = Path("reports/frame/rest-1")


@pytest.fixture
def rack(parts: str, parts_planned: Plan) -> actions.Rack:
    return actions.find_rack(near=parts)


def actions_written(rack: actions.Rack) -> list[str]:
    with rack.open(read_only=True) as ledger:
        assert contradictions(ledger) == ()
        return [row[0] for row in ledger.db.execute("SELECT what FROM action ORDER BY id")]


def short_delivery(length: str) -> Path:
    """The 6 m bar came as short as this."""
    actions.delivery_sheet(PLAN, "given.xlsx")
    import openpyxl

    book = openpyxl.load_workbook("given.xlsx")
    sheet = book.active
    heads = next(row for row in sheet.iter_rows() if any(cell.value == "Length" for cell in row))
    column = next(cell.column for cell in heads if cell.value == "Length")
    for row in range(heads[0].row + 1, sheet.max_row + 1):
        if str(sheet.cell(row, column).value).startswith("6000"):
            sheet.cell(row, column).value = length
    book.save("given.xlsx")
    return Path("given.xlsx")


def test_a_replan_is_one_action_and_one_undo(rack: actions.Rack) -> None:
    replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert actions_written(rack) == ["replan"]
    assert any(piece.holds for piece in actions.rack_show(rack))
    assert actions.undo(rack).doing.what == "replan"
    assert actions.rack_show(rack) == ()
    assert actions.record(PLAN, rack).recorded is not None, "the plan can be recorded as if nothing had been"


def test_a_delivery_that_does_not_fit_is_one_action_and_one_undo(rack: actions.Rack) -> None:
    done = actions.receive(PLAN, rack, given=short_delivery("3500 mm"))
    assert done.again is not None
    assert done.again.plan is not None
    assert actions_written(rack) == ["receive"]
    actions.undo(rack)
    assert actions.rack_show(rack) == ()
    again = actions.receive(PLAN, rack)
    assert (again.before, again.misfits) == (None, ())


def stops(*_: object, **__: object) -> NoReturn:
    raise KeyboardInterrupt


@pytest.mark.parametrize("name", some(["plan_job", "write_files"], "write_files"))
def test_stopped_while_the_rest_is_planned_nothing_is_written(
    name: str, rack: actions.Rack, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(replanning, name, stops)
    with pytest.raises(KeyboardInterrupt):
        replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    with pytest.raises(KeyboardInterrupt):
        actions.receive(PLAN, rack, given=short_delivery("3500 mm"))
    assert actions_written(rack) == []
    assert not REST.exists()


def test_what_changed_meanwhile_is_refused(rack: actions.Rack, monkeypatch: pytest.MonkeyPatch) -> None:
    actions.rack_add(rack, "SHS 40x40x3", "1500")
    whole = plan_job
    to_scrap = ["A1"]

    def meanwhile(*job: object, **how: object) -> Plan:
        if to_scrap:
            actions.rack_scrap(rack, [to_scrap.pop()])
        return whole(*job, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(replanning, "plan_job", meanwhile)
    with pytest.raises(ProblemsFound, match="a rack that changed while the plan was made"):
        replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert actions_written(rack) == ["add", "scrap"]
    assert not REST.exists()


def test_recorded_by_another_command_meanwhile(rack: actions.Rack, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = plan_job

    def meanwhile(*job: object, **how: object) -> Plan:
        actions.record(PLAN, rack)
        return whole(*job, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(replanning, "plan_job", meanwhile)
    with pytest.raises(ProblemsFound, match="a plan that was recorded on"):
        replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert actions_written(rack) == ["record"]


def test_a_ledger_that_fails_at_the_end_leaves_no_plan(rack: actions.Rack, monkeypatch: pytest.MonkeyPatch) -> None:
    """The files are in place when the ledger cannot be written: they go again."""
    from cutplan.rack import entry

    calls = []

    def fails(db: object, number: int) -> None:
        calls.append(number)
        if REST.joinpath("plan.json").exists():
            raise OSError(5, "Input/output error")

    monkeypatch.setattr(entry, "seal", fails)
    with pytest.raises(ProblemsFound, match="Input/output error"):
        replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert len(calls) > 2
    assert not REST.exists()
    monkeypatch.undo()
    assert actions_written(rack) == []


KILLED = """
import os, signal, sys
from pathlib import Path
from cutplan import actions
from cutplan.actions import publishing

REST, step, moves = Path("reports/frame/rest-1"), int(sys.argv[1]), iter(range(100))

def killing(path):
    if path == REST and next(moves) == step:
        os.kill(os.getpid(), signal.SIGKILL)

publishing._flush = killing
rack = actions.find_rack(near="frame.csv")
actions.replan("reports/frame/plan.json", rack, wrong=actions.Wrong(bent=(1,), usable=("0",)))
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")
@pytest.mark.thorough
@pytest.mark.parametrize("step", [0, 1])
def test_a_kill_leaves_no_hold_without_its_plan(step: int, rack: actions.Rack) -> None:
    """Killed when the new files are final and when all are in place, the ledger not yet closed: it is as before."""
    child = subprocess.run([sys.executable, "-c", KILLED, str(step)], check=False)
    assert child.returncode == -signal.SIGKILL
    with rack.open() as ledger:
        assert contradictions(ledger) == ()
        assert standing(ledger) == ()
    done = replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert done.plan is not None
    assert actions.verify(done.files[0]) == ()
