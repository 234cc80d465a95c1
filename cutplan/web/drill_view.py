"""A plan as it is shown at the drill: a card for parts drilled alike, with its pieces one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.actions import to_drill
from cutplan.model import Job, Plan
from cutplan.reports.cards import BETWEEN, CardRow, DrillRow, MarkRow, card_rows
from cutplan.reports.paper.drill_sheets import families_of
from cutplan.units import Printing
from cutplan.words.part_words import ONE_JIG, note_words

_WIDE = 100.0
"""The drawing's width on paper; the page makes it as wide as the screen. [mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One part to drill."""

    mark: str
    copy: int
    copies: int
    length: str
    about: str

    @property
    def key(self) -> str:
        """What tells this part from all others of the plan."""
        return f"{self.mark}/{self.copy}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """Holes of one kind on one face, each place for itself: a figure such as ``26 3/16`` is never broken."""

    face: str
    count: int
    hole: str
    places: tuple[str, ...]
    short: tuple[str, ...]
    from_b: tuple[str, ...]
    across: str
    pilot: bool
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillCard:
    """Parts that are drilled alike: what to mark, which drills, and the pieces."""

    number: int
    section: str
    looks: tuple[str, ...]
    svg: str
    rows: tuple[Holes, ...]
    drills: tuple[str, ...]
    jigs: tuple[str, ...]
    cautions: tuple[str, ...]
    pieces: tuple[Piece, ...]


def drill_cards(job: Job, plan: Plan) -> tuple[DrillCard, ...]:
    """The cards of a plan in the order of its list; of parts with nothing to drill there are none."""
    copies = to_drill(job, plan)
    cards = [card for card in card_rows(job) if card.mark in copies]
    families = families_of(cards)
    how = job.workshop.printing
    return tuple(_card(number, family, copies, how) for number, family in enumerate(families, start=1))


def _card(number: int, family: Sequence[CardRow], copies: dict[str, tuple[int, ...]], how: Printing) -> DrillCard:
    longest = max(family, key=lambda card: card.card.part.finished)
    first = family[0]
    return DrillCard(
        number=number,
        section=first.section,
        looks=first.looks,
        svg=longest.svg(how, _WIDE),
        rows=tuple(_holes(row) for row in first.marks),
        drills=tuple(_drill(row) for row in first.drills),
        jigs=first.jigs if len(family) == 1 else (ONE_JIG,),
        cautions=first.cautions,
        pieces=tuple(
            Piece(
                mark=card.mark,
                copy=copy,
                copies=len(copies[card.mark]),
                length=card.length,
                about=": ".join(text for text in (card.assembly, note_words(card.card.part)) if text),
            )
            for card in family
            for copy in copies[card.mark]
        ),
    )


def _holes(row: MarkRow) -> Holes:
    places, short, from_b = (tuple(text.split(BETWEEN)) if text else () for text in (row.places, row.short, row.from_b))
    return Holes(
        face=row.face, count=row.count, hole=row.hole, places=places, short=short, from_b=from_b, across=row.across,
        pilot=row.pilot, note=row.note,
    )  # fmt: skip


def _drill(row: DrillRow) -> str:
    pilot = "" if row.pilot == "none" else f"; pilot {row.pilot}"
    return f"{row.hole}: drill {row.drill}{pilot}"
