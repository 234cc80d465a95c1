"""What the merchant really gave: as ordered the plan stands, otherwise it is made again from what is in hand."""

from __future__ import annotations

import re
from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.actions.outcomes import jobs_of_year
from cutplan.actions.receiving import delivery_sheet, receive, received_text, received_values
from cutplan.model import Plan, SourceKind
from cutplan.model.cut_facts import BarFact
from cutplan.problems import ProblemsFound
from cutplan.units import MM
from cutplan.words.outcome_words import year_text

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = Path("reports/frame/plan.json")


@pytest.fixture
def rack(parts: str, parts_planned: Plan) -> actions.Rack:
    return actions.find_rack(near=parts)


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


def test_lengths_on_the_sheet_and_what_was_left_are_told_beside_the_jobs(rack: actions.Rack) -> None:
    """6 m came as 6012 mm. Both bars are trimmed at START, so that what is left tells no kerf."""
    receive(PLAN, rack, given=filled("given.xlsx", Length="6012"))
    actions.record(PLAN, rack, facts={1: BarFact(left=1190 * MM), 2: BarFact(left=1276 * MM)})
    measured = jobs_of_year(rack).measured
    (lengths,) = measured.lengths
    assert (lengths.family, lengths.middle, lengths.counted, lengths.better) == ("SHS", 12 * MM, 1, None)
    assert (measured.kerfs, measured.passed_over) == ((), 2)
    assert "minus_tolerance.SHS, now 0 mm, not judged before 5" in year_text(jobs_of_year(rack), rack.workshop)


# Kerf 2.5 and trims of 10: the 6 m bar has A of 1200 four times, the last to 4817.5, and leaves 1180 behind its cut.
# So it needs 4827.5. The 3 m bar has B of 850 twice and needs 1722.5.
@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"Length": "5.96 m"}, ["  bar 1 from A1, 5960 mm long: 1140 mm left"]),
        ({"Length": "4827.5"}, ["  bar 1 from A1, 4827.5 mm long: 7.5 mm left"]),
        ({"Length": "6.02 m"}, ["  bar 1 from A1, 6020 mm long: 1200 mm left"]),
        ({"Length": "5.96 m", "Grade": "S355J2H"}, ["  bar 1 from A1, 5960 mm long: 1140 mm left"]),
        ({"every_Length": "6 m"}, ["  bar 2 from C1, 6000 mm long: 4285 mm left"]),
    ],
)
def test_what_the_cuts_fit_changes_no_plan(rack: actions.Rack, changes: dict[str, str], said: list[str]) -> None:
    before = PLAN.read_bytes()
    done = receive(PLAN, rack, given=filled("given.xlsx", **changes))
    assert (done.misfits, done.again) == ((), None)
    lines = received_text(done).splitlines()
    assert [line for line in lines if line.startswith("  bar ")] == said
    assert lines[-1] == "The plan still fits what came."
    assert not Path("reports/frame/rest-1").exists()
    assert PLAN.read_bytes() == before
    recorded = actions.record(PLAN, rack).recorded
    assert recorded is not None
    assert (recorded.missing, set(recorded.used)) == ((), {piece.mark for piece in done.pieces})
    left = {one.left for one in done.differing}
    on_rack = {piece.state.length for piece in actions.rack_show(rack)}
    assert {length for length in left if length >= 300 * MM} <= on_rack, "left overs follow the real length"
    assert actions.rack_verify(rack) == ((), 0)


def test_what_came_beyond_the_order_is_named(rack: actions.Rack) -> None:
    """One of 6 m was ordered; three came."""
    done = receive(PLAN, rack, given=filled("given.xlsx", Quantity=3, Length="6 m"))
    lines = received_text(done).splitlines()
    above = lines.index("More than the plan cuts, held for it all the same:")
    assert lines[above + 1 :] == [
        "  A1, SHS 40x40x3, black, 2 x 6000 mm, grade unknown, ends mill and mill",
        "The plan still fits what came.",
    ]
    (beyond,) = received_values(done)["beyond_the_plan"]
    assert (beyond["mark"], beyond["quantity"]) == ("A1", 2)
    assert received_values(receive(PLAN, rack))["beyond_the_plan"] == []


def test_bars_that_changed_places_are_cut_from_what_serves_them(rack: actions.Rack) -> None:
    """6 m were ordered for bar 1 and 3 m for bar 2; they came under each other's line."""
    delivery_sheet(PLAN, "given.xlsx")
    book = openpyxl.load_workbook("given.xlsx")
    sheet = book["Delivery"]
    column = [cell.value for cell in sheet[3]].index("Length") + 1
    first, second = (sheet.cell(row, column) for row in (4, 5))
    first.value, second.value = second.value, first.value
    book.save("given.xlsx")
    done = receive(PLAN, rack, given="given.xlsx")
    assert (done.misfits, done.differing) == ((), ())


def test_a_length_that_is_too_short_is_planned_again(rack: actions.Rack) -> None:
    done = receive(PLAN, rack, given=filled("given.xlsx", Length="4827.4"))
    assert done.misfits == ("bar 1: nothing is left that the cuts fit; it needs 4827.5 mm of SHS 40x40x3 black",)
    assert done.again is not None
    assert done.again.plan is not None
    assert "The plan no longer fits:" in received_text(done)
    used = {bar.source: bar.length for bar in done.again.plan.bars if bar.kind is SourceKind.OFFCUT}
    assert 4_827_400_000 in used.values(), "what came is used, short or not"
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


def test_the_sheet_names_plan_and_merchant_and_prices_to_the_cent(rack: actions.Rack) -> None:
    """Lines are numbered; a row of the price list means nothing to whoever stands at the lorry."""
    delivery_sheet(PLAN, "given.xlsx")
    sheet = openpyxl.load_workbook("given.xlsx")["Delivery"]
    assert sheet["A1"].value.endswith(f", plan {actions.fingerprint(Path(PLAN))}")
    heads = [cell.value for cell in sheet[3]]
    first = dict(zip(heads, (cell.value for cell in sheet[4]), strict=True))
    assert first["Line"] == "1"
    assert first["Merchant"]
    assert re.fullmatch(r"\d+\.\d\d", first["Price"])
