"""From lists to the rack with lengths that are cut for the carry: sheets, delivery, cut record, ledger."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.actions.gone_wrong import Wrong
from cutplan.actions.receiving import delivery_sheet, receive
from cutplan.actions.recording import cut_record_sheet
from cutplan.actions.replanning import replan
from cutplan.model import EndState, Fate, Job, SourceKind
from cutplan.model.totals import totals_of
from cutplan.reports.paper.labels import labels_of
from cutplan.reports.rows import rows_of
from cutplan.units import CURRENCY, MM
from tests.input_files import job_of, refusal

pytestmark = pytest.mark.usefixtures("no_paper")

PARTS = (("Mark", "Quantity", "Section", "Length"), ("A", 3, "SHS 40x40x3", 3900))
PRICES = (
    ("Merchant", "Section", "Length", "Price", "Per"),
    ("Yard", "SHS 40x40x3", "8 m", "64", "each"),
    ("Yard", "SHS 40x40x3", "6.5 m", "54", "each"),
)
SHOP = """
[carry]
longest = "4 m"
[[merchant]]
name = "Yard"
cuts_to_carry = true
carry_cut_charge = 2
"""
# Trims of 10 at every end, a cut of 3 and 5 that a piece may be short: 3900 wants a piece ordered as 3925 or longer.
# Two of them come from 8 m, cut at 3997, and the third from 6.5 m, cut at 3925 with 2572 left whole.


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def job(folder: Path) -> Job:
    return job_of(folder, PARTS, prices=PRICES, workshop=SHOP)


@pytest.fixture
def rack(folder: Path, job: Job) -> actions.Rack:
    rack = actions.find_rack(near=folder / "parts.csv")
    actions.plan_into(job, "out", rack=rack)
    return rack


PLAN = Path("out/plan.json")


def test_what_is_ordered_and_paid(job: Job) -> None:
    plan = actions.plan(job)
    totals = totals_of(job, plan)
    (order,) = totals.orders
    found = {
        line.length // MM: [tuple(n // MM for n in cut.ordered) for cut in line.cut_to_carry] for line in order.lines
    }
    assert found == {8000: [(3997, 4000)], 6500: [(3925, 2572)]}
    assert [line.longest // MM for line in order.lines] == [4000, 3925]
    assert (order.carry_cuts, order.carry_charges) == (2, 4 * CURRENCY)
    assert (totals.money.to_pay, totals.money.work) == (122 * CURRENCY, 0)
    (section,) = totals.sections
    whole = section.part_length + section.kept_length + section.scrap_length + section.kerf_and_trim_length
    assert whole == section.drawn_length == section.bought_length == 14_500 * MM
    assert section.bars_bought == 2


def test_what_the_carry_costs_is_told(job: Job) -> None:
    # Whole, both 8 m and 6.5 m hold what their pieces hold, and no cut is charged for.
    plan = actions.plan(job)
    assert plan.money_forgone == 4 * CURRENCY
    (line,) = rows_of(job, plan).forgone
    assert "would save 4.00 EUR (122.00 EUR as it is, 118.00 EUR with no limit, both proven) if delivered whole" in line
    assert actions.verify((job, plan)) == ()


def test_what_the_sheets_say(job: Job) -> None:
    rows = rows_of(job, actions.plan(job))
    assert [row.cut for (order,) in [rows.orders] for row in order] == [
        "cut at 3997 mm, the rest 4000 mm",
        "cut at 3925 mm, the rest 2572 mm",
    ]
    left = next(block for block in rows.blocks if not block.cuts)
    assert left.source == "piece 2 of 2, 2572 mm as ordered, of a length of 6.5 m from Yard, with bar 1"
    assert (left.start, left.left_over) == ("left whole", "left over: keep 2567 mm, far end mill")
    assert "put it away whole" in left.trim
    assert [row.length // MM for row in rows.put_away] == [2567]
    assert [row.origin for row in rows.record] == [
        "6.5 m from Yard, piece 1 of 2, 3925 mm",
        "6.5 m from Yard, piece 2 of 2, 2572 mm",
        "8 m from Yard, piece 1 of 2, 3997 mm",
        "8 m from Yard, piece 2 of 2, 4000 mm",
    ]


SQUARED = ("square START first: 10 mm off, the squaring cut included", "square START: 10 off")
AS_IT_IS = ("nothing comes off START", "nothing off START")
AT_CUT = ("START is the end that the merchant cut: nothing off", "START is the end that the merchant cut, nothing off")
AT_MILL = ("START is its mill end: nothing off", "START is its mill end, nothing off")


@pytest.mark.parametrize(
    ("mill_ends_accepted", "squared", "outer", "middle"),
    [
        ("false", "true", SQUARED, SQUARED),
        ("false", "false", AT_CUT, AS_IT_IS),
        ("true", "true", AT_MILL, SQUARED),
        ("true", "false", AS_IT_IS, AS_IT_IS),
    ],
)
def test_the_sheets_say_which_end_of_a_piece_is_start(
    folder: Path, mill_ends_accepted: str, squared: str, outer: tuple[str, str], middle: tuple[str, str]
) -> None:
    """Outer pieces have a mill end and one that the merchant cut, the middle piece has two of those."""
    shop = f"[saw]\nmill_ends_accepted = {mill_ends_accepted}\n{SHOP}carry_cuts_squared = {squared}\n"
    prices = (PRICES[0], ("Yard", "SHS 40x40x3", "12 m", "64", "each"))
    job = job_of(folder, (PARTS[0], ("A", 3, "SHS 40x40x3", 3890)), prices=prices, workshop=shop)
    blocks = sorted(rows_of(job, actions.plan(job)).blocks, key=lambda block: block.source)
    assert [(block.trim, block.start) for block in blocks] == [outer, middle, outer]


def test_labels_name_the_piece_of_its_length(job: Job) -> None:
    labels = [dict(label.lines)["copy"] for label in labels_of(job, actions.plan(job), "f")]
    assert labels == [
        "part 1 of 3, bar 1, piece 1 of 2",
        "left over of bar 2, piece 2 of 2",
        "part 2 of 3, bar 3, piece 1 of 2",
        "part 3 of 3, bar 4, piece 2 of 2",
    ]


@pytest.mark.usefixtures("paper")
def test_the_files_are_written_and_hold(rack: actions.Rack) -> None:
    assert {path.name for path in Path("out").iterdir()} >= {"plan.json", "plan.pdf", "plan.xlsx", "labels.pdf"}
    assert actions.verify(PLAN) == ()
    document = json.loads(PLAN.read_text(encoding="utf-8"))
    bars = document["groups"][0]["bars"]
    assert Counter(bar["piece_of"]["number"] for bar in bars for _ in range(bar["count"])) == {1: 2, 2: 2}
    text = "\n".join(
        str(cell.value) for row in openpyxl.load_workbook("out/plan.xlsx")["Buy"].iter_rows() for cell in row
    )
    assert "cut at 3997 mm, the rest 4000 mm" in text
    assert "2 cuts made to be carried" in text


def test_pieces_are_received_cut_and_kept(rack: actions.Rack) -> None:
    came = receive(PLAN, rack)
    assert (came.misfits, came.again) == ((), None)
    assert sorted(piece.state.length // MM for piece in came.pieces) == [2567, 3920, 3992, 3995]
    assert {(piece.state.end_a, piece.state.end_b) for piece in came.pieces} == {(EndState.MILL, EndState.MILL)}
    # The price of a length is shared by what its pieces are ordered by: 54 x 3925 / 6497 and the rest.
    values = {piece.state.length // MM: piece.state.value for piece in came.pieces}
    assert (values[3920], values[2567]) == (32_620_000, 21_380_000)
    assert values[3992] + values[3995] == 64 * CURRENCY  # type: ignore[operator]
    done = actions.record(PLAN, rack).recorded
    assert done is not None
    assert (done.missing, len(done.used)) == ((), 3)
    (kept,) = actions.rack_show(rack)
    assert (kept.state.length, kept.holds) == (2567 * MM, ())
    assert actions.rack_verify(rack) == ((), 0)


def test_pieces_that_came_as_ordered_are_the_bars_they_were_ordered_for(folder: Path) -> None:
    """Two lengths of 7.5 m and two of 6 m: either piece of the one and the longer of the other hold a part of 3.4 m.

    Each of these pieces would do for any of these bars; what the sheets say of a bar holds for its own alone.
    """
    parts = (PARTS[0], ("A", 6, "SHS 40x40x3", 3400), ("B", 2, "SHS 40x40x3", 1500))
    prices = (
        PRICES[0],
        *(("Yard", "SHS 40x40x3", length, price, "each") for length, price in ((7500, 120), (6000, 100))),
    )
    rack = actions.find_rack(near=folder / "parts.csv")
    plan = actions.plan_into(job_of(folder, parts, prices=prices, workshop=SHOP), "out", rack=rack)[0]
    came = receive(PLAN, rack)
    assert len({piece.state.length for piece in came.pieces}) == 4
    assert came.differing == ()
    done = actions.record(PLAN, rack).recorded
    assert done is not None
    kept = sorted(piece.state.length for piece in actions.rack_show(rack) for _ in range(piece.quantity))
    assert kept == sorted(bar.drop.length for bar in plan.bars if bar.drop.fate is Fate.KEEP)


def test_without_a_delivery_pieces_come_as_they_are_recorded(rack: actions.Rack) -> None:
    done = actions.record(PLAN, rack).recorded
    assert done is not None
    assert done.missing == ()
    assert [piece.state.length // MM for piece in actions.rack_show(rack)] == [2567]
    assert actions.rack_verify(rack) == ((), 0)
    actions.undo(rack)
    assert actions.rack_show(rack) == ()
    assert actions.rack_verify(rack) == ((), 0)


def test_a_delivery_sheet_has_a_line_for_every_piece(rack: actions.Rack) -> None:
    delivery_sheet(PLAN, "given.xlsx")
    sheet = openpyxl.load_workbook("given.xlsx")["Delivery"]
    heads = [cell.value for cell in sheet[3]]
    lengths = [str(row[heads.index("Length")].value) for row in sheet.iter_rows(min_row=4) if row[0].value]
    assert sorted(length.split()[0] for length in lengths) == ["2567", "3920", "3992", "3995"]
    came = receive(PLAN, rack, given="given.xlsx")
    assert came.again is None
    assert cut_record_sheet(PLAN, "record.xlsx") == 4
    sheet = openpyxl.load_workbook("record.xlsx")["Cut record"]
    assert "8 m from Yard, piece 2 of 2, 4000 mm" in {cell.value for cell in sheet["B"]}


def test_the_rest_is_planned_from_pieces(rack: actions.Rack) -> None:
    receive(PLAN, rack)
    # The third part comes from the piece that was bent: another length is bought, and cut as well.
    again = replan(PLAN, rack, wrong=Wrong(bent=(1,), usable=("0",)))
    assert again.plan is not None
    assert {(bar.kind, bar.piece_of is not None) for bar in again.plan.bars} == {
        (SourceKind.OFFCUT, False),
        (SourceKind.BOUGHT, True),
    }
    assert actions.rack_verify(rack) == ((), 0)


def test_one_refusal_for_all_parts_of_a_section(folder: Path) -> None:
    parts = (PARTS[0], *((f"A{n}", 1, "SHS 40x40x3", 1000 + n) for n in range(13)))
    carry = '[carry]\nlongest = "4 m"\n'
    found = refusal(folder, parts, prices=PRICES, workshop=carry)
    assert found.count(": found") == 1
    assert "longer than the longest carry, here and in 12 more rows" in found
    assert "delivers or cuts_to_carry" in found


def test_mitres_do_not_stop_a_length_from_being_cut(folder: Path) -> None:
    parts = ((*PARTS[0], "Cut A"), ("A", 1, "SHS 40x40x3", 1000, 45), ("B", 1, "SHS 40x40x3", 1000, ""))
    assert refusal(folder, parts, prices=PRICES, workshop=SHOP) == ""


def test_a_part_longer_than_a_piece_gives(folder: Path) -> None:
    parts = (PARTS[0], ("A", 1, "SHS 40x40x3", 3980))
    found = refusal(folder, parts, prices=PRICES, workshop=SHOP)
    assert "longer than the longest carry, 4000 mm; its longest piece gives 3975 mm after trim" in found
    assert refusal(folder, (PARTS[0], ("A", 1, "SHS 40x40x3", 3975)), prices=PRICES, workshop=SHOP) == ""


def test_another_finish_is_told_before_the_carry(folder: Path) -> None:
    parts = ((*PARTS[0], "Finish"), ("A", 1, "SHS 40x40x3", 1000, "galvanised"))
    found = refusal(folder, parts, prices=PRICES, workshop='[carry]\nlongest = "4 m"\n')
    assert "no stock length and no offcut" in found
    assert "carry" not in found
