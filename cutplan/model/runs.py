"""Bars cut alike one after another are one run: the first of them and how many there are.

Along a run the numbers of the bars go on one by one, and the copies of each part from bar to bar; all else is equal.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from cutplan.model.plan import Cut, CutBar

Run = tuple[CutBar, int]
"""The first bar of a run, and how many bars it has."""


def runs_of(bars: Iterable[CutBar]) -> Iterator[Run]:
    """The same bars as runs, each as long as it can be."""
    first: CutBar | None = None
    count = 0
    pieces: Counter[str] = Counter()
    for bar in bars:
        if first is not None and _goes_on(first, count, pieces, bar):
            count += 1
            continue
        if first is not None:
            yield first, count
        first, count, pieces = bar, 1, Counter(cut.mark for cut in bar.cuts)
    if first is not None:
        yield first, count


def bars_of(first: CutBar, count: int) -> Iterator[CutBar]:
    """The bars of a run, one by one."""
    yield first
    pieces = Counter(cut.mark for cut in first.cuts)
    for place in range(1, count):
        cuts = tuple(_moved(cut, cut.copy + place * pieces[cut.mark]) for cut in first.cuts)
        yield replace(first, number=first.number + place, cuts=cuts)


def _moved(cut: Cut, copy: int) -> Cut:
    """As dataclasses.replace, in half the time: a long run has a million cuts."""
    return Cut(
        mark=cut.mark,
        copy=copy,
        start=cut.start,
        end=cut.end,
        angle_a=cut.angle_a,
        angle_b=cut.angle_b,
        kerf=cut.kerf,
        held=cut.held,
        turn=cut.turn,
        turned=cut.turned,
        rolled=cut.rolled,
        shared=cut.shared,
    )


def _goes_on(first: CutBar, place: int, pieces: Counter[str], bar: CutBar) -> bool:
    """Is a bar the one at a place of the run, counted from 0?"""
    if bar.number != first.number + place or len(bar.cuts) != len(first.cuts):
        return False
    for cut, other in zip(bar.cuts, first.cuts, strict=True):
        if cut != _moved(other, other.copy + place * pieces[other.mark]):
            return False
    return replace(bar, number=first.number, cuts=first.cuts) == first
