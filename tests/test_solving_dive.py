"""Whole plans from LP solutions."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.dive import DiveNode, dives, round_down
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, covers, total_cost
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, some_instance


def solved(instance: Instance) -> tuple[ColumnGenerator, Relaxation]:
    made = ColumnGenerator(instance, 1_000_000_000, Clock(deadline=1e9), Parameters())
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    assert relaxation is not None
    return made, relaxation


def unfinished(dive_node: DiveNode) -> tuple[None, bool, int]:
    return None, False, dive_node.tried


def no_cutoff() -> int:
    return 10**15


@pytest.mark.parametrize("seed", seeds(60))
def test_rounded_and_dived_plans_are_whole_and_not_below_the_bound(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=9)
    made, relaxation = solved(instance)
    dived = list(dives(made, relaxation, made.root_ranges, no_cutoff, 6, unfinished))
    assert all(covers(instance, plan) for plan in dived)
    plans = [plan for plan in [*round_down(made, relaxation.solution), *dived] if covers(instance, plan)]
    assert all(total_cost(instance, plan) >= relaxation.bound - 1 for plan in plans)
    assert plans or relaxation.solution.missing > 1e-9


def chvatal() -> Instance:
    """V. Chvatal, Linear Programming, Freeman 1983, ch. 13: best possible are 453 bars."""
    wanted = [(45, 97), (36, 610), (31, 395), (14, 211)]
    parts = [builders.part(f"M{length}", quantity, length) for length, quantity in wanted]
    return instance_for(builders.job(parts, [builders.offer("P", 100, 1)]))


def test_a_known_optimum_is_found_by_rounding_and_diving_comes_within_a_bar_of_it() -> None:
    instance = chvatal()
    made, relaxation = solved(instance)
    assert min(total_cost(instance, plan) for plan in round_down(made, relaxation.solution)) == 453_000_000
    dived = dives(made, relaxation, made.root_ranges, no_cutoff, 8, unfinished)
    assert min(total_cost(instance, plan) for plan in dived) <= 454_000_000


def two_lengths(most: int | None = None) -> Instance:
    parts = [builders.part("A", 3, 500), builders.part("B", 2, 400)]
    offers = [builders.offer("P1", 1000, 10, available=most), builders.offer("P2", 1300, 12, available=most)]
    return instance_for(builders.job(parts, offers))


def test_a_dive_keeps_to_the_ranges() -> None:
    instance = two_lengths()
    made, _ = solved(instance)
    ranges = ((0, 5), (0, 0))
    relaxation = made.relax(ranges, instance.demand, math.inf, 400)
    assert relaxation is not None
    plans = list(dives(made, relaxation, ranges, no_cutoff, 8, unfinished))
    assert plans
    assert all({bars.source for bars in plan} == {0} and covers(instance, plan) for plan in plans)


def many_lengths() -> Instance:
    wanted = [(9, 463), (7, 286), (4, 245), (2, 323), (9, 459), (3, 321)]
    parts = [builders.part(f"M{length}", quantity, length) for quantity, length in wanted]
    return instance_for(builders.job(parts, [builders.offer("P1", 1000, 10)]))


def test_so_many_dives_are_made_and_no_more() -> None:
    instance = many_lengths()
    made, relaxation = solved(instance)
    for most in range(4):
        begun: list[DiveNode] = []

        def finish(dive_node: DiveNode, begun: list[DiveNode] = begun) -> tuple[None, bool, int]:
            begun.append(dive_node)
            return None, True, dive_node.tried

        # Each dive ends at once, so that one node is begun in each; there are two to start from.
        assert not list(dives(made, relaxation, made.root_ranges, no_cutoff, most, finish))
        assert len(begun) == min(most, 2)


def test_a_dive_ends_with_what_fills_the_rest() -> None:
    instance = many_lengths()
    made, relaxation = solved(instance)
    rest = [PatternUse(0, instance.single(0), 1)]
    plan = next(
        dives(made, relaxation, made.root_ranges, no_cutoff, 1, lambda dive_node: (rest, False, dive_node.tried))
    )
    assert plan[-1:] == rest


def test_a_bar_that_is_whole_but_for_a_hair_is_fixed_once() -> None:
    instance = two_lengths()
    made, relaxation = solved(instance)
    columns = made.master.columns
    pair, other = (next(k for k, c in enumerate(columns) if c.pattern == wanted) for wanted in ((2, 0), (1, 2)))
    uses = [0.0] * len(columns)
    # The LP leaves 1 - 1e-9 where 1 is meant: after that bar, the next choice is the one that is really fractional.
    uses[pair], uses[other] = 1 - 1e-9, 0.4
    fractional = replace(relaxation, solution=replace(relaxation.solution, uses=tuple(uses)))
    plan = next(dives(made, fractional, made.root_ranges, no_cutoff, 1, unfinished))
    assert [bars.pattern for bars in plan[:2]] == [(2, 0), (1, 2)]


def test_a_dive_that_cannot_stay_below_the_cutoff_is_given_up() -> None:
    instance = chvatal()
    made, relaxation = solved(instance)
    assert list(dives(made, relaxation, made.root_ranges, lambda: 452_000_000, 8, unfinished)) == []


def test_a_dive_gives_up_when_parts_would_be_left_out() -> None:
    job = builders.job([builders.part("A", 3, 500)], [builders.offer("P1", 1000, 10, available=1)])
    made, relaxation = solved(instance_for(job))
    assert list(dives(made, relaxation, made.root_ranges, no_cutoff, 8, unfinished)) == []
    assert not any(covers(made.instance, plan) for plan in round_down(made, relaxation.solution))


def test_a_struck_clock_ends_diving() -> None:
    made, relaxation = solved(chvatal())
    made.clock.stopped_by = "user"
    assert list(dives(made, relaxation, made.root_ranges, no_cutoff, 8, unfinished)) == []
