"""The sheets after the saw: every part with its boxes, left overs with their marks, what was assumed."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model import Assumption, Earlier
from cutplan.reports.lettering import printable, text_mm
from cutplan.reports.paper.after_saw import assumed_sheet, kits_sheet, parts_sheet, put_away_sheet
from cutplan.reports.rows import rows_of
from tests import builders
from tests.hand_plans import hand_plan, with_mark
from tests.test_reports_buying import table
from tests.workbooks import FORMULA_LIKE, LONG, UNICODE, trailer


def test_parts_stand_under_their_assembly() -> None:
    sheet = parts_sheet(rows_of(*trailer()))
    assert [part["title"] for part in sheet["parts"]] == ["bed & deck", "@side"]
    assert [row[0] for row in table(sheet, 0)] == [FORMULA_LIKE, printable(UNICODE)]
    assert table(sheet, 1) == [[LONG, "-box (SHS 40x40x3)", "700", "45° | 45°", "2.0", "2", "ticks"]]
    assert sheet["parts"][1]["rows"][0][-1] == {"kind": "ticks", "count": 2}


def test_diagonals_stand_below_their_frame() -> None:
    parts = [
        builders.part("A", 2, 1200, mitres=(45, 45), assembly="gate"),
        builders.part("B", 2, 500, mitres=(45, 45), assembly="gate"),
        builders.part("C", 1, 700),
    ]
    job = builders.job(parts, [builders.offer("O", 6000, 9)])
    sheet = parts_sheet(rows_of(job, hand_plan(job, ("O", ["A", "A", "B", "B", "C"]))))
    assert [part["title"] for part in sheet["parts"]] == ["gate", "No assembly named"]
    assert "both diagonals 1300 mm" in sheet["parts"][0]["after"][0]
    assert sheet["parts"][1]["after"] == []


def test_left_overs_show_the_mark_reserved_or_room_for_one() -> None:
    job = builders.job([builders.part("A", 2, 2000)], [builders.offer("O", 2500, 9)], keep=300)
    plan = hand_plan(job, *[("O", ["A"])] * 2)
    rows = table(put_away_sheet(rows_of(job, with_mark(plan, 2, "K7"))), 0)
    assert [row[:3] for row in rows] == [["tick", "blank", "1"], ["tick", "K7", "2"]]
    assert rows[0][4:] == ["500", "blank", "blank", "blank", "1.5"]


def test_a_length_in_inches_stands_in_one_line() -> None:
    job = builders.job([builders.part("A", 1, 300)], [builders.offer("O", 5597, 9)], keep=300)
    rows = rows_of(replace(job, workshop=replace(job.workshop, unit="in")), hand_plan(job, ("O", ["A"])))
    (part,) = put_away_sheet(rows)["parts"]
    length, width = part["rows"][0][4], part["columns"][4]
    assert length["text"] == "~208 35/64"
    assert text_mm(length["text"], length["size"], bold=True) < width


def test_columns_are_named_once_and_stand_below_one_another() -> None:
    parts = parts_sheet(rows_of(*trailer()))["parts"]
    assert [part["headed"] for part in parts] == [True, False]
    assert parts[0]["columns"] == parts[1]["columns"]


def test_what_was_assumed_comes_last_but_for_what_changes_the_cut() -> None:
    job, plan = trailer()
    told = (
        Assumption("assumed.kerf", "Kerf 2.5 mm."),
        Assumption("assumed.no_tax", "No tax is added."),
        Assumption("assumed.mill_ends", "Mill ends are trimmed before use."),
    )
    sheet = assumed_sheet(rows_of(replace(job, assumptions=told), plan))
    assert sheet["parts"][0]["before"] == ["\N{BULLET} No tax is added."]


def test_units_are_ticked_one_by_one_in_the_order_of_the_list() -> None:
    """Seven stools of four legs and a seat, of which a further seat is a spare; the frame below is made once."""
    parts = [
        builders.part("Seat", 8, 300, assembly="stool", assemblies=7, spares_bought=1),
        builders.part("Leg", 28, 400, assembly="stool", assemblies=7),
        builders.part("Frame", 2, 700, assembly="bench"),
    ]
    job = builders.job(parts, [builders.offer("O", 20000, 9)])
    plan = hand_plan(job, ("O", ["Seat"] * 8), ("O", ["Leg"] * 28), ("O", ["Frame"] * 2))
    sheet = kits_sheet(rows_of(job, plan).parts)
    assert sheet is not None
    assert [part["title"] for part in sheet["parts"]] == ["stool, units 1 to 6 of 7", "stool, unit 7 of 7"]
    assert table(sheet, 0) == [["Seat", "1", *["ticks"] * 6], ["Leg", "4", *["ticks"] * 6]]
    assert [row[2]["count"] for row in sheet["parts"][1]["rows"]] == [1, 4]
    rest = replace(job, earlier=Earlier(bars=3))
    assert kits_sheet(rows_of(rest, plan).parts) is None, "nobody knows for which unit a part was spoiled"
