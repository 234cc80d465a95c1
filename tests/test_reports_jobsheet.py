"""The sheet of each of several jobs in the workbook."""

from __future__ import annotations

import io
from dataclasses import replace

import openpyxl
import pytest

from cutplan.model import Merchant, joined
from cutplan.reports.rows import rows_of
from cutplan.reports.workbook.cells import Book
from cutplan.reports.workbook.jobsheet import free_name
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from cutplan.units import CURRENCY
from tests import builders
from tests.hand_plans import hand_plan
from tests.test_model_joining import BENCH, GATE
from tests.test_reports_own_rows import BOTH, PLAN
from tests.test_reports_own_sheets import with_holes


@pytest.mark.parametrize(
    ("names", "found"),
    [
        (["gate"], ["gate"]),
        (["Gate", "gate", "GATE"], ["Gate", "gate 2", "GATE 3"]),
        (["Parts", "history"], ["Parts", "history 2"]),
        (["a/b:c*d?[e]"], ["a-b-c-d--e-"]),
        (["'quoted'", "''"], ["quoted", "job"]),
        (["x" * 40, "x" * 50], ["x" * 31, "x" * 29 + " 2"]),
    ],
)
def test_names_of_sheets_are_told_apart(names: list[str], found: list[str]) -> None:
    """Excel takes 31 characters, tells no capitals, keeps "History" to itself and ends no name with an apostrophe."""
    book = Book()
    made = []
    for name in names:
        made.append(free_name(book, name))
        book.sheet(made[-1])
    assert made == found
    assert all(len(name) <= 31 for name in made)
    assert free_name(book, "y" * 40, "drill") == "y" * 25 + " drill"


def test_parts_and_shares_of_each_job() -> None:
    shop = replace(BOTH.workshop, tax_millionths=210_000, merchants=(Merchant(name="Yard", delivery=19 * CURRENCY),))
    job = replace(BOTH, workshop=shop)
    content = io.BytesIO(workbook_bytes(job, PLAN))
    formulas, values = openpyxl.load_workbook(content), openpyxl.load_workbook(content, data_only=True)
    assert formulas.sheetnames[-2:] == ["gate", "bench"]
    lines = [[cell for cell in row if cell is not None] for row in formulas["gate"].values]
    assert ["A", 2, "SHS 40x40x3", 400, "square", "1 (1, 3)", "leaf"] in [line[:7] for line in lines]
    assert ["2 x hinge"] in lines

    def paid(name: str) -> tuple[str, float]:
        place = next(
            cell.coordinate for row in values[name].rows for cell in row if cell.value == "to pay, tax included"
        )
        beside = place.replace("D", "E")
        return formulas[name][beside].value, values[name][beside].value

    shown = [paid(own.name) for own in rows_of(job, PLAN).jobs]
    assert [value for _, value in shown] == [own.to_pay / CURRENCY for own in rows_of(job, PLAN).jobs]
    assert round(sum(value for _, value in shown), 2) == round(51 * 1.21, 2), "30 of lengths, 19 for delivery, 2 hinges"
    assert shown[0][0].startswith("=ROUND('Buy'!")
    assert "-ROUND('Buy'!" in shown[1][0], "a difference of running shares, so that they add up"


def test_amounts_lead_to_the_rows_of_the_job() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(BOTH, PLAN)))
    at = {row[0].value: row[0].row for row in book["Mass and cost"].rows if row[0].value in ("gate", "bench")}
    for name in ("gate", "bench"):
        lines = {row[3]: row[4] for row in book[name].values}
        assert lines["lengths"] == f"='Mass and cost'!$I${at[name]}"
        assert lines["charges"] == f"='Mass and cost'!$J${at[name]}"
        assert lines["other things"] == f"='Mass and cost'!$K${at[name]}"
    both = f"'Mass and cost'!$L${at['gate']}:$L${at['bench']}"
    assert lines["to pay"].count(f"SUM({both})") == 3, "all of it, and twice the whole that is shared"


def test_parts_are_sorted_by_job() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(BOTH, PLAN)))
    assert book.sheetnames[1:3] == ["Cut", "Sort by job"]
    lines = [[cell for cell in row if cell is not None] for row in book["Sort by job"].values]
    assert ["gate: 3 parts, 2.7 kg; bars cut for it alone: 2."] in lines
    at = lines.index(["sorted", "bar", "job", "parts, of each bar"])
    assert lines[at + 1 : at + 3] == [["1", "gate", "2 x A"], ["bench", "1 x B"]]
    assert len(lines) == at + 3
    assert (
        "Sort by job"
        not in openpyxl.load_workbook(
            io.BytesIO(workbook_bytes(GATE, hand_plan(GATE, ("P1", ["A", "A", "B"]))))
        ).sheetnames
    )


def test_cards_and_units_have_sheets_by_job_and_none_for_all() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(*with_holes())))
    names = book.sheetnames
    assert names[-5:] == ["gate", "gate drill", "gate units", "bench", "bench drill"]
    assert not {"Drill", "Units"} & set(names)
    titles = [book[name].cell(1, 1).value for name in names[-5:]]
    assert titles == ["gate: gate + bench", "Drill: gate", "Units: gate", "bench: gate + bench", "Drill: bench"]


def test_a_purchase_without_prices_is_shared_as_nothing() -> None:
    free = joined([replace(each, others=(), offers=tuple(replace(o, bar_price=0) for o in each.offers))
                   for each in (GATE, BENCH)])  # fmt: skip
    plan = hand_plan(free, ("P1", ["gate/A", "gate/A", "gate/B"]), ("P1", ["bench/A", "bench/B"]))
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(free, plan)))
    amounts = [row for row in book["bench"].values if "to pay" in row]
    assert [value for value in amounts[0] if value is not None] == ["to pay", 0]


def test_where_all_comes_from_the_rack_nothing_is_shared() -> None:
    racked = [replace(each, others=(), offcuts=(builders.offcut("R1", 2000),)) for each in (GATE, BENCH)]
    job = joined(racked)
    plan = hand_plan(job, ("R1", ["gate/A", "gate/A", "gate/B", "bench/A", "bench/B"]))
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(job, plan)))
    assert not [row for row in book["bench"].values if "to pay" in row]
