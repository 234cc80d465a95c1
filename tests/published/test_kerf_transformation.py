"""A kerf taken out of the parts, and put back by the saw, changes no optimum.

With kerf k let every part be k shorter and every stock length k shorter. n parts
then take n - 1 kerfs between them, and a set fits exactly when it fitted before:
sum(l - k) + (n - 1) k <= C - k. The prices stay. So every optimum known without
a kerf is one with a kerf, and tries the n - 1 rule on bars used to the last
nanometre. Plain arithmetic; no source is needed.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.checking import check
from cutplan.model import Held, Status
from cutplan.planning import plan_job
from tests.effort import some
from tests.published.worked_examples import EXAMPLES, Example

KERFS = {"blade of 2.5 mm": Fraction(5, 2), "blade of 1/8 in": Fraction("3.175"), "blade of 0.9 mm": Fraction(9, 10)}


@pytest.mark.parametrize("kerf", some(KERFS.values(), Fraction(5, 2)), ids=list(KERFS))
@pytest.mark.parametrize("example", some(EXAMPLES, *EXAMPLES[::5]), ids=lambda example: example.name)
def test_the_optimum_stays(example: Example, kerf: Fraction) -> None:
    assert example.shortest > kerf
    job = example.job(shift=-kerf, count_shift=-kerf, kerf=str(kerf))
    plan = plan_job(job)
    assert plan.cost == plan.bound == example.least_cost
    assert plan.status is Status.RECHECKED
    assert check(job, plan) == ()


def test_bars_used_up_have_one_cut_less_than_parts() -> None:
    example = next(example for example in EXAMPLES if example.name == "taylor_25a")
    kerf = Fraction(5, 2)
    plan = plan_job(example.job(shift=-kerf, count_shift=-kerf, kerf=str(kerf)))
    # 875 bars of 25 ft, 21,875 ft, hold 20,700 ft of parts: at least one bar is used up.
    flush = [bar for bar in plan.bars if bar.cuts[-1].held is Held.NOT_CUT]
    assert flush
    assert all(bar.drop.length == 0 and bar.slack == 0 for bar in flush)


@pytest.mark.parametrize("name", ["gg_5_6_9", "desk_legs", "ampl_110", "winston_17"])
def test_without_the_shift_a_kerf_costs_money(name: str) -> None:
    """These optima use bars up: parts and bars as printed, and a saw that takes something, need more."""
    example = next(example for example in EXAMPLES if example.name == name)
    assert plan_job(example.job(kerf="2.5")).bound > example.least_cost
