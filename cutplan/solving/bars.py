"""From patterns to bars: the order of cuts, running dimensions, the side held, and what is left over."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from cutplan.model import (
    Clamp,
    Cut,
    CutBar,
    Drop,
    Fate,
    Group,
    Held,
    Part,
    Workshop,
    cuts_counted,
)
from cutplan.solving.problem import Problem, Source
from cutplan.solving.quick import Bars
from cutplan.units import Length, kerf_along


def order_of_cuts(parts: Sequence[Part], hold: Length, remainder: Length) -> list[Part]:
    """Longest first; but where the left over cannot be held, short parts first and one that can be held last.

    Parts that are cut to fit come after all others, so that they stay in the bar until the rest is welded up; only
    where none of them can be held is another part, which can, cut after them.

    Parameters
    ----------
    parts
        The set on one bar, each part as often as it is cut.
    hold
        Shortest length the vice may hold; 0 for no rule. [nm]
    remainder
        What is left after the last cut; negative when the last part ends flush. [nm]
    """
    longest_first = sorted(parts, key=lambda part: (part.cut_to_fit, -part.length, part.steeper_angle, part.mark))
    if remainder >= hold:
        return longest_first
    ordered = sorted(longest_first, key=lambda part: (part.cut_to_fit, part.grip >= hold))
    can_be_held = [part for part in ordered if part.grip >= hold]
    if can_be_held and ordered[-1].grip < hold:
        ordered.remove(can_be_held[-1])
        ordered.append(can_be_held[-1])
    return ordered


def _sets(problem: Problem, group: Group, plan: Sequence[Bars]) -> Iterator[tuple[Source, list[Part]]]:
    """Each bar with its parts: bars of the longest parts first, so that later ones can mend a spoiled part."""

    def rank(bars: Bars) -> tuple[object, ...]:
        lengths = [-p.length for p, n in zip(problem.pieces, bars.pattern, strict=True) for _ in range(n)]
        return (sorted(lengths), problem.sources[bars.source].id, bars.pattern)

    # Of parts that are cut alike, those wanted come first and the spares last.
    waiting = [
        iter(
            [group.parts[place] for place in piece.parts for _ in range(group.parts[place].quantity)]
            + [group.parts[place] for place in piece.parts for _ in range(group.parts[place].spares)]
        )
        for piece in problem.pieces
    ]
    for bars in sorted(plan, key=rank):
        for _ in range(bars.count):
            parts = [next(waiting[i]) for i, n in enumerate(bars.pattern) for _ in range(n)]
            yield problem.sources[bars.source], parts


def cut_bars(problem: Problem, group: Group, workshop: Workshop, plan: Sequence[Bars], first: int) -> list[CutBar]:
    """Lay the patterns of a plan out as bars, numbered from ``first``; copies are counted as they are cut."""
    copies: Counter[str] = Counter()
    bars = []
    for number, (source, parts) in enumerate(_sets(problem, group, plan), first):
        bars.append(_cut_bar(problem, workshop, source, parts, copies, number))
    return _scrap_beyond(bars, problem.most_kept)


def _scrap_beyond(bars: list[CutBar], most_kept: int | None) -> list[CutBar]:
    """Where only so many left overs may be kept: the most valuable, of those the longest; the others become scrap."""
    kept = [bar for bar in bars if bar.drop.fate is Fate.KEEP]
    if most_kept is None or len(kept) <= most_kept:
        return bars
    kept.sort(key=lambda bar: (-bar.drop.value, -bar.drop.length, bar.number))
    scrapped = {bar.number for bar in kept[most_kept:]}
    return [
        replace(bar, drop=replace(bar.drop, fate=Fate.SCRAP, value=0), cost=bar.cost + bar.drop.value)
        if bar.number in scrapped
        else bar
        for bar in bars
    ]


def _cut_bar(
    problem: Problem,
    workshop: Workshop,
    source: Source,
    parts: Sequence[Part],
    copies: dict[str, int],
    number: int,
) -> CutBar:
    saw = workshop.saw
    taken = sum(part.length + kerf_along(saw.kerf, part.steeper_angle) for part in parts)
    remainder = source.reach - taken
    ordered = order_of_cuts(parts, saw.safe_hold, remainder)
    cuts = []
    position = source.start_trim
    for place, part in enumerate(ordered, 1):
        end = position + part.length
        kerf = kerf_along(saw.kerf, part.steeper_angle)
        held, turn = Held.BAR, False
        if place == len(ordered):
            if end == source.length and not part.mitred:
                held, kerf = Held.NOT_CUT, 0
            else:
                kerf = min(kerf, source.length - end)
                if max(0, remainder) < saw.safe_hold:
                    held, turn = Held.PART, saw.clamp is Clamp.BAR_SIDE
        copies[part.mark] += 1
        cuts.append(
            Cut(
                mark=part.mark,
                copy=copies[part.mark],
                start=position,
                end=end,
                angle_a=part.end_a.angle,
                angle_b=part.end_b.angle,
                kerf=kerf,
                held=held,
                turn=turn,
            )
        )
        position = end + kerf
    drop = _drop(problem, source, max(0, remainder))
    work = (source.per_cut + problem.cut_at_least) * cuts_counted(cuts)
    work += source.per_setup * len({part.cut_alike for part in ordered})
    return CutBar(
        number=number,
        kind=source.kind,
        source=source.id,
        length=source.length,
        start_trim=source.start_trim,
        far_trim=source.far_trim,
        cuts=tuple(cuts),
        drop=drop,
        cost=source.price + work - drop.value,
        slack=source.room - taken,
    )


def _drop(problem: Problem, source: Source, length: Length) -> Drop:
    fate = Fate.NONE if length == 0 else Fate.KEEP if length >= problem.keep else Fate.SCRAP
    return Drop(
        start=source.length - length,
        end=source.length,
        far_end=source.far_end,
        fate=fate,
        value=problem.value(source, length),
    )
