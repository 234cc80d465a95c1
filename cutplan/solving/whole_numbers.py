"""From a group and a workshop to an instance: what the solver sees of them, in whole numbers."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeAlias

from cutplan.model import (
    NO_WORK,
    Carrying,
    EndState,
    Goal,
    Group,
    Offcut,
    Part,
    Saw,
    SourceKind,
    StockLength,
    Work,
    Workshop,
    carrying,
    serves,
)
from cutplan.model.carrying import widest_kerf
from cutplan.model.placing import PlacedEnd, begins_on, saved_at, shares_cuts, slants_of, ways_of
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.patterns.choosing import Choice, choose
from cutplan.solving.patterns.laying import Joint, Kind
from cutplan.solving.patterns.vertices import Vertex
from cutplan.solving.solver_pieces import InPieces, Piece, SlantedEnd, Source
from cutplan.solving.uncollected import uncollected
from cutplan.units import MM, Angle, Length, kerf_along

Multipliers: TypeAlias = Mapping[str, Fraction]
"""By merchant how much its bar prices count for, from 0 to 1; 1 for all others."""

NO_MULTIPLIERS: Multipliers = {}


def instance_of(
    group: Group,
    workshop: Workshop,
    offers: Sequence[StockLength],
    parameters: Parameters,
    multipliers: Multipliers = NO_MULTIPLIERS,
) -> Instance:
    """The whole numbers of a group when only ``offers`` may be bought.

    The goal follows from the group, not from ``offers``, so that every choice of
    merchants is measured alike. A price counts by its merchant's multiplier,
    rounded down; what a left over is worth follows from the price itself.
    """
    workshop = workshop.at_saw(group.saw)
    saw = workshop.saw
    goal = Goal.MONEY if group.priced else Goal.MASS
    rate = workshop.offcut_value(group.section.family) if goal is Goal.MONEY else 0
    mill_ends = EndState.MILL, EndState.MILL
    cut_to_carry = {offer.id: carrying(offer, workshop, group.parts) for offer in offers}
    slanted = {offcut.mark: end for offcut in group.offcuts for end in [_slanted_end(offcut, group.parts, saw)] if end}
    joints = [end.vertex.joint for end in slanted.values()]
    pieces, choice = _pieces(group, saw, joints, to_carry=parameters if any(cut_to_carry.values()) else None)
    weighing = choice.weighing
    total = sum(piece.demand for piece in pieces)

    def source(
        of: StockLength | Offcut, id: str, kind: SourceKind, length: Length, ends: tuple[EndState, EndState],
        price: int, most: int, work: Work, counted: Fraction | int = 1,
    ) -> Source:  # fmt: skip
        # START is a sawn end where there is one: it needs no trim.
        start, far = sorted(ends, key=lambda end: end is EndState.MILL)
        # A slanted end is squared to its short point, or the first mitre is cut behind that, or a part begins on it.
        tip = of.tip if isinstance(of, Offcut) else 0
        slant = slanted.get(id) if kind is SourceKind.OFFCUT else None
        start_trim = saw.mill_trim if start is EndState.MILL else tip
        far_trim = saw.mill_trim if far is EndState.MILL else 0
        bare = math.floor(price * counted) + work.per_bar
        begun = (start_trim, 0) if slant else (start_trim,)
        rooms = [length - trim - far_trim + weighing.spared() for trim in begun]
        # On a slanted end a part more takes a stroke more.
        beyond = 0 if slant else weighing.strokes_beyond(squared=start_trim > 0, open_end=far_trim == 0)
        flush = work.per_cut > 0 and far_trim == 0
        if flush:
            served = [p for p in pieces if serves(of.grade, p.grades)]
            flush = any(weighing.ends_flush(served, room, parameters.most_steps) for room in rooms)
        return Source(
            id=id, kind=kind, length=length, start_trim=start_trim, far_trim=far_trim,
            room=rooms[-1], reach=length - begun[-1] + weighing.left_unsaid(),
            bare=bare, price=bare + work.per_cut * beyond, rate=min(rate, price * MM // length),
            per_cut=work.per_cut, per_setup=work.per_setup, most=most, grade=of.grade, far_end=far, flush=flush,
            slant=slant and slant._replace(vertex=choice.seen(slant.vertex)),
        )  # fmt: skip

    sources = []
    for offer in offers:
        price = (offer.bar_price or 0) if goal is Goal.MONEY else offer.mass
        most = total if offer.available is None else min(offer.available, total)
        work = workshop.work_on(offer.merchant) if goal is Goal.MONEY else NO_WORK
        counted = multipliers.get(offer.merchant, 1)
        carry = cut_to_carry[offer.id]
        bought = source(offer, offer.id, SourceKind.BOUGHT, offer.counted, mill_ends, price, most, work, counted)
        if carry is not None and goal is Goal.MASS:
            carry = replace(carry, charge=0)
        if carry is None:
            sources.append(bought)
        elif any(part.mitred for part in group.parts):
            sources.append(_as_one_bar(bought, carry, choice, widest_kerf(group.parts, saw)))
        else:
            sources.append(_in_pieces(bought, carry, choice, saw.kerf))
    for offcut in group.offcuts:
        price = offcut.book_value if goal is Goal.MONEY else 0
        ends = (offcut.end_a, offcut.end_b)
        work = workshop.work_on("") if goal is Goal.MONEY else NO_WORK
        most = min(offcut.quantity, total)
        sources.append(source(offcut, offcut.mark, SourceKind.OFFCUT, offcut.length, ends, price, most, work))
    instance = Instance(
        goal=goal,
        kerf=saw.kerf,
        pieces=tuple(pieces),
        sources=tuple(sources),
        hold=saw.safe_hold,
        keep=workshop.keep_length(group.section.family),
        space_of=choice.space,
        most_kept=workshop.most_kept,
    )
    least = min((source.per_cut for source in sources), default=0)
    if not least or not instance.space.adds_up or any(source.flush for source in sources):
        return instance
    cheaper = tuple(replace(source, per_cut=source.per_cut - least) for source in sources)
    return replace(instance, sources=cheaper, cut_at_least=least)


def _as_one_bar(bought: Source, carry: Carrying, choice: Choice, kerf: Length) -> Source:
    """A length that is cut for the carry, as one bar in which the parts of its pieces lie behind one another.

    Between the parts of two pieces there is room for the widest ``kerf``. [nm]
    """
    source, starts, fars = _cut_to_carry(bought, carry)
    pieces, weighing = carry.least, choice.weighing
    length = carry.as_one(kerf) + (pieces - 1) * kerf
    trims = sum(starts) + sum(fars)
    # START that may be used as it is takes no stroke.
    start = sum(starts) if min(starts) else 0
    bare = bought.bare + (pieces - 1) * carry.charge
    # A piece that is left whole is not trimmed.
    untrimmed = start - min(starts) if bought.rate and start else 0
    # What a set on one piece is worth is by what it takes there alone, strokes and left over aside.
    room, spared = length - trims + weighing.spared(), weighing.spared()
    piece_room, (fewest, *more) = _ways_in_pieces(carry, spared, bare)
    more = [way._replace(as_one=way.room + (way.number - 1) * (kerf - spared)) for way in more]
    told_by_pieces = not (source.per_cut or bought.rate)
    return replace(
        source,
        length=length,
        start_trim=start,
        far_trim=trims - start,
        room=room,
        reach=length - start + weighing.left_unsaid() + untrimmed + pieces * max(0, kerf - min(fars)),
        bare=bare,
        price=bare + source.per_cut * weighing.strokes_beyond(squared=start > 0, open_end=False),
        piece_room=piece_room if told_by_pieces else 0,
        in_pieces=(fewest._replace(as_one=room), *more) if told_by_pieces else (),
    )


def _in_pieces(bought: Source, carry: Carrying, choice: Choice, kerf: Length) -> Source:
    """A length that is cut for the carry, as its pieces are in all where they are as few as can be."""
    source, starts, fars = _cut_to_carry(bought, carry)
    pieces, weighing = carry.least, choice.weighing
    length = carry.as_one(weighing.spared())
    # A piece that is left whole is not trimmed.
    untrimmed = sum(starts) - min(starts) if bought.rate else 0
    beyond = weighing.strokes_beyond(squared=min(starts) > 0, open_end=False)
    price = bought.bare + (pieces - 1) * carry.charge + source.per_cut * beyond
    piece_room, ways = _ways_in_pieces(carry, weighing.spared(), price)
    return replace(
        source,
        length=length,
        start_trim=sum(starts),
        far_trim=sum(fars),
        room=ways[0].room,
        reach=length - sum(starts) + untrimmed + pieces * max(0, kerf - min(fars)),
        price=price,
        piece_room=piece_room,
        in_pieces=ways,
    )


def _cut_to_carry(bought: Source, carry: Carrying) -> tuple[Source, tuple[Length, ...], tuple[Length, ...]]:
    """A length with what holds of it however its pieces are seen, and what these lose at START and at their far ends.

    There are as few pieces as can be. [nm]
    """
    pieces = carry.least
    starts, fars = zip(*(carry.trims(pieces, number) for number in range(1, pieces + 1)), strict=True)
    # A part may be flush with a far end that needs no trim, and spare a cut and its kerf: both ends of a piece between
    # two cuts are new, and a length in more pieces than need be has one.
    _, between = carry.trims(pieces + 1, 2)
    source = replace(
        bought,
        per_cut=bought.per_cut if min(*fars, between) else 0,
        far_end=EndState.MILL,
        flush=False,
        carrying=carry,
        per_stroke=bought.per_cut,
    )
    return source, starts, fars


def _ways_in_pieces(carry: Carrying, spared: Length, price: int) -> tuple[Length, tuple[InPieces, ...]]:
    """What sets on one piece may take, and a length in as few pieces as can be, for this ``price``, and in more.

    ``spared`` is how much less a set may take than its parts are counted with. [nm]
    """
    pieces = carry.least
    least_trims = min(sum(carry.trims(pieces, number)) for number in range(1, pieces + 1))
    room = carry.as_one(spared) - sum(carry.all_trims(pieces)) + pieces * spared
    ways = [InPieces(pieces, room, room, price)]
    for number in (pieces + 1, pieces + 2):
        room = carry.ordered(number) - number * (carry.tolerance - spared) - sum(carry.all_trims(number))
        ways.append(InPieces(number, room, room, price + (number - pieces) * carry.charge))
    return carry.longest - carry.tolerance - least_trims + spared, tuple(ways)


@uncollected()
def _pieces(
    group: Group, saw: Saw, slants: Iterable[Joint], *, to_carry: Parameters | None
) -> tuple[list[Piece], Choice]:
    """Parts that are laid alike as one, and their pattern space; some may begin on ``slants`` of the rack."""
    alike: dict[tuple[Angle, bool, tuple[object, ...]], list[int]] = {}
    for place, part in enumerate(group.parts):
        alike.setdefault(part.laid_alike, []).append(place)
    firsts = [group.parts[places[0]] for places in alike.values()]
    settings: dict[Hashable, int] = {}
    setting_of = [settings.setdefault(cut_alike, places[0]) for (_, _, cut_alike), places in alike.items()]
    known: dict[Hashable, Kind] = {}  # of very many parts most are of one kind

    def kind_of(part: Part) -> Kind:
        of = (*_ends_of(part, saw), part.grip >= saw.safe_hold, part.cut_to_fit)
        if of not in known:
            (a, joint_a, hand_a), (b, joint_b, hand_b), may_turn, held, to_fit = of
            known[of] = Kind(
                kerf_a=kerf_along(saw.kerf, a),
                kerf_b=kerf_along(saw.kerf, b),
                mitred_a=a > 0,
                mitred_b=b > 0,
                held=held,
                to_fit=to_fit,
                joint_a=joint_a,
                joint_b=joint_b,
                may_turn=may_turn,
                hand_a=hand_a,
                hand_b=hand_b,
            )
        return known[of]

    kinds = [kind_of(part) for part in firsts]
    # A part and those laid like it; of very many most have none.
    others = [(number, places[1:]) for number, places in enumerate(alike.values()) if len(places) > 1]
    demands, spares = [part.quantity for part in firsts], [part.spares for part in firsts]
    for number, places in others:
        demands[number] += sum(group.parts[place].quantity for place in places)
        spares[number] += sum(group.parts[place].spares for place in places)
    lengths = [part.length for part in firsts]
    kinds, choice = choose(kinds, demands, spares, lengths=lengths, slants=slants, to_carry=to_carry)
    # Very many pieces are of few kinds, and it takes longer to hash one than to weigh it.
    weighed = {id(kind): (choice.weighing.kerf(kind), choice.weighing.cuts(kind)) for kind in _each_once(kinds)}
    takes = [weighed[id(kind)] for kind in kinds]
    pieces = [
        Piece(
            parts=tuple(places),
            length=part.length,
            take=part.length + kerf,
            demand=demand,
            spares=spare,
            grades=part.grades,
            kind=kind,
            cuts=cuts,
            setting=setting,
        )
        for places, part, kind, (kerf, cuts), demand, spare, setting in zip(
            alike.values(), firsts, kinds, takes, demands, spares, setting_of, strict=True
        )
    ]
    return pieces, choice


def _each_once(kinds: Iterable[Kind]) -> Iterable[Kind]:
    """Every object among them once."""
    return {id(kind): kind for kind in kinds}.values()


_End: TypeAlias = tuple[Angle, Joint, int]
"""The angle of an end, by what it can share its cut, and on which hand of that it is."""

_SQUARE_ENDS: tuple[_End, _End, bool] = (0, (), 0), (0, (), 0), False


def _ends_of(part: Part, saw: Saw) -> tuple[_End, _End, bool]:
    """End A, end B, and whether the part may be turned end for end."""
    a, b = part.end_a.angle, part.end_b.angle
    if not (a or b):
        return _SQUARE_ENDS
    if not shares_cuts(part, saw):
        return (a, (), 0), (b, (), 0), False
    one, other = (
        (slant.angle, (slant.angle, slant.plane, saved_at(part, slant.angle)), slant.hand) if slant else (0, (), 0)
        for slant in slants_of(part)
    )
    return one, other, any(way.turned for way in ways_of(part))


def _slanted_end(offcut: Offcut, parts: Sequence[Part], saw: Saw) -> SlantedEnd | None:
    """The slanted end of a piece on which some part may begin; None where none may, or it is square."""
    for part in parts if offcut.tip else ():
        for way in ways_of(part) if shares_cuts(part, saw) else ():
            if begins_on(part, way, offcut):
                one, other, _ = _ends_of(part, saw)
                angle, joint, hand = other if way.turned else one
                vertex = Vertex(kerf_along(saw.kerf, angle), True, joint, hand)
                return SlantedEnd(vertex, PlacedEnd(offcut.angle_a, offcut.side))
    return None
