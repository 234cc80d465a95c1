"""What a bar of a source costs at least as a bound sees it: by hand."""

from __future__ import annotations

from cutplan.model import Work
from cutplan.units import CURRENCY
from tests.builders import job, offer, part
from tests.test_checking_possible_costs import problem_of


def test_a_bar_costs_its_price_and_the_squaring_of_a_trimmed_start() -> None:
    """10.00 and 2.00 for the squaring; a mitred part at START takes its own stroke, which it is reckoned with."""
    square, mitred = [part("A", 1, 900)], [part("A", 1, 900, mitres=(45, 45))]
    offers, work = [offer("P1", 6000, 10)], Work(per_cut=2 * CURRENCY)
    assert problem_of(job(square, offers, end_trim=10, work=work)).price(0) == 12 * CURRENCY
    assert problem_of(job(square, offers, end_trim=0, work=work)).price(0) == 10 * CURRENCY
    assert problem_of(job(mitred, offers, end_trim=10, work=work)).price(0) == 10 * CURRENCY
