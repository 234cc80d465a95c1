"""An order is the plan's own figures: its lines, charges, tax and what is still without a price."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model import Job, Merchant, OtherLine, Plan
from cutplan.model.totals import totals_of
from cutplan.planning import plan_job
from cutplan.units import money_text
from cutplan.words.order_words import condition_lines, in_no_order, message_text, order_values, orders_of
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import trailer


def carried() -> tuple[Job, Plan]:
    """A bar of 6 m at 30.00 halved for a carry of 3.5 m at 2.35 a cut of 3 mm, pieces up to 5 mm short; tax of 21 %."""
    yard = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=2_350_000)
    job = builders.job(
        [builders.part("A", 2, 2900)], [builders.offer("P", 6000, 30)], merchants=[yard], longest_carry=3500
    )
    job = replace(job, workshop=replace(job.workshop, tax_millionths=210_000, name="Forge", certificate="type 3.1"))
    return job, plan_job(job)


def test_the_sums_of_two_merchants_by_hand() -> None:
    """Yard: 31.35, tax 6.5835. Far: 27.50 + 19.99 + 20.00 + 12.51 to make up 60.00: 80.00, tax 16.80."""
    job, plan = trailer()
    yard, far = orders_of(job, plan, "0a1b2c3d")
    assert [(name, money_text(amount)) for name, amount in yard.sums] == [
        ("tax of 21 %", "6.58"),
        ("to pay, tax included", "37.93"),
    ]
    assert [(name, money_text(amount)) for name, amount in far.sums] == [
        ("delivery", "20.00"),
        ("to make up the minimum order", "12.51"),
        ("total", "80.00"),
        ("tax of 21 %", "16.80"),
        ("to pay, tax included", "96.80"),
    ]
    assert (yard.number, far.number, far.day) == ("0a1b2c3d-1", "0a1b2c3d-2", "")
    assert sum(order.money for order in (yard, far)) == totals_of(job, plan).money.subtotal


def test_the_message_says_how_lengths_are_cut_and_what_may_come_short() -> None:
    (order,) = orders_of(*carried(), "0a1b2c3d")
    lines = message_text(replace(order, day="2031-06-01")).splitlines()
    assert lines == [
        "Order 0a1b2c3d-1 of 2031-06-01",
        "To: Yard",
        "From: Forge",
        "",
        "1. 1 length x 6 m SHS 40x40x3, EN 10219-2, grade not stated, black: cut at 2905 mm, the rest 3092 mm",
        "   30.00 each, 30.00",
        "",
        "1 cut made to be carried        2.35",
        "Total                          32.35",
        "Tax of 21 %                     6.79",
        "To pay, tax included           39.14",
        "Amounts in EUR, prices without tax.",
        "",
        "To be fetched.",
        "Lengths cut for the carry: no piece longer than ordered, none more than 5 mm shorter. "
        "The rest of a length is ours too.",
        "With certificate: type 3.1.",
        "In total 18.0 kg, computed from nominal sizes.",
    ]


def test_values_hold_the_same_figures() -> None:
    (order,) = orders_of(*carried(), "0a1b2c3d")
    values = order_values(order)
    assert (values["money"], values["to_pay"], values["mass_kg"]) == ("32.35", "39.14", "18.000")
    assert values["items"][0]["cut_mm"] == [{"count": 1, "pieces": ["2905", "3092"]}]
    assert values["charges"] == [{"what": "1 cut made to be carried", "money": "2.35"}]


def test_what_has_no_price_is_named_and_not_in_the_sums() -> None:
    side = builders.square_tube(50)
    offers = [builders.offer("P", 6000, None), builders.offer("Q", 6000, 20, section=side)]
    job = builders.job([builders.part("A", 1, 900), builders.part("B", 1, 900, section=side)], offers)
    (order,) = orders_of(job, hand_plan(job, ("P", ["A"]), ("Q", ["B"])), "0a1b2c3d")
    assert order.without_price == ("6 m SHS 40x40x3",)
    assert condition_lines(order)[-1] == "Price still to be agreed, and not in the sums: 6 m SHS 40x40x3."
    assert [(name, money_text(amount)) for name, amount in order.sums] == [("total", "20.00"), ("to pay", "20.00")]
    assert "   no price\n" in message_text(order)
    none = builders.job([builders.part("A", 1, 900)], offers[:1])
    (order,) = orders_of(none, hand_plan(none, ("P", ["A"])), "0a1b2c3d")
    assert order.sums == []


def test_what_is_not_cut_is_ordered_where_its_line_says() -> None:
    job, plan = trailer()
    hinge = OtherLine(name="hinge", quantity=4, price_each=2_500_000, merchant="far", note="left")
    job = replace(
        job,
        others=(hinge, OtherLine(name="paint", quantity=1, merchant="Ironmonger"), OtherLine(name="rag", quantity=1)),
    )
    _, far, ironmonger = orders_of(job, plan, "0a1b2c3d")
    assert money_text(far.money) == "90.00"
    assert "3. 4 x hinge, left\n   2.50 each, 10.00\n" in message_text(far)
    assert (ironmonger.merchant, ironmonger.without_price, ironmonger.sums) == ("Ironmonger", ("paint",), [])
    assert in_no_order(job) == ("rag",)


def test_a_merchant_who_cuts_to_plan_is_sent_its_sheets() -> None:
    job, plan = trailer()
    far = replace(job.workshop.merchants[0], cuts_to_plan=True, cut_charge=1_000_000)
    job = replace(job, workshop=replace(job.workshop, merchants=(far,), address="4 Mill Lane"))
    _, order = orders_of(job, plan, "0a1b2c3d")
    assert condition_lines(order) == [
        "To be delivered to 4 Mill Lane.",
        "Cut to the enclosed sheets of plan 0a1b2c3d; what is left of each length is ours too.",
    ]
