"""Which of the lengths that really came each bought bar of a plan is cut from."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutplan.model import CutBar, Job, Part, StockLength, Workshop, serves
from cutplan.rack.pieces import Material, Standing
from cutplan.units import Length, kerf_along


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """Bars that the same lengths serve."""

    offer: str
    length: Length
    cuts: tuple[tuple[str, Length], ...]


def assigned(job: Job, bars: Iterable[CutBar], came: Sequence[Standing]) -> dict[int, Standing]:
    """For each bar, by its number, one of the lengths that came; a bar is missing only where no length is left for it.

    As many bars as can be at all have a length: first those whose own came, then others in the order given, so that
    what came otherwise changes as few bars as can be. Of what serves a bar it has the grade it was planned with where
    there is any, then the length, then the shortest; a bar that is a piece of a length cut for the carry, which may
    have come a little longer or shorter, that nearest to its own.

    Parameters
    ----------
    bars
        Bought bars of a plan of the job.
    came
        What lies there for them, each with its quantity.
    """
    parts = {part.mark: part for part in job.parts}
    offers = {offer.id: offer for offer in job.offers}
    kinds: dict[_Kind, list[CutBar]] = {}
    for bar in bars:
        kind = _Kind(offer=bar.source, length=bar.length, cuts=tuple((cut.mark, cut.start) for cut in bar.cuts))
        kinds.setdefault(kind, []).append(bar)
    serving = [_serving(alike[0], offers[kind.offer], parts, job.workshop, came) for kind, alike in kinds.items()]
    own = [
        [
            lot
            for lot in lots
            if (came[lot].state.grade, came[lot].state.length) == (offers[kind.offer].grade, kind.length)
        ]
        for kind, lots in zip(kinds, serving, strict=True)
    ]
    given = _shared_out([len(alike) for alike in kinds.values()], serving, own, [piece.quantity for piece in came])
    found = {}
    for place, alike in enumerate(kinds.values()):
        pieces = (came[lot] for lot in serving[place] for _ in range(given[place][lot]))
        found.update({bar.number: piece for bar, piece in zip(alike, pieces, strict=False)})
    return found


def fits(bar: CutBar, parts: Mapping[str, Part], shop: Workshop, length: Length) -> bool:
    """Can a bar of this length be cut as a bought bar of the plan is, every cut held?

    The trim at its far end is kept clear, and at each cut one side has the safe hold, as it really is: a part that
    ends flush is not cut off, and is what is held for the cut before it.
    """
    if not bar.cuts:
        return length >= bar.length
    last, saw = bar.cuts[-1], shop.at_saw(parts[bar.cuts[0].mark].saw).saw
    if length < last.end + bar.far_trim:
        return False
    flush = length == last.end and not last.angle_b
    grips = [parts[cut.mark].grip for cut in bar.cuts]
    if flush and len(bar.cuts) == 1:
        return not last.angle_a or bar.starts_on_slant or grips[0] >= saw.safe_hold
    for place, cut in enumerate(bar.cuts[:-1] if flush else bar.cuts):
        kerf = cut.kerf if cut is not last else kerf_along(saw.kerf, last.angle_b)
        beyond = max(0, length - cut.end - kerf)
        if flush and place == len(bar.cuts) - 2:
            beyond = grips[-1]
        if max(beyond, grips[place]) < saw.safe_hold:
            return False
    return True


def _serving(
    bar: CutBar, offer: StockLength, parts: Mapping[str, Part], shop: Workshop, came: Sequence[Standing]
) -> list[int]:
    """Places of the lengths that a bar can be cut from, the one it would rather have first."""
    material = Material(designation=offer.section.designation, standard=offer.section.standard, finish=offer.finish)
    return sorted(
        (
            lot
            for lot, piece in enumerate(came)
            if piece.material == material
            and all(serves(piece.state.grade, parts[cut.mark].grades) for cut in bar.cuts)
            and fits(bar, parts, shop, piece.state.length)
        ),
        key=lambda lot: (
            came[lot].state.grade != offer.grade,
            abs(came[lot].state.length - bar.length) if bar.piece_of else came[lot].state.length != bar.length,
            came[lot].state.length,
            lot,
        ),
    )


def _shared_out(
    wanted: Sequence[int], serving: Sequence[Sequence[int]], own: Sequence[Sequence[int]], there: Sequence[int]
) -> list[Counter[int]]:
    """How many of each lot each kind of bar is given: the most bars there can be, by augmenting paths.

    Each kind has its own lots first. Then it takes what is free; where nothing is, another kind gives one up for
    something else that serves it.

    References
    ----------
    J. E. Hopcroft, R. M. Karp, An n^5/2 algorithm for maximum matchings in bipartite graphs, SIAM J. Comput. 2 (1973)
    """
    free = list(there)
    given: list[Counter[int]] = [Counter() for _ in wanted]
    for kind, lots in enumerate(own):
        for lot in lots:
            given[kind][lot] = min(free[lot], wanted[kind] - given[kind].total())
            free[lot] -= given[kind][lot]
    for kind, number in enumerate(wanted):
        number -= given[kind].total()
        while number and (path := _path(kind, serving, given, free)):
            amount = min(number, free[path[-1][1]], *(given[giver][lot] for (_, lot), (giver, _) in pairwise(path)))
            for taker, lot in path:
                given[taker][lot] += amount
            for (_, lot), (giver, _) in pairwise(path):
                given[giver][lot] -= amount
            free[path[-1][1]] -= amount
            number -= amount
    return given


def _path(
    kind: int, serving: Sequence[Sequence[int]], given: Sequence[Mapping[int, int]], free: Sequence[int]
) -> list[tuple[int, int]]:
    """Kinds and what each takes: the first from the second, and so on, and the last what is free; none is empty."""
    before: dict[int, tuple[int, int] | None] = {kind: None}
    waiting = deque([kind])
    while waiting:
        taker = waiting.popleft()
        for lot in serving[taker]:
            if free[lot]:
                path = [(taker, lot)]
                while (step := before[path[-1][0]]) is not None:
                    path.append(step)
                return path[::-1]
        for lot in serving[taker]:
            for giver, lots in enumerate(given):
                if giver not in before and lots.get(lot):
                    before[giver] = (taker, lot)
                    waiting.append(giver)
    return []
