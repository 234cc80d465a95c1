"""A piece on the rack: an offcut, or full lengths under one mark."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from cutplan.fields import ANGLE, COUNT, LENGTH, MONEY, NAME, POSITIVE_COUNT, POSITIVE_LENGTH, said
from cutplan.sections.section import SECTION, Section
from cutplan.units import Angle, Length, Money, mitre_run


class EndState(Enum):
    """How the end of a bar is."""

    MILL = "mill"
    SAWN = "sawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """A piece on the rack: an offcut, one of a kind, or ``quantity`` full lengths under one mark.

    ``grade`` blank is unknown. ``book_value`` is what using one up costs, in
    millionths of the currency. ``length`` is that to the longest point: end A
    may be slanted by ``angle_a`` across a ``depth``, its long point on a
    ``side`` as :mod:`cutplan.model.placing` counts them. ``saw`` is the one of
    several at which bars of a plan that was begun are cut from it. Lengths in nm.
    """

    mark: Annotated[str, NAME]
    row: Annotated[int, COUNT("row of the rack file; 0 when there is none")] = 0
    section: Annotated[Section, SECTION]
    grade: Annotated[str, said("blank is unknown")] = ""
    finish: str
    length: Annotated[Length, POSITIVE_LENGTH]
    end_a: EndState = EndState.SAWN
    end_b: EndState = EndState.SAWN
    place: str = ""
    heat_number: str = ""
    book_value: Annotated[Money, MONEY("what using it up costs")] = 0
    quantity: Annotated[int, POSITIVE_COUNT("how many lie there under this mark")] = 1
    angle_a: Annotated[Angle, ANGLE("of end A from square; the length is then that to its long point", rare=True)] = 0
    depth: Annotated[Length, LENGTH("depth that the slant of end A runs across, in mm", rare=True)] = 0
    side: Annotated[
        int, COUNT("on which side the long point of end A lies: 0 top, 1 right, 2 below, 3 left", rare=True)
    ] = 0
    saw: Annotated[str, said("the saw at which it is to be cut, in the rest of a plan; blank is any", rare=True)] = ""

    def __post_init__(self) -> None:
        if (self.angle_a > 0) != (self.depth > 0) or (self.angle_a and self.end_a is not EndState.SAWN):
            raise ValueError("a slanted end is sawn, and runs across a depth")
        if not self.mark or self.length <= 0 or self.book_value < 0 or self.quantity < 1:
            raise ValueError("an offcut has a mark, a length, a quantity and a book value that is not negative")
        if self.tip >= self.length or not 0 <= self.side <= 3:
            raise ValueError("an offcut is longer than its slanted end, whose long point lies on one of four sides")

    @property
    def tip(self) -> Length:
        """What is sawn off to square a slanted end A: its long point less its short one. [nm]"""
        return mitre_run(self.depth, self.angle_a)

    @property
    def is_full(self) -> bool:
        """Is it a stock length that was never cut, rather than an offcut?"""
        return self.end_a is EndState.MILL and self.end_b is EndState.MILL

    @property
    def standard(self) -> Annotated[str, NAME(before="grade")]:
        """Standard of the section."""
        return self.section.standard
