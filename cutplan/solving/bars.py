"""From patterns to bars: the order of cuts, running dimensions, the side held, and what is left over."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, compress, count, islice, repeat

from cutplan.model import (
    Clamp,
    Cut,
    CutBar,
    Drop,
    Fate,
    Group,
    Held,
    Part,
    PieceOf,
    Saw,
    Workshop,
    strokes,
)
from cutplan.model.placing import placed_ends, saved_at
from cutplan.solving.instance import Instance
from cutplan.solving.patterns.space import Parted, Placed
from cutplan.solving.plans import PatternUse
from cutplan.solving.solver_pieces import Pattern, Piece, Source
from cutplan.solving.uncollected import uncollected
from cutplan.units import Angle, Length, kerf_along


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
    if len(parts) == 1:
        return list(parts)
    longest_first = sorted(parts, key=_longest_first)
    if remainder >= hold:
        return longest_first
    held = [part.grip >= hold for part in longest_first]
    if all(held):
        return longest_first
    ordered = sorted(longest_first, key=lambda part: (part.cut_to_fit, part.grip >= hold))
    can_be_held = [part for part in ordered if part.grip >= hold]
    if can_be_held and ordered[-1].grip < hold:
        ordered.remove(can_be_held[-1])
        ordered.append(can_be_held[-1])
    return ordered


def _longest_first(part: Part) -> tuple[bool, Length, Angle, str]:
    return part.cut_to_fit, -part.length, part.steeper_angle, part.mark


def _sets(
    group: Group, plans: Sequence[tuple[Instance, Sequence[PatternUse]]]
) -> Iterator[tuple[int, PatternUse, list[Part]]]:
    """Each bar of some plans with its plan's place and its parts.

    Bars of the longest parts come first, so that later ones can mend a spoiled part.
    """

    def rank(place: int, bars: PatternUse, held: Sequence[tuple[Piece, int]]) -> tuple[object, ...]:
        lengths = [-piece.length for piece, n in held for _ in range(n)]
        return (sorted(lengths), plans[place][0].sources[bars.source].id, bars.pattern, place)

    # Of parts that are cut alike, those wanted come first and the spares last.
    waiting = {
        piece.parts: chain(
            *(repeat(group.parts[place], group.parts[place].quantity) for place in piece.parts),
            *(repeat(group.parts[place], group.parts[place].spares) for place in piece.parts),
        )
        for instance, _ in plans
        for piece in instance.pieces
        if len(piece.parts) > 1
    }

    def taken(held: Sequence[tuple[Piece, int]]) -> list[Part]:
        parts: list[Part] = []
        for piece, number in held:
            one = len(piece.parts) == 1
            parts += [group.parts[piece.parts[0]]] * number if one else islice(waiting[piece.parts], number)
        return parts

    sets = [
        (place, bars, [(pieces[i], bars.pattern[i]) for i in compress(count(), bars.pattern)])
        for place, (pieces, plan) in enumerate((instance.pieces, plan) for instance, plan in plans)
        for bars in plan
    ]
    for place, bars, held in sorted(sets, key=lambda one: rank(*one)):
        for _ in range(bars.count):
            yield place, bars, taken(held)


def cut_bars(
    instance: Instance, group: Group, workshop: Workshop, plan: Sequence[PatternUse], first: int
) -> list[CutBar]:
    """Lay the patterns of a plan out as bars, numbered from ``first``; copies are counted as they are cut."""
    return cut_together(group, workshop, [(instance, plan)], first)


@uncollected()
def cut_together(
    group: Group, workshop: Workshop, plans: Sequence[tuple[Instance, Sequence[PatternUse]]], first: int
) -> list[CutBar]:
    """As :func:`cut_bars`, for plans of one group, each of which keeps as many left overs as its instance says."""
    workshop = workshop.at_saw(group.saw)
    copies: Counter[str] = Counter()
    bars: list[tuple[int, CutBar]] = []
    ordered: Sequence[Placed] = ()
    before: tuple[PatternUse, list[Part]] | None = None
    for place, alike, parts in _sets(group, plans):
        instance, number = plans[place][0], first + len(bars)
        parted = instance.space.parted(alike.source, alike.pattern)
        if parted is not None:
            bars += ((place, bar) for bar in _pieces(instance, workshop, alike, parted, parts, copies, number))
            continue
        if before is None or before[0] is not alike or before[1] != parts:
            before, ordered = (alike, parts), _ordered(instance, workshop, alike, parts)
        source = instance.sources[alike.source]
        source = source.as_slanted if ordered[0].on_slant else source
        cuts = _in_this_order(source, workshop.saw, ordered, copies)
        bars.append((place, _bar_of(instance, source, alike.pattern, cuts, number)))
    if all(instance.most_kept is None for instance, _ in plans):
        return [bar for _, bar in bars]
    own: list[list[CutBar]] = [[] for _ in plans]
    for place, bar in bars:
        own[place].append(bar)
    kept = [iter(scrap_beyond(some, instance.most_kept)) for some, (instance, _) in zip(own, plans, strict=True)]
    return [next(kept[place]) for place, _ in bars]


def scrap_beyond(bars: list[CutBar], most_kept: int | None) -> list[CutBar]:
    """At most ``most_kept`` left overs: the most valuable, of those the longest; the others become scrap."""
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


def _ordered(instance: Instance, workshop: Workshop, bars: PatternUse, parts: Sequence[Part]) -> Sequence[Placed]:
    """The parts of a bar in the order in which they are cut from it."""
    hold = workshop.saw.safe_hold
    # Of very many bars few are asked what they leave: where every part can be held, the order is the same.
    left = hold if min([part.grip for part in parts]) >= hold else instance.left(bars.source, bars.pattern)
    return instance.space.in_order(bars.source, bars.pattern, parts, order_of_cuts(parts, hold, left))


def _pieces(
    instance: Instance,
    workshop: Workshop,
    bars: PatternUse,
    parted: Parted,
    parts: Sequence[Part],
    copies: Counter[str],
    first: int,
) -> Iterator[CutBar]:
    """The bars into which a length is cut for the carry, its pieces, numbered from ``first``."""
    kinds = [i for i, n in enumerate(bars.pattern) for _ in range(n)]
    waiting: dict[int, list[Part]] = {}
    for kind, part in zip(kinds, parts, strict=True):
        waiting.setdefault(kind, []).append(part)
    for number, piece in enumerate(parted.pieces, 1):
        source = piece.source
        own = [waiting[i].pop(0) for i, n in enumerate(piece.pattern) for _ in range(n)]
        usual = order_of_cuts(own, workshop.saw.safe_hold, piece.left)
        ordered = piece.in_order(own, usual) if own else []
        cuts = _in_this_order(source, workshop.saw, ordered, copies)
        piece_of = PieceOf(ordered=parted.ordered, number=number)
        yield _bar_of(instance, source, piece.pattern, cuts, first + number - 1, piece_of)


def as_it_was(instance: Instance, group: Group, workshop: Workshop, bar: CutBar, id: str) -> CutBar | None:
    """A bar with the cuts it had, of a source of the instance by its id; None where they do not lie there as they did.

    What it costs and leaves, and how its last cut is held, is as the source now is.
    """
    places = {part.mark: place for place, part in enumerate(group.parts)}
    index = next((i for i, each in enumerate(instance.sources) if each.id == id), None)
    if index is None or any(cut.mark not in places for cut in bar.cuts):
        return None
    source = instance.sources[index]
    ordered = [Placed(group.parts[places[cut.mark]], cut.way, cut.shared) for cut in bar.cuts]
    if bar.starts_on_slant:
        near = placed_ends(ordered[0].part, ordered[0].way)[0]
        if source.slant is None or near != source.slant.lying:
            return None
        source = source.as_slanted
    laid = _in_this_order(source, workshop.at_saw(group.saw).saw, ordered, Counter())
    if [(cut.start, cut.end) for cut in laid] != [(cut.start, cut.end) for cut in bar.cuts]:
        return None
    cuts = [replace(cut, copy=had.copy) for cut, had in zip(laid, bar.cuts, strict=True)]
    held = Counter(places[cut.mark] for cut in cuts)
    pattern = tuple(sum(held[place] for place in piece.parts) for piece in instance.pieces)
    return _bar_of(instance, source, pattern, cuts, bar.number)


def _bar_of(
    instance: Instance,
    source: Source,
    pattern: Pattern,
    cuts: Sequence[Cut],
    number: int,
    piece_of: PieceOf | None = None,
) -> CutBar:
    """A bar with these cuts, and what it leaves, takes and costs."""
    if cuts:
        last = cuts[-1]
        left, slack = source.length - last.end - last.kerf, source.length - source.far_trim - last.end
    else:
        left, slack = source.length, source.length  # a piece for the carry that is left whole
    drop = _drop(instance, source, left)
    work, stroke = 0, source.per_cut + instance.cut_at_least
    if stroke and cuts:
        on_slant = source.on_slant
        work = stroke * strokes(cuts, start_trim=source.start_trim, length=source.length, on_slant=on_slant)
    return CutBar(
        number=number,
        kind=source.kind,
        source=source.id,
        length=source.length,
        start_trim=source.start_trim,
        far_trim=source.far_trim,
        starts_on_slant=source.on_slant,
        piece_of=piece_of,
        cuts=tuple(cuts),
        drop=drop,
        cost=source.bare + work + instance.set_up(source, pattern) - drop.value,
        slack=slack,
    )


def _in_this_order(source: Source, saw: Saw, ordered: Sequence[Placed], copies: Counter[str]) -> list[Cut]:
    """Parts laid one after another from START on, counted on in ``copies``."""
    cuts = []
    position, last = source.start_trim, len(ordered) - 1
    ends = [placed_ends(part, way) for part, way, _, _ in ordered]
    for place, (part, (turned, rolled), shared, _) in enumerate(ordered):
        (near, _), (far, _) = ends[place]
        end = position + part.length
        next_near = 0 if place == last else ends[place + 1][0].angle
        kerf = kerf_along(saw.kerf, max(far, next_near)) if far or next_near else saw.kerf
        held, turn = Held.BAR, False
        if place == last:
            kerf = max(0, min(kerf, source.length - end))
            if end == source.length and not far:
                held = Held.NOT_CUT
            elif source.length - end - kerf < saw.safe_hold:
                held, turn = Held.PART, saw.clamp is Clamp.BAR_SIDE
        copies[part.mark] = copy = copies.get(part.mark, 0) + 1
        cuts.append(
            Cut(
                mark=part.mark,
                copy=copy,
                start=position,
                end=end,
                angle_a=near,
                angle_b=far,
                kerf=kerf,
                held=held,
                turn=turn,
                turned=turned,
                rolled=rolled,
                shared=shared,
            )
        )
        position = end + kerf - (saved_at(part, far) if shared else 0)
    return cuts


def _drop(instance: Instance, source: Source, length: Length) -> Drop:
    fate = Fate.NONE if length == 0 else Fate.KEEP if length >= instance.keep else Fate.SCRAP
    return Drop(
        start=source.length - length,
        end=source.length,
        far_end=source.far_end,
        fate=fate,
        value=instance.value(source, length),
    )
