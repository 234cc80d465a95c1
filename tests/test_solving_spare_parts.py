"""Spares: cut where they cost nothing, from what is scrap first, and from no bar that they do not fit."""

from __future__ import annotations

from cutplan.model import Job, Work
from cutplan.solving.plans import PatternUse, total_cost
from cutplan.solving.spare_parts import with_spares
from tests.builders import job, offer, part
from tests.solver_instances import instance_for

BARS = [offer("A", 1000, 10)]


def spared(tiny: Job, *plan: PatternUse) -> list[PatternUse]:
    instance = instance_for(tiny)
    filled = with_spares(instance, plan)
    assert total_cost(instance, filled) <= total_cost(instance, plan)
    return filled


def test_a_spare_takes_the_tightest_left_over_that_is_scrap() -> None:
    tiny = job([part("P", 1, 700), part("Q", 1, 800), part("S", 1, 180, spares=1)], BARS, keep=400)
    plan = (PatternUse(0, (1, 0, 0), 1), PatternUse(0, (0, 1, 0), 1), PatternUse(0, (0, 0, 1), 1))
    assert spared(tiny, *plan) == [
        PatternUse(0, (1, 0, 0), 1),
        PatternUse(0, (0, 1, 1), 1),
        PatternUse(0, (0, 0, 1), 1),
    ]


def test_a_left_over_to_keep_is_used_last() -> None:
    tiny = job([part("P", 1, 100), part("S", 2, 400, spares=2)], BARS, keep=150)
    plan = (PatternUse(0, (1, 1), 1), PatternUse(0, (0, 1), 1))
    # 500 and 600 are left, both worth keeping: the tighter first, then what the other still holds.
    assert spared(tiny, *plan) == [PatternUse(0, (1, 2), 1), PatternUse(0, (0, 2), 1)]


def test_one_of_several_bars_cut_alike_takes_it() -> None:
    tiny = job([part("P", 3, 700), part("S", 1, 300, spares=1)], BARS)
    assert spared(tiny, PatternUse(0, (1, 0), 3), PatternUse(0, (0, 1), 1)) == [
        PatternUse(0, (1, 1), 1),
        PatternUse(0, (1, 0), 2),
        PatternUse(0, (0, 1), 1),
    ]


def test_nothing_that_costs() -> None:
    wanted = [part("P", 1, 500, spares=1)]
    plan = PatternUse(0, (1,), 1)
    assert spared(job(wanted, BARS), plan) == [PatternUse(0, (2,), 1)]
    assert spared(job(wanted, BARS, kerf=1), plan) == [plan]
    assert spared(job(wanted, BARS, keep=300, offcut_value_per_mm=1), plan) == [plan]
    assert spared(job(wanted, BARS, work=Work(per_cut=1)), plan) == [plan]


def test_what_cannot_be_held_is_not_cut() -> None:
    tiny = job([part("S", 1, 100, spares=9)], BARS, safe_hold=150)
    # A tenth would leave nothing to hold; with eight 200 are left.
    assert spared(tiny, PatternUse(0, (1,), 1)) == [PatternUse(0, (8,), 1)]
