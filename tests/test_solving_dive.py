"""Whole plans from LP solutions."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from cutplan.solving.dive import Turn, dives, round_down
from cutplan.solving.instance import Instance
from cutplan.solving.limits import Clock
from cutplan.solving.quick import Bars, covers, total_cost
from cutplan.solving.relax import Generator, Node
from tests import builders
from tests.solver_instances import instance_for, some_instance


def solved(instance: Instance) -> tuple[Generator, Node]:
    made = Generator(instance, 1_000_000_000, Clock(deadline=1e9))
    node = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    assert node is not None
    return made, node


def unfinished(turn: Turn) -> tuple[None, bool, int]:
    return None, False, turn.tried


def no_mark() -> int:
    return 10**15


@pytest.mark.parametrize("seed", range(60))
def test_rounded_and_dived_plans_are_whole_and_not_below_the_bound(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=9)
    made, node = solved(instance)
    dived = list(dives(made, node, made.root_ranges, no_mark, 6, unfinished))
    assert all(covers(instance, plan) for plan in dived)
    plans = [plan for plan in [*round_down(made, node.relaxed), *dived] if covers(instance, plan)]
    assert all(total_cost(instance, plan) >= node.bound - 1 for plan in plans)
    assert plans or node.relaxed.missing > 1e-9


def chvatal() -> Instance:
    """V. Chvatal, Linear Programming, Freeman 1983, ch. 13: best possible are 453 bars."""
    wanted = [(45, 97), (36, 610), (31, 395), (14, 211)]
    parts = [builders.part(f"M{length}", quantity, length) for length, quantity in wanted]
    return instance_for(builders.job(parts, [builders.offer("P", 100, 1)]))


def test_a_known_optimum_is_found_by_rounding_and_diving_comes_within_a_bar_of_it() -> None:
    instance = chvatal()
    made, node = solved(instance)
    assert min(total_cost(instance, plan) for plan in round_down(made, node.relaxed)) == 453_000_000
    dived = dives(made, node, made.root_ranges, no_mark, 8, unfinished)
    assert min(total_cost(instance, plan) for plan in dived) <= 454_000_000


def two_lengths(most: int | None = None) -> Instance:
    parts = [builders.part("A", 3, 500), builders.part("B", 2, 400)]
    offers = [builders.offer("P1", 1000, 10, available=most), builders.offer("P2", 1300, 12, available=most)]
    return instance_for(builders.job(parts, offers))


def test_a_dive_keeps_to_the_ranges() -> None:
    instance = two_lengths()
    made, _ = solved(instance)
    ranges = ((0, 5), (0, 0))
    node = made.relax(ranges, instance.demand, math.inf, 400)
    assert node is not None
    plans = list(dives(made, node, ranges, no_mark, 8, unfinished))
    assert plans
    assert all({bars.source for bars in plan} == {0} and covers(instance, plan) for plan in plans)


def many_lengths() -> Instance:
    wanted = [(9, 463), (7, 286), (4, 245), (2, 323), (9, 459), (3, 321)]
    parts = [builders.part(f"M{length}", quantity, length) for quantity, length in wanted]
    return instance_for(builders.job(parts, [builders.offer("P1", 1000, 10)]))


def test_so_many_dives_are_made_and_no_more() -> None:
    instance = many_lengths()
    made, node = solved(instance)
    for most in range(4):
        begun = []

        def finish(turn: Turn, begun: list[Turn] = begun) -> tuple[None, bool, int]:
            begun.append(turn)
            return None, True, turn.tried

        # Each dive is said to hold nothing at once, so that one turn is begun in each; there are two to start from.
        assert not list(dives(made, node, made.root_ranges, no_mark, most, finish))
        assert len(begun) == min(most, 2)


def test_a_dive_ends_with_what_fills_the_rest() -> None:
    instance = many_lengths()
    made, node = solved(instance)
    rest = [Bars(0, instance.single(0), 1)]
    plan = next(dives(made, node, made.root_ranges, no_mark, 1, lambda turn: (rest, False, turn.tried)))
    assert plan[-1:] == rest


def test_a_bar_that_is_whole_but_for_a_hair_is_fixed_once() -> None:
    instance = two_lengths()
    made, node = solved(instance)
    columns = made.master.columns
    pair, other = (next(k for k, c in enumerate(columns) if c.pattern == wanted) for wanted in ((2, 0), (1, 2)))
    uses = [0.0] * len(columns)
    # The LP leaves 1 - 1e-9 where 1 is meant: after that bar, the next choice is the one that is really broken.
    uses[pair], uses[other] = 1 - 1e-9, 0.4
    broken = replace(node, relaxed=replace(node.relaxed, uses=tuple(uses)))
    plan = next(dives(made, broken, made.root_ranges, no_mark, 1, unfinished))
    assert [bars.pattern for bars in plan[:2]] == [(2, 0), (1, 2)]


def test_a_dive_that_cannot_stay_below_the_mark_is_given_up() -> None:
    instance = chvatal()
    made, node = solved(instance)
    assert list(dives(made, node, made.root_ranges, lambda: 452_000_000, 8, unfinished)) == []


def test_a_dive_gives_up_when_parts_would_be_left_out() -> None:
    job = builders.job([builders.part("A", 3, 500)], [builders.offer("P1", 1000, 10, available=1)])
    made, node = solved(instance_for(job))
    assert list(dives(made, node, made.root_ranges, no_mark, 8, unfinished)) == []
    assert not any(covers(made.instance, plan) for plan in round_down(made, node.relaxed))


def test_a_struck_clock_ends_diving() -> None:
    made, node = solved(chvatal())
    made.clock.stopped_by = "user"
    assert list(dives(made, node, made.root_ranges, no_mark, 8, unfinished)) == []
