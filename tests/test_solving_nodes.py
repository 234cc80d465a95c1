"""Cases: bounded by length, by their LP, and by a raised penalty where their bar counts hold no plan."""

from __future__ import annotations

from functools import partial
from unittest import mock

import pytest

from cutplan.checking import check
from cutplan.model import Merchant, Split, groups_of
from cutplan.planning import plan_job
from cutplan.solving.certificate import dual_bound, fitting
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.nodes import Bounder, by_length
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from cutplan.solving.pricing import Grid
from cutplan.solving.whole_numbers import instance_of
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, some_instance

CHEAP = 1_000_000
"""A penalty of 1, for which the LP rather leaves parts out than buy a bar of 10 for two of them."""

TWO = ((2, 2), (0, 0))


def instance(quantity: int, length: int) -> Instance:
    """Bars of 10, and a dearer one for which costs come in steps of 0.01."""
    offers = [builders.offer("P", 1000, 10), builders.offer("Q", 1000, "10.01")]
    return instance_for(builders.job([builders.part("A", quantity, length)], offers))


def bounder(
    of: Instance,
    plan: list[PatternUse],
    penalty: int,
    clock: Clock | None = None,
    parameters: Parameters | None = None,
) -> Bounder:
    parameters = parameters or Parameters()
    incumbent = Incumbent(of)
    incumbent.offer(plan)
    return Bounder(ColumnGenerator(of, penalty, clock or Clock(deadline=1e9), parameters), incumbent, parameters, 1_000)


def test_by_length_every_part_is_worth_its_share_of_the_best_bar() -> None:
    # Three of 300 fill a bar of 10 as far as they can, and two of 400.
    node = by_length(instance(6, 300), 1_000, Parameters())
    assert node.bound == 20_000_000
    assert node.leaf.duals == (3_333_333_333,)
    node = by_length(instance(6, 400), 1_000, Parameters())
    assert node.bound == 30_000_000
    assert node.leaf.duals == (5_000_000_000,)
    assert not node.relaxation.solution.uses


def tried_by_length(of: Instance, *, stopped: bool) -> int:
    """How many duals a bound by length alone is worked out for."""
    with mock.patch("cutplan.solving.nodes.fitting", wraps=fitting) as tried:
        assert by_length(of, 1_000, Parameters(), stopped=partial(bool, stopped)).bound > 0
    return tried.call_count


def test_once_time_is_up_the_most_promising_duals_are_the_only_ones() -> None:
    of = next(instance for instance in map(some_instance, range(50)) if tried_by_length(instance, stopped=False) > 1)
    assert tried_by_length(of, stopped=True) == 1


@pytest.mark.parametrize("seed", seeds(600))
def test_what_no_duals_bound_is_known_where_there_may_be_no_bar(seed: int) -> None:
    """It is nothing, as pricing says too; where a bar must be there, or brings money in, pricing alone knows."""
    of = some_instance(seed)
    grid = Grid.of(of, of.divisor, for_bound=True)
    may_be_none = tuple((0, source.most) for source in of.sources)
    if not of.most_earned:
        assert dual_bound(grid, (0,) * len(of.pieces), may_be_none, 1_000)[0] == 0
    must = tuple((min(1, source.most), source.most) for source in of.sources)
    least = sum(source.price - of.value(source, source.untouched) for source in of.sources if source.most)
    assert by_length(of, 1_000, Parameters(length_bounds=0), must).bound >= least


def test_a_bar_may_cost_less_than_nothing_to_a_bound() -> None:
    """The Wharf's bar of 0.25 could be filled to its end, which would spare a stroke of 0.50 that is counted for it."""
    yard, wharf = builders.offer("P", 1000, "0.25"), builders.offer("Q", 1001, "0.25", merchant="Wharf")
    terms = Merchant(name="Wharf", cuts_to_plan=True, cut_charge=CURRENCY // 2)
    job = builders.job([builders.part("A", 1, 80, mitres=(45, 0))], [yard, wharf], merchants=[terms])
    plan = plan_job(job, time_limit=0)
    assert check(job, plan) == ()
    (group,) = groups_of(job)
    of = instance_of(group, job.workshop, group.offers, Parameters())
    assert by_length(of, 1_000, Parameters(length_bounds=0)).bound == -CURRENCY // 4


def test_counts_that_hold_no_plan_are_bounded_as_high_as_is_of_use() -> None:
    # Three of 600 need three bars; of two bars the LP leaves one part out, whose penalty alone would settle nothing.
    three = instance(3, 600)
    means = bounder(three, [PatternUse(0, (1,), 3)], CHEAP)
    node = means.bounded(TWO)
    assert node.bound >= 30_000_000
    assert node.leaf.ranges == TWO
    assert means.generator.penalty == CHEAP


def test_without_raising_they_are_not() -> None:
    never = Parameters(raises=0)
    node = bounder(instance(3, 600), [PatternUse(0, (1,), 3)], CHEAP, parameters=never).bounded(TWO)
    assert node.bound < 30_000_000


def test_counts_that_hold_a_plan_are_never_bounded_above_it() -> None:
    node = bounder(instance(3, 600), [], 100_000_000).bounded(((0, 3), (0, 3)))
    assert node.bound <= 30_000_000


def test_a_case_of_bars_told_apart_names_the_part_of_the_group() -> None:
    # The first of the two pieces stands for parts 0 and 2, which are cut alike; the second is part 1.
    wanted = [("A", 1, 600), ("B", 2, 300), ("C", 1, 600)]
    job = builders.job([builders.part(*part) for part in wanted], [builders.offer("P", 1000, 10)])
    split = Split(share=0, part=1, copies=2, low=1, high=1)
    node = bounder(instance_for(job), [], 100_000_000).bounded(((0, 4),), (split,))
    assert [(s.part, s.copies) for s in node.leaf.splits] == [(1, 2)]
    assert node.splits == (split,)
    # A bar with both of 300 leaves no room for one of 600, so that each of these needs one more.
    assert node.bound == 30_000_000


def test_where_time_is_up_before_the_lp_the_length_bounds_a_case(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ColumnGenerator, "relax", lambda *_, **__: None)
    of = instance(6, 400)
    assert bounder(of, [], 100_000_000).bounded(((0, 6), (0, 6))).bound == by_length(of, 1_000, Parameters()).bound
