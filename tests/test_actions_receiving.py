"""What the merchant really gave: as ordered the plan stands, otherwise it is made again from what is in hand."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.actions.receiving import delivery_sheet, receive, received_text, received_values
from cutplan.model import SourceKind
from cutplan.problems import ProblemsFound
from cutplan.units import MM

PLAN = Path("reports/frame/plan.json")


@pytest.fixture
def rack(parts: str) -> actions.Rack:
    rack = actions.find_rack(near=parts)
    actions.plan_into(actions.read_job(parts), "reports/frame", rack=rack)
    return rack


def filled(path: str, **changes: object) -> str:
    """The delivery sheet with cells of its first line changed, or of all lines for ``every_...``."""
    delivery_sheet(PLAN, path)
    book = openpyxl.load_workbook(path)
    sheet = book["Delivery"]
    heads = [cell.value for cell in sheet[3]]
    for name, value in changes.items():
        for row in (4, 5):
            if row == 4 or name.startswith("every_"):
                sheet.cell(row, heads.index(name.removeprefix("every_").replace("_", " ")) + 1).value = value
    book.save(path)
    return path


def test_as_ordered(rack: actions.Rack) -> None:
    done = receive(PLAN, rack, place="yard")
    assert (done.misfits, done.again) == ((), None)
    assert received_text(done).endswith("The plan still fits what came.")
    assert sum(piece.quantity for piece in done.pieces) == 2
    assert {piece.state.place for piece in actions.rack_show(rack)} == {"yard"}
    again = receive(PLAN, rack)
    assert "received already" in received_text(again)
    assert received_values(again)["received_before"] is True
    recorded = actions.record(PLAN, rack)
    assert recorded.recorded is not None
    assert set(recorded.recorded.used) == {piece.mark for piece in done.pieces}
    assert actions.rack_verify(rack) == ((), 0)
    actions.undo(rack)
    actions.undo(rack)
    actions.record(PLAN, rack)
    with pytest.raises(ProblemsFound, match="when its lengths came onto the rack"):
        receive(PLAN, rack)


def test_the_sheet_as_it_was_written_fits(rack: actions.Rack) -> None:
    done = receive(PLAN, rack, given=filled("given.xlsx", Heat_number="H77", Wall="2.8 mm"))
    assert done.again is None
    first = done.pieces[0]
    assert (first.state.heat_number, first.state.wall) == ("H77", 2_800_000)
    actions.record(PLAN, rack)
    assert "H77" in {piece.state.heat_number for piece in actions.rack_show(rack)}


def test_a_short_length_is_planned_again(rack: actions.Rack) -> None:
    done = receive(PLAN, rack, given=filled("given.xlsx", Length="5.9 m"))
    assert len(done.misfits) == 1
    assert done.again is not None
    assert done.again.plan is not None
    assert "The plan no longer fits:" in received_text(done)
    used = {bar.source: bar.length for bar in done.again.plan.bars if bar.kind is SourceKind.OFFCUT}
    assert 5900 * MM in used.values(), "what came is used, short or not"
    assert received_values(done)["planned_again"]["plan"] is not None
    recorded = actions.record(done.again.files[0], rack)
    assert recorded.recorded is not None
    assert recorded.recorded.missing == ()
    assert actions.rack_verify(rack) == ((), 0)


def test_a_substitute_and_a_line_that_did_not_come(rack: actions.Rack) -> None:
    done = receive(PLAN, rack, given=filled("given.xlsx", Section="SHS 50x50x3"))
    assert done.misfits
    assert {piece.material.designation for piece in done.pieces} == {"SHS 50x50x3", "SHS 40x40x3"}
    assert actions.rack_verify(rack) == ((), 0)


def test_a_sheet_is_not_written_over_another_file(rack: actions.Rack) -> None:
    delivery_sheet(PLAN, "given.xlsx")
    with pytest.raises(ProblemsFound, match="a file that is there already"):
        delivery_sheet(PLAN, "given.xlsx")
    with pytest.raises(ProblemsFound, match="a file that cannot be written"):
        delivery_sheet(PLAN, "nowhere/given.xlsx")
