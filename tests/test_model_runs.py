"""Runs give back the very bars they were made of, and are as long as they can be."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan.model import CutBar, Fate
from cutplan.model.runs import bars_of, runs_of
from tests import builders
from tests.hand_plans import hand_plan

SETS = (("A", "A", "B"), ("B",), ("A",), ("B", "A", "A"))


def bars_cut(sets: list[tuple[str, ...]]) -> list[CutBar]:
    marks = [mark for each in sets for mark in each]
    parts = [builders.part(mark, marks.count(mark), {"A": 300, "B": 200}[mark]) for mark in sorted(set(marks))]
    job = builders.job(parts, [builders.offer("O", 1000, 9)], kerf=2)
    return list(hand_plan(job, *(("O", each) for each in sets)).bars)


def back(bars: list[CutBar]) -> list[CutBar]:
    return [bar for first, count in runs_of(bars) for bar in bars_of(first, count)]


@given(st.lists(st.sampled_from(SETS), min_size=1, max_size=12), st.data())
def test_every_bar_comes_back(sets: list[tuple[str, ...]], data: st.DataObject) -> None:
    bars = bars_cut(sets)
    assert back(bars) == bars
    wanted = sum(place == 0 or sets[place] != sets[place - 1] for place in range(len(sets)))
    assert len(list(runs_of(bars))) == wanted, "bars in a row that hold the same set are one run"
    place = data.draw(st.integers(0, len(bars) - 1))
    bar = bars[place]
    cut = bar.cuts[-1]
    changes = (
        replace(bar, number=bar.number + 1),
        replace(bar, slack=bar.slack + 1),
        replace(bar, drop=replace(bar.drop, mark="K7")),
        replace(bar, cuts=(*bar.cuts[:-1], replace(cut, copy=cut.copy + 1))),
        replace(bar, cuts=(*bar.cuts[:-1], replace(cut, turn=True))),
        replace(bar, cuts=(*bar.cuts[:-1], replace(cut, turned=True, rolled=2, shared=True))),
    )
    bars[place] = data.draw(st.sampled_from(changes))
    assert back(bars) == bars, "whatever differs begins another run"


def test_copies_go_on_from_bar_to_bar() -> None:
    bars = bars_cut([("A", "A", "B")] * 3)
    ((first, count),) = runs_of(bars)
    assert (first, count) == (bars[0], 3)
    assert [(cut.mark, cut.copy) for cut in list(bars_of(first, count))[2].cuts] == [("A", 5), ("A", 6), ("B", 3)]
    assert bars[0].drop.fate is Fate.SCRAP


def test_no_bars_are_no_run() -> None:
    assert list(runs_of([])) == []


@pytest.mark.parametrize("count", [1, 2, 1000])
def test_a_run_has_as_many_bars_as_it_says(count: int) -> None:
    assert len(list(bars_of(bars_cut([("B",)])[0], count))) == count
