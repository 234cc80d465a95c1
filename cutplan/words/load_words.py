"""What is fetched from a merchant: its pieces, heaviest first, trip by trip, with what to mind on the road."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from cutplan.model import Job, Plan, Workshop, as_brought
from cutplan.model.carrying import bars_of_lengths
from cutplan.model.order_totals import MerchantOrder
from cutplan.model.plan import SourceKind
from cutplan.model.totals import totals_of
from cutplan.units import (
    INCH,
    MM,
    Length,
    Mass,
    Printing,
    counted,
    kg_text,
    length_text,
    mass_text,
    mm_text,
    stock_text,
)
from cutplan.words import naming

MOST_TRIPS = 20
"""Trips that are listed; of more only how many."""

CAUTIONS = (
    "Payload, axle and coupling: what plates and papers say goes before this list, and people, tools and straps count.",
    "Load the heaviest first, low and over the axle, long pieces along the middle. Too much behind the axle makes a "
    "trailer sway, too much in front overloads the coupling.",
    "Steel slides on steel: tie bundles together, then tie the load down in two places or more, and against sliding "
    "forward. Pad sharp edges, and look at the straps again after a short way.",
    "How far a load may stand out, and by which flag, light or board it is marked, local law decides: ask the road "
    "authority.",
)
"""Common practice, no source; what holds where somebody drives is for the law there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadPiece:
    """So many pieces that are alike, and the numbers of the bars that they are at the saw. [nm, mg]"""

    name: str
    kind: str
    length: Length
    count: int
    mass_each: Mass
    bars: tuple[int, ...] = ()

    @property
    def mass(self) -> Mass:
        """Of all of them."""
        return self.mass_each * self.count


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthCut:
    """So many lengths that the merchant cuts alike, and of each of their pieces the bars that they are at the saw."""

    name: str
    length: Length
    count: int
    ordered: tuple[Length, ...]
    bars: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """What is loaded at one time: places among the pieces, and how many of each."""

    pieces: tuple[tuple[int, int], ...]
    mass: Mass


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What is fetched from one merchant.

    Parameters
    ----------
    pieces
        Heaviest first, of equal ones the longest.
    trips
        None carries more than the payload; one for all where no payload is set. What alone weighs more is in none.
    lengths
        What is cut for the carry.
    """

    merchant: str
    workshop: Workshop
    pieces: tuple[LoadPiece, ...]
    trips: tuple[Trip, ...]
    lengths: tuple[LengthCut, ...]

    @property
    def mass(self) -> Mass:
        """Of all pieces. [mg]"""
        return sum(piece.mass for piece in self.pieces)

    @property
    def longest(self) -> Length:
        """The longest piece. [nm]"""
        return max(piece.length for piece in self.pieces)

    @property
    def too_heavy(self) -> tuple[LoadPiece, ...]:
        """Pieces of which one alone weighs more than the payload."""
        payload = self.workshop.payload
        return tuple(piece for piece in self.pieces if payload and piece.mass_each > payload)


def loads_of(job: Job, plan: Plan) -> tuple[Load, ...]:
    """What a plan has fetched, by merchant; nothing of those that deliver."""
    names = naming.section_names(job)
    shop = as_brought(job, plan).workshop
    fetched = (order for order in totals_of(job, plan).orders if not shop.merchant(order.merchant).delivers)
    numbers: dict[tuple[str, Length], list[int]] = defaultdict(list)
    whole = {offer.id: offer.length for offer in job.offers}
    for bar in plan.bars:
        if bar.kind is SourceKind.BOUGHT:
            piece = bar.piece_of
            length = piece.ordered[piece.number - 1] if piece else whole[bar.source]
            numbers[bar.source, length].append(bar.number)
    in_pieces = bars_of_lengths(plan)
    return tuple(_load(order, job.workshop, names, numbers, in_pieces) for order in fetched)


def _load(
    order: MerchantOrder,
    workshop: Workshop,
    names: dict[str, str],
    numbers: Mapping[tuple[str, Length], Sequence[int]],
    in_pieces: Mapping[tuple[str, tuple[Length, ...]], tuple[tuple[int, ...], ...]],
) -> Load:
    counts: Counter[tuple[str, str, Length, Mass]] = Counter()
    bars: dict[tuple[str, str, Length, Mass], set[int]] = defaultdict(set)
    for line in order.lines:
        pieces: Counter[tuple[Length, ...]] = Counter(
            {(line.length,): line.count - sum(cut.count for cut in line.cut_to_carry)}
        )
        pieces.update({cut.ordered: cut.count for cut in line.cut_to_carry})
        kind = naming.section_words("", line.section.standard, naming.grade_text(line.grade, ""), line.finish)
        for lengths, count in pieces.items():
            for length in lengths:
                alike = names[line.section.key], kind, length, line.section.mass_of(length)
                counts[alike] += count
                bars[alike].update(numbers.get((line.offer, length), ()))
    listed = [
        LoadPiece(
            name=name,
            kind=kind,
            length=length,
            count=count,
            mass_each=mass,
            bars=tuple(sorted(bars[name, kind, length, mass])),
        )
        for (name, kind, length, mass), count in counts.items()
        if count
    ]
    listed.sort(key=lambda piece: (-piece.mass_each, -piece.length))
    return Load(
        merchant=order.merchant,
        workshop=workshop,
        pieces=tuple(listed),
        trips=trips_of(listed, workshop.payload),
        lengths=tuple(
            LengthCut(
                name=names[line.section.key],
                length=line.length,
                count=cut.count,
                ordered=cut.ordered,
                bars=in_pieces[line.offer, cut.ordered],
            )
            for line in order.lines
            for cut in line.cut_to_carry
        ),
    )


def trips_of(pieces: Sequence[LoadPiece], payload: Mass) -> tuple[Trip, ...]:
    """Pieces shared out among trips: each, heaviest first, goes with the first trip that has room for it.

    Parameters
    ----------
    payload
        The most that one trip carries; 0 is not said, and all goes at one time. [mg]

    References
    ----------
    First fit decreasing: D. S. Johnson, Near-optimal bin packing algorithms, 1973.
    """
    if not payload:
        return (
            Trip(pieces=tuple((at, piece.count) for at, piece in enumerate(pieces)), mass=sum(p.mass for p in pieces)),
        )
    rooms: list[Mass] = []
    loaded: list[list[tuple[int, int]]] = []
    for at, piece in enumerate(pieces):
        left = piece.count if 0 < piece.mass_each <= payload else 0
        trip = 0
        while left:
            if trip == len(rooms):
                rooms.append(payload)
                loaded.append([])
            taken = min(left, rooms[trip] // piece.mass_each)
            if taken:
                rooms[trip] -= taken * piece.mass_each
                loaded[trip].append((at, taken))
                left -= taken
            trip += 1
    return tuple(Trip(pieces=tuple(own), mass=payload - room) for own, room in zip(loaded, rooms, strict=True))


def carry_line(load: Load) -> str:
    """The longest piece beside the longest carry."""
    shop = load.workshop
    how = shop.printing
    longest = f"Longest piece {stock_text(load.longest, how)}"
    if not shop.longest_carry:
        return f"{longest}; no longest carry is set."
    if load.longest <= shop.longest_carry:
        return f"{longest}, of {stock_text(shop.longest_carry, how)} that can be carried."
    return (
        f"{longest}: longer than {stock_text(shop.longest_carry, how)}, to be carried with a flag at its end, up to "
        f"{stock_text(shop.carry, how)}."
    )


def payload_line(load: Load) -> str:
    """The mass beside the payload."""
    shop = load.workshop
    how = shop.printing
    whole = f"{counted(sum(piece.count for piece in load.pieces), 'piece')}, {mass_text(load.mass, how)} in total"
    if not shop.payload:
        return f"{whole}; no payload is set."
    return f"{whole}: {counted(len(load.trips), 'trip')} of at most {mass_text(shop.payload, how)}."


def heavy_lines(load: Load) -> list[str]:
    """Pieces that no trip can take."""
    how = load.workshop.printing
    return [
        f"{piece_text(piece, how)} weighs {mass_text(piece.mass_each, how)}, more than may be loaded: have it brought."
        for piece in load.too_heavy
    ]


def payload_notes(job: Job, plan: Plan) -> list[str]:
    """What a plan is to say of loads that the payload does not take as the trips it counts, by mass alone, would."""
    if not job.workshop.payload:
        return []
    how = job.workshop.printing
    counted_by_mass = {order.merchant: order.trips for order in totals_of(job, plan).orders}
    notes = []
    for load in loads_of(job, plan):
        trips, whose = counted_by_mass[load.merchant], f" from {load.merchant}" if load.merchant else ""
        if load.too_heavy:
            number = sum(piece.count for piece in load.too_heavy)
            notes.append(
                f"Above the payload of {mass_text(job.workshop.payload, how)}: {counted(number, 'piece')}{whose}, the "
                f"heaviest {mass_text(load.too_heavy[0].mass_each, how)}. No trip can take that: have it brought."
                + f" Without them: {counted(len(load.trips), 'trip')}; counted by mass with them: {trips}."
                * bool(trips)
            )
        elif trips and trips != len(load.trips):
            loaded = counted(len(load.trips), "trip")
            notes.append(f"What is fetched{whose} shares out in {loaded}; counted by mass: {trips}.")
    return notes


def piece_text(piece: LoadPiece, how: Printing) -> str:
    """``3828 mm SHS 40x40x3`` as a piece is ordered, ``6 m SHS 40x40x3`` as lengths are sold."""
    as_sold = piece.length % (6 * INCH if how.unit == "in" else 100 * MM) == 0
    return f"{stock_text(piece.length, how) if as_sold else length_text(piece.length, how)} {piece.name}"


def trip_line(load: Load, number: int) -> str:
    """What goes with one trip, from 1: ``Trip 1, 740.2 kg of 750.0 kg: 3 x 6 m SHS 40x40x3``."""
    how, trip = load.workshop.printing, load.trips[number - 1]
    listed = ", ".join(f"{count} x {piece_text(load.pieces[at], how)}" for at, count in trip.pieces)
    return f"Trip {number}, {mass_text(trip.mass, how)} of {mass_text(load.workshop.payload, how)}: {listed}"


def trip_lines(load: Load) -> list[str]:
    """Every trip, where there is more than one; of very many the first."""
    if len(load.trips) < 2:
        return []
    lines = [trip_line(load, number) for number in range(1, min(len(load.trips), MOST_TRIPS) + 1)]
    more = len(load.trips) - MOST_TRIPS
    return [*lines, f"and {more} more"] if more > 0 else lines


def length_lines(load: Load) -> list[str]:
    """Which bars come out of which lengths: ``From 1 length of 6 m FL 50x6: bar 1 of 2905 mm; bar 4 of 3092 mm``."""
    how = load.workshop.printing
    lines = []
    for cut in load.lengths:
        sizes: dict[Length, list[int]] = {}
        for length, bars in zip(cut.ordered, cut.bars, strict=True):
            sizes.setdefault(length, []).extend(bars)
        pieces = "; ".join(f"{naming.bars_text(bars)} of {length_text(length, how)}" for length, bars in sizes.items())
        lengths = f"{counted(cut.count, 'length')} of {stock_text(cut.length, how)} {cut.name}"
        lines.append(f"From {lengths}: {pieces}.")
    like: Counter[tuple[str, Length]] = Counter()
    for cut in load.lengths:
        like.update({(cut.name, length): cut.count for length in cut.ordered})
    if any(lengths > 1 for lengths in like.values()):
        lines.append("Some of these are alike: where it matters which were one length, mark them at the yard.")
    return lines


def below(load: Load) -> list[str]:
    """What is said of a load below its pieces."""
    return [payload_line(load), *trip_lines(load), *heavy_lines(load), carry_line(load), *length_lines(load)]


def loads_text(loads: Sequence[Load]) -> str:
    """The list as plain text."""
    lines = []
    for load in loads:
        how = load.workshop.printing
        lines.append(f"To fetch from {load.merchant}" if load.merchant else "To fetch")
        for piece in load.pieces:
            each = f"{mass_text(piece.mass_each, how)} each"
            lines.append(f"  {piece.count} x {piece_text(piece, how)}, {each}, {naming.bars_text(piece.bars)}")
        lines += [f"  {line}" for line in below(load)]
    return "\n".join([*lines, *CAUTIONS] if lines else ["Nothing to fetch: all is delivered or on the rack."])


def load_values(load: Load) -> dict[str, Any]:
    """A load as values: lengths in mm, masses in kg."""
    shop = load.workshop
    return {
        "merchant": load.merchant,
        "mass_kg": kg_text(load.mass, 3),
        "payload_kg": kg_text(shop.payload, 3) if shop.payload else None,
        "longest_mm": mm_text(load.longest),
        "carry_mm": mm_text(shop.longest_carry) if shop.longest_carry else None,
        "flag": bool(shop.longest_carry) and load.longest > shop.longest_carry,
        "pieces": [
            {
                "count": piece.count,
                "section": piece.name,
                "kind": piece.kind,
                "length_mm": mm_text(piece.length),
                "mass_kg_each": kg_text(piece.mass_each, 3),
                "bars": list(piece.bars),
            }
            for piece in load.pieces
        ],
        "lengths": [
            {
                "count": cut.count,
                "section": cut.name,
                "length_mm": mm_text(cut.length),
                "pieces": [
                    {"length_mm": mm_text(length), "bars": list(bars)}
                    for length, bars in zip(cut.ordered, cut.bars, strict=True)
                ],
            }
            for cut in load.lengths
        ],
        "trips": [
            {"mass_kg": kg_text(trip.mass, 3), "pieces": [{"piece": at, "count": n} for at, n in trip.pieces]}
            for trip in load.trips
        ],
        "too_heavy": [load.pieces.index(piece) for piece in load.too_heavy],
    }
