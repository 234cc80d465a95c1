"""Bars are numbered in the order of cutting: the one that sets the saw less often, bars cut alike together."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan.model import CutBar
from cutplan.solving.saw_order import as_sawn, saw_order, settings_of
from cutplan.units import DEGREE
from tests import builders
from tests.hand_plans import hand_plan


def mitred(ends: list[tuple[int, int]]) -> list[CutBar]:
    """A bar for each pair of end angles."""
    parts = [builders.part(f"P{i}", 1, 900, mitres=pair) for i, pair in enumerate(ends)]
    job = builders.job(parts, [builders.offer("O", 1000, 9)])
    return list(hand_plan(job, *(("O", [part.mark]) for part in parts)).bars)


def test_bars_that_end_and_begin_alike_follow_one_another() -> None:
    bars = mitred([(0, 0), (45, 45), (0, 0), (45, 45), (30, 30)])
    assert settings_of(bars) == 4
    assert [bar.number for bar in saw_order(bars)] == [1, 3, 2, 4, 5]
    assert settings_of(saw_order(bars)) == 2


@given(st.lists(st.tuples(st.sampled_from([0, 30, 45]), st.sampled_from([0, 30, 45])), min_size=1, max_size=6))
def test_the_order_is_never_worse_and_loses_no_bar(ends: list[tuple[int, int]]) -> None:
    bars = mitred(ends)
    ordered = saw_order(bars)
    assert sorted(bar.number for bar in ordered) == [bar.number for bar in bars]
    assert ordered[0] == bars[0], "the longest part is cut first"
    assert settings_of(ordered) <= settings_of(bars)
    if settings_of(ordered) == settings_of(bars):
        assert ordered == bars, "no bar is moved for nothing"


@pytest.mark.parametrize("ends", [[(0, 0), (45, 0), (0, 45), (45, 45)], [(0, 45), (0, 45), (45, 0), (45, 45)]])
def test_small_sets_are_ordered_as_well_as_can_be(ends: list[tuple[int, int]]) -> None:
    bars = mitred(ends)
    best = min(settings_of([bars[0], *rest]) for rest in permutations(bars[1:]))
    assert settings_of(saw_order(bars)) == best


def test_bars_are_numbered_and_copies_counted_in_that_order() -> None:
    """Cut in the order 1, 3, 2, 4, 5, as above; the part that all bars have is counted on along it."""
    bars = [
        replace(bar, number=10 + place, cuts=tuple(replace(cut, mark="P", copy=place) for cut in bar.cuts))
        for place, bar in enumerate(mitred([(0, 0), (45, 45), (0, 0), (45, 45), (30, 30)]), 1)
    ]
    sawn = as_sawn(bars)
    assert [(bar.number, bar.source) for bar in sawn] == [(number, "O") for number in range(11, 16)]
    assert [bar.cuts[0].angle_a // DEGREE for bar in sawn] == [0, 0, 45, 45, 30]
    assert [cut.copy for bar in sawn for cut in bar.cuts] == [1, 2, 3, 4, 5]


def test_bars_cut_alike_are_cut_one_after_another() -> None:
    job = builders.job([builders.part("A", 3, 900), builders.part("B", 2, 800)], [builders.offer("O", 1000, 9)])
    bars = list(hand_plan(job, ("O", "A"), ("O", "B"), ("O", "A"), ("O", "B"), ("O", "A")).bars)
    sawn = as_sawn(bars)
    assert [(bar.number, bar.cuts[0].mark, bar.cuts[0].copy) for bar in sawn] == [
        *((1, "A", 1), (2, "A", 2), (3, "A", 3)),
        *((4, "B", 1), (5, "B", 2)),
    ]
