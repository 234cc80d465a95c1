"""What is not cut on the sheets to buy from and of cost, read back from the workbook."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import openpyxl

from cutplan.model import OtherLine
from cutplan.model.totals import totals_of
from cutplan.reports.paper.buying import cost_sheet
from cutplan.reports.rows import rows_of
from cutplan.reports.terminal.plan_text import summary
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from cutplan.units import CURRENCY, KG, mass_figure
from tests.builders import job, offer, part
from tests.hand_plans import hand_plan

STEEL = job([part("A", 2, 400, assembly="gate")], [offer("P1", 1000, 10)])
JOB = replace(
    STEEL,
    others=(
        OtherLine(name="hinge", quantity=4, mass_each=KG // 2, price_each=3 * CURRENCY, assembly="gate"),
        OtherLine(name="paint", quantity=1, assembly="finish"),
    ),
)
PLAN = hand_plan(JOB, ("P1", ["A", "A"]))


def cells(sheet: str) -> list[list[Any]]:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(JOB, PLAN)))
    return [[value for value in row if value is not None] for row in book[sheet].values]


def test_totals_hold_them_apart() -> None:
    totals = totals_of(JOB, PLAN)
    assert (totals.others_mass, totals.money.others) == (2 * KG, 12 * CURRENCY)
    assert (totals.money.subtotal, totals.money.to_pay) == (22 * CURRENCY, 22 * CURRENCY)
    gate, finish = totals.assemblies
    assert (gate.others, gate.others_mass, gate.others_money, gate.money) == (4, 2 * KG, 12 * CURRENCY, 10 * CURRENCY)
    assert (finish.assembly, finish.pieces, finish.others, finish.money) == ("finish", 0, 1, 0)


def test_the_sheet_to_buy_from_counts_them() -> None:
    rows = cells("Buy")
    at = next(i for i, row in enumerate(rows) if row and row[0] == "Other things: they count towards no minimum order")
    assert rows[at + 1] == ["ordered", "order", "number", "kg, total", "price as listed", "price of one", "amount"]
    first = at + 3
    assert rows[at + 2] == ["4 x hinge for gate", 4, 2, "3.00 each", 3, f"=ROUND(C{first}*F{first},2)"]
    assert rows[at + 3] == ["1 x paint for finish", 1, "no price", f"=ROUND(C{first + 1}*F{first + 1},2)"]
    assert rows[at + 4] == ["other things", f"=SUM(G{first}:G{first + 1})"]
    assert [row[1] for row in rows[at + 5 :] if row[:1] == ["other things"]] == [f"='Buy'!$G${first + 2}"]
    assert ["Not in the amounts, because a price is missing: paint."] in rows


def test_the_sheet_of_cost_shares_them_by_assembly() -> None:
    rows = cells("Mass and cost")
    heads = next(row for row in rows if row and row[0] == "assembly")
    assert heads == [
        "assembly",
        "parts",
        "parts, m",
        "parts, kg",
        "other things",
        "other, kg",
        "other, amount",
        "amount",
    ]
    gate = next(row for row in rows if row and row[0] == "gate")
    assert gate[:7] == ["gate", 2, 0.8, 2.4, 4, 2, 12]


def test_the_summary_names_them() -> None:
    text = summary(JOB, PLAN, 80)
    assert "Other things\n  4 x hinge for gate" in text
    assert "12.00 EUR" in text
    assert "Other things       2.0 kg, where the list says what they weigh" in text
    assert "No price           paint" in text
    assert "To pay             22.00 EUR; what has no price is left out" in text


def test_the_printed_sheet_of_cost_has_them_in_every_total_by_assembly() -> None:
    """By hand: a length of 10.00 and 4 hinges at 3.00 come to 22.00; paint has no price. Two hinges weigh 1 kg."""
    rows = rows_of(JOB, PLAN)
    by_assembly = cost_sheet(rows)["parts"][1]
    table = [[cell if isinstance(cell, str) else cell["text"] for cell in row] for row in by_assembly["rows"]]
    gate = mass_figure(rows.totals.assemblies[0].part_mass + 2 * KG, JOB.workshop.printing)
    assert table == [
        ["gate", "2", "0.8 m", "10.00", "4", "12.00", gate, "22.00"],
        ["finish", "0", "0 m", "0.00", "1", "0.00", "0.0", "0.00"],
    ]
    # Without such things the columns are not there.
    assert "other things" not in cost_sheet(rows_of(STEEL, hand_plan(STEEL, ("P1", ["A", "A"]))))["parts"][1]["heads"]
