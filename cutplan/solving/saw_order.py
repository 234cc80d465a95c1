"""The order in which bars are cut, which is the one they are numbered, printed, labelled and recorded in."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from cutplan.model import CutBar, Fate, SourceKind
from cutplan.solving.uncollected import uncollected
from cutplan.units import Angle


@uncollected()
def as_sawn(bars: Sequence[CutBar]) -> list[CutBar]:
    """The bars of a group in the order of cutting, numbered on from the least; copies are counted as they are cut.

    Bars that are cut alike come one after another.
    """
    alike: dict[object, list[CutBar]] = {}
    for bar in bars:
        alike.setdefault(_way(bar), []).append(bar)
    ways = {each[0].number: each for each in alike.values()}
    ordered = [bar for first in saw_order([each[0] for each in alike.values()]) for bar in ways[first.number]]
    if all(one.number < after.number for one, after in pairwise(ordered)):
        return ordered
    copies: Counter[str] = Counter()
    numbered = []
    for number, bar in enumerate(ordered, min(bar.number for bar in bars)):
        cuts = []
        for cut in bar.cuts:
            copies[cut.mark] += 1
            cuts.append(replace(cut, copy=copies[cut.mark]))
        numbered.append(replace(bar, number=number, cuts=tuple(cuts)))
    return numbered


def _way(bar: CutBar) -> object:
    cuts = tuple([(cut.mark, cut.start, cut.angle_a, cut.angle_b) for cut in bar.cuts])
    return bar.kind is SourceKind.BOUGHT, bar.source, bar.piece_of, bar.drop.fate is Fate.KEEP, cuts


def settings_of(bars: Sequence[CutBar]) -> int:
    """How often the saw is set to another angle while these bars are cut one after another."""
    return sum(one != other for one, other in pairwise(_angle for bar in bars for _angle in _angles(bar)))


def _angles(bar: CutBar) -> list[Angle]:
    """The saw's angles along a bar, START first."""
    return [angle for cut in bar.cuts for angle in (cut.angle_a, cut.angle_b)]


def saw_order(bars: Sequence[CutBar]) -> list[CutBar]:
    """The bars in an order that sets the saw less often; as they stand where that is no better.

    The first stays first: it holds the longest part. Then comes each time a bar that begins at the angle at which
    the one before ended, one that ends at its own first angle before others. Pieces for the carry that are left whole
    come last.
    """
    if len({angle for bar in bars for cut in bar.cuts for angle in (cut.angle_a, cut.angle_b)}) < 2:
        return list(bars)
    waiting: dict[tuple[Angle, Angle], deque[CutBar]] = {}
    cut = [bar for bar in bars if bar.cuts]
    for bar in sorted(cut[1:], key=lambda bar: bar.number):
        waiting.setdefault((_angles(bar)[0], _angles(bar)[-1]), deque()).append(bar)
    ordered = cut[:1]
    while waiting:
        at = _angles(ordered[-1])[-1]
        ends = min(waiting, key=lambda ends: (ends[0] != at, ends[1] != at, waiting[ends][0].number))
        ordered.append(waiting[ends].popleft())
        if not waiting[ends]:
            del waiting[ends]
    ordered += [bar for bar in bars if not bar.cuts]
    return ordered if settings_of(ordered) < settings_of(bars) else list(bars)
