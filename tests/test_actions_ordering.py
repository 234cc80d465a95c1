"""Orders noted for the small list and for one with two merchants."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.gone_wrong import Unsaid
from cutplan.actions.jobs import job_show
from cutplan.actions.ordering import _to_pay_by_merchant, job_ordered
from cutplan.model import OtherLine
from cutplan.problems import ProblemsFound
from cutplan.reading.forms.past_prices import read_past_prices
from cutplan.units import parse_money
from cutplan.words.job_words import ordered_text
from tests.workbooks import trailer

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = Path("reports/frame/plan.json")
TWO = (
    "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\nYard,SHS 40x40x3,3000,19.80,each\n"
    "Mill,flat 50x5,6000,12.00,each\n"
)


@pytest.fixture
def rack(parts: str) -> actions.Rack:
    rack = actions.find_rack(near=parts, who="Ines")
    actions.plan_into(actions.read_job(parts), "reports/frame", rack=rack)
    return rack


@pytest.fixture
def two(parts: str) -> actions.Rack:
    """A flat from another merchant beside the tube: 12.00 and 55.20."""
    Path("prices.csv").write_text(TWO)
    with Path(parts).open("a") as file:
        file.write("C,1,flat 50x5,900\n")
    rack = actions.find_rack(near=parts, who="Ines")
    actions.plan_into(actions.read_job(parts), "reports/frame", rack=rack)
    return rack


def test_orders_at_two_merchants(two: actions.Rack) -> None:
    with pytest.raises(Unsaid) as unsaid:
        job_ordered(PLAN, two, number="12")
    assert (unsaid.value.field, set(unsaid.value.choices)) == ("merchant", {"Yard", "Mill"})
    assert job_ordered(PLAN, two, merchant="mill", number="12").merchants == ("Mill",)
    assert job_show(two, str(PLAN)).money.paid == parse_money("12.00")
    done = job_ordered(PLAN, two, merchant="Yard")
    assert (done.merchants, done.before) == (("Yard",), ())
    assert job_show(two, str(PLAN)).money.paid == parse_money("67.20")
    assert job_ordered(PLAN, two, merchant="Mill", number="12").before == ("Mill",)
    with pytest.raises(ProblemsFound, match=r"an order that was noted on .*, number 12"):
        job_ordered(PLAN, two, merchant="Mill", number="13")


def test_prices_of_an_order_are_kept_once(two: actions.Rack) -> None:
    path = actions.past_prices_file(two.path)
    assert job_ordered(PLAN, two, merchant="Mill", day="2031-05-04").prices == 1
    done = job_ordered(PLAN, two, merchant="Yard", day="2031-05-04")
    assert (done.prices, ordered_text(done)) == (2, "frame: ordered from Yard. 2 prices kept for next time.")
    assert job_ordered(PLAN, two, merchant="Yard", day="2031-05-04").prices == 0
    kept = read_past_prices(path)
    assert {(price.day.isoformat(), price.merchant, price.price) for price in kept} == {
        ("2031-05-04", "Mill", parse_money("12.00")),
        ("2031-05-04", "Yard", parse_money("35.40")),
        ("2031-05-04", "Yard", parse_money("19.80")),
    }


REFUSED = {
    "another merchant": ({"merchant": "Dock"}, "--merchant: found Dock.\nAccepted: a merchant of the plan: Yard."),
    "no day": ({"day": "4.5.2031"}, '--date: found "4.5.2031".\nAccepted: a day such as 2031-06-01: year, month, day.'),
}


@pytest.mark.parametrize("case", REFUSED)
def test_an_order_that_is_refused(case: str, rack: actions.Rack) -> None:
    how, text = REFUSED[case]
    with pytest.raises(ProblemsFound) as refused:
        job_ordered(PLAN, rack, **how)
    assert str(refused.value) == text
    assert not rack.path.exists()


def test_a_plan_that_buys_nothing_is_not_ordered(rack: actions.Rack) -> None:
    actions.rack_add(rack, "SHS 40x40x3", "6000", quantity=2, end_a="mill", end_b="mill")
    actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=rack)
    with pytest.raises(ProblemsFound, match="frame: found a plan that buys nothing"):
        job_ordered(PLAN, rack)


def test_what_is_not_cut_is_paid_with_the_order_it_stands_in() -> None:
    """31.35 and, from Far, 80.00 with four hinges at 2.50, each with 21 % of tax: 37.93 and 108.90."""
    job, plan = trailer()
    job = replace(job, others=(OtherLine(name="hinge", quantity=4, price_each=2_500_000, merchant="far"),))
    assert _to_pay_by_merchant(job, plan) == {"Yard": parse_money("37.93"), "Far": parse_money("108.90")}
    assert sum(order.to_pay for order in actions.orders(job, plan)) == parse_money("146.83")
