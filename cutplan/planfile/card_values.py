"""Marking cards as plan.json holds them; all of it follows from the parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from cutplan.drilling import Drill
from cutplan.drilling.edges import MINIMA, EdgeCaution
from cutplan.drilling.marking import DrillLine, Jig, cards_of, jigs_of
from cutplan.fields import NAME, POSITIVE_COUNT, POSITIVE_LENGTH, SIGNED_LENGTH, said
from cutplan.model import Job
from cutplan.units import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class NearestDrill:
    """A drill and how it differs from the hole."""

    name: Annotated[str, NAME]
    wider_by: Annotated[Length, SIGNED_LENGTH("drill less hole, in mm")]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillEntry:
    """One size of hole."""

    diameter: Annotated[Length, POSITIVE_LENGTH("in mm")]
    name: Annotated[str, said("bolt and purpose, or a diameter as typed in another unit; blank for a plain one")]
    standard: Annotated[str, said("where the diameter of a named hole comes from")]
    each: Annotated[int, POSITIVE_COUNT("holes in one piece")]
    in_all: Annotated[int, POSITIVE_COUNT("holes in all pieces")]
    pilot: Annotated[bool, said("whether a smaller hole goes first")]
    metric: Annotated[NearestDrill | None, said("nearest metric drill; null where none is near")]
    inch: Annotated[NearestDrill | None, said("nearest inch drill; null where none is near")]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardEntry:
    """What is drilled in one part."""

    mark: Annotated[str, NAME]
    drills: Annotated[tuple[DrillEntry, ...], said("sizes, largest first")]
    cautions: Annotated[tuple[EdgeCaution, ...], said("holes that come near to something")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Marking:
    """Marking cards; all of it follows from the parts."""

    cards: Annotated[
        tuple[CardEntry, ...], said("one for every part with holes or landings, in the order of the parts list")
    ]
    jigs: Annotated[tuple[Jig, ...], said("parts that one drilling jig serves")]
    minima: Annotated[str, NAME("where the common minima of cautions come from")] = MINIMA


def marking_of(job: Job) -> Marking:
    """Cards in the order of the parts list, and which parts share a drilling jig."""
    return Marking(
        cards=tuple(
            CardEntry(
                mark=card.part.mark,
                drills=tuple(_drill_entry(line, card.part.quantity) for line in card.drills),
                cautions=card.cautions,
            )
            for card in cards_of(job)
        ),
        jigs=jigs_of(job.parts),
    )


def _drill_entry(line: DrillLine, pieces: int) -> DrillEntry:
    return DrillEntry(
        diameter=line.diameter,
        name=line.name,
        standard=line.standard,
        each=line.each,
        in_all=line.each * pieces,
        pilot=line.pilot,
        metric=_nearest(line.metric, line.diameter),
        inch=_nearest(line.inch, line.diameter),
    )


def _nearest(drill: Drill | None, diameter: Length) -> NearestDrill | None:
    return None if drill is None else NearestDrill(name=drill.name, wider_by=drill.diameter - diameter)
