"""The whole numbers a group is solved in: w of each part, W of each source, their divisor.

Written into plan.json so that another program can recheck bars and proof
without knowing how trims and kerfs come together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from cutplan.fields import LENGTH, NAME, POSITIVE_LENGTH, SIGNED_LENGTH, WHOLE, said
from cutplan.model import EndState, Group, Offcut, Part, Proof, Saw, SourceKind, Workshop, carrying
from cutplan.model.carrying import widest_kerf
from cutplan.units import Length, kerf_along


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWidth:
    """One part."""

    mark: Annotated[str, NAME]
    w: Annotated[Length, POSITIVE_LENGTH("length and kerf of end A, in mm")]
    steps: Annotated[int, WHOLE("w in working steps, rounded down")]


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceRoom:
    """One source."""

    kind: SourceKind
    source: Annotated[str, NAME]
    start_trim: Annotated[Length, LENGTH]
    far_trim: Annotated[Length, LENGTH]
    room: Annotated[
        Length,
        SIGNED_LENGTH(
            "W in mm: what the w of a bar may add up to at most; "
            "less, where parts are mitred and their order takes more"
        ),
    ]
    steps: Annotated[int, WHOLE("W in working steps, rounded down")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Integers:
    """The whole numbers a group is solved in; they follow from job and workshop."""

    divisor: Annotated[Length, LENGTH("greatest common divisor of all w, in mm")]
    step: Annotated[Length, POSITIVE_LENGTH("working step in mm")]
    parts: Annotated[tuple[PartWidth, ...], said("parts in the order of the duals")]
    sources: Annotated[tuple[SourceRoom, ...], said("every offer and offcut of the group")]


def integers_of(group: Group, workshop: Workshop, proof: Proof) -> Integers:
    """w and W of a group; whole working steps are rounded down as the proof is checked.

    Of a length that is cut for the carry they are those of its pieces in all, where these are as few as can be.
    """
    workshop = workshop.at_saw(group.saw)
    saw = workshop.saw
    widths = [(part.mark, part_width(part, saw)) for part in group.parts]
    bars = [(SourceKind.BOUGHT, offer.id, offer.counted, end_trims(saw, None)) for offer in group.offers]
    bars += [(SourceKind.OFFCUT, offcut.mark, offcut.length, end_trims(saw, offcut)) for offcut in group.offcuts]
    rooms = [(kind, name, trims, room(group, length, trims, saw)) for kind, name, length, trims in bars]
    kerf = widest_kerf(group.parts, saw)
    for place, offer in enumerate(group.offers):
        carry = carrying(offer, workshop, group.parts)
        if carry is not None:
            trims = carry.all_trims(carry.least)
            most = room(group, carry.as_one(kerf) + (carry.least - 1) * kerf, trims, saw)
            rooms[place] = SourceKind.BOUGHT, offer.id, trims, most
    return Integers(
        divisor=divisor(group, saw),
        step=proof.step,
        parts=tuple(PartWidth(mark=mark, w=width, steps=width // proof.step) for mark, width in widths),
        sources=tuple(
            SourceRoom(
                kind=kind, source=name, start_trim=trims[0], far_trim=trims[1], room=most, steps=most // proof.step
            )
            for kind, name, trims, most in rooms
        ),
    )


def part_width(part: Part, saw: Saw) -> Length:
    """w: a part with the kerf of its end A, which is no more than lies before it. [nm]"""
    return part.length + kerf_along(saw.kerf, part.end_a.angle)


def divisor(group: Group, saw: Saw) -> Length:
    """The greatest common divisor of the w of a group. [nm]"""
    return math.gcd(*(part_width(part, saw) for part in group.parts))


def end_trims(saw: Saw, source: Offcut | None) -> tuple[Length, Length]:
    """Trims at START and at the far end of a stock length (None) or an offcut. [nm]

    START is the sawn end of an offcut that has one; a slanted one is squared.
    """
    if source is None:
        return saw.mill_trim, saw.mill_trim
    first, second = sorted(saw.mill_trim if end is EndState.MILL else 0 for end in (source.end_a, source.end_b))
    return first + source.tip, second


def room(group: Group, length: Length, trims: tuple[Length, Length], saw: Saw) -> Length:
    """W: how much of a bar the w of its parts may add up to at most; before the first part there is no kerf. [nm]"""
    return length - sum(trims) + max(kerf_along(saw.kerf, part.end_a.angle) for part in group.parts)
