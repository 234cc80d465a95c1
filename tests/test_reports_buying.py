"""The sheets to buy and fetch by, and the money: the plan's own figures, in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from cutplan.model import OtherLine
from cutplan.reports.paper.buying import buy_sheet, cost_sheet, fetch_sheet, money_lines
from cutplan.reports.rows import rows_of
from cutplan.units import money_text
from cutplan.words.order_words import orders_of
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import trailer


def words(cell: Any) -> str:
    return cell if isinstance(cell, str) else cell.get("text", cell["kind"])


def table(sheet: dict[str, Any], place: int) -> list[list[str]]:
    return [[words(cell) for cell in row] for row in sheet["parts"][place]["rows"]]


def test_what_to_fetch() -> None:
    sheet = fetch_sheet(rows_of(*trailer()))
    assert table(sheet, 0) == [["tick", "R1", "-box (SHS 40x40x3), grade unknown, black", "800", "", "2.4", "3"]]


def test_where_to_deliver() -> None:
    job, plan = trailer()
    lines = buy_sheet(rows_of(job, plan), "1a2b3c4d")["lines"]
    shop = replace(job.workshop, address="4 Mill Lane, Thistlegate")
    lines.insert(1, "Address for deliveries: 4 Mill Lane, Thistlegate")
    assert buy_sheet(rows_of(replace(job, workshop=shop), plan), "1a2b3c4d")["lines"] == lines


def test_orders_have_the_numbers_that_are_sent() -> None:
    """Things that are not cut come behind what is, and give no merchant another place."""
    job, plan = trailer()
    things = (OtherLine(row=9, name="hinge", quantity=2, merchant="Dock"),)
    job = replace(job, others=things)
    sent = {order.merchant: order.number for order in orders_of(job, plan, "1a2b3c4d")}
    assert sent == {"Yard": "1a2b3c4d-1", "Far": "1a2b3c4d-2", "Dock": "1a2b3c4d-3"}
    titles = [part["title"] for part in buy_sheet(rows_of(job, plan), "1a2b3c4d")["parts"]]
    assert titles[:2] == [f"{name}, order {sent[name]}" for name in ("Yard", "Far")]


def test_an_order_per_merchant_with_its_charges() -> None:
    sheet = buy_sheet(rows_of(*trailer()), "1a2b3c4d")
    assert sheet["lines"][0] == "Prices in EUR, without tax."
    titles = [part["title"] for part in sheet["parts"]]
    assert titles == ["Yard, order 1a2b3c4d-1", "Far, order 1a2b3c4d-2", ""]
    assert sheet["parts"][1]["before"] == [
        "Delivered. Longest piece 6 m, 27.0 kg in total; no cuts wanted, whole lengths."
    ]
    to_write = ["tick", "blank", "blank", "blank"]
    assert table(sheet, 1) == [
        [
            "tick",
            "1 length x 6 m -box (SHS 40x40x3), EN 10219-2, grade not stated, black",
            "18.0",
            "27.50",
            "27.50",
            *to_write,
        ],
        ["tick", "1 length x 3 m SHS 50x50x3, EN 10219-2, grade not stated, black", "9.0", "19.99", "19.99", *to_write],
        ["", "delivery", "", "", "20.00", *[""] * 4],
        ["", "to make up the minimum order", "", "", "12.51", *[""] * 4],
        ["", "Total", "27.0", "", "80.00", *[""] * 4],
    ]


def test_the_money_adds_up_to_what_is_paid() -> None:
    job, plan = trailer()
    rows = rows_of(job, plan)
    lines = dict(money_lines(rows))
    assert lines["total"] == lines["lengths"] + lines["delivery"] + lines["to make up minimum orders"]
    assert money_text(lines["tax of 21 %"]) == "23.38", "21 % of 111.35"
    assert lines["to pay, tax included"] == lines["total"] + lines["tax of 21 %"]
    included = replace(job, workshop=replace(job.workshop, prices_include_tax=True))
    assert [name for name, _ in money_lines(rows_of(included, plan))][-2:] == [
        "to pay, tax of 21 % included",
        "tax in it",
    ]


def test_what_has_no_price_is_said() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None, merchant="")])
    sheet = buy_sheet(rows_of(job, hand_plan(job, ("P1", ["A"]))), "1a2b3c4d")
    assert sheet["parts"][0]["title"] == "No merchant named, order 1a2b3c4d-1"
    assert table(sheet, 0)[0][3:5] == ["no price", "left out"]
    assert table(sheet, 1)[-1] == ["to pay", "not known"]
    assert sheet["parts"][1]["after"][0].startswith("Not in the amounts, because a price is missing: ")


def test_other_things_are_bought_too() -> None:
    job, plan = trailer()
    hinge = OtherLine(name="hinge", quantity=4, price_each=2_500_000)
    sheet = buy_sheet(rows_of(replace(job, others=(hinge,)), plan), "1a2b3c4d")
    assert ["tick", "4 x hinge", "10.00"] in table(sheet, 2)


def test_weight_and_cost_by_section_and_assembly() -> None:
    rows = rows_of(*trailer())
    sheet = cost_sheet(rows)
    together = table(sheet, 0)[-1]
    assert together[0] == "Total"
    assert together[1] == "7"
    assert together[-1] == money_text(rows.totals.money.bars)
    assert [row[0] for row in table(sheet, 1)] == ["bed & deck", "@side"]
    shares = sum(round(float(row[-1]) * 100) for row in table(sheet, 1))
    assert abs(shares - rows.totals.money.bars // 10_000) <= 1, "shares are shown to the cent"
