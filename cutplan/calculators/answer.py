"""What a sum comes to: its steps with their formulas, and the parts to cut; put in words by ``words/sum_words``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from cutplan.units import Angle, Length


class Sum(Enum):
    """What is worked out."""

    BRACE = "brace"
    FRAME = "frame"
    GATE = "gate"
    SPACING = "spacing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of a sum: a name, the formula (blank for what was given), and a length [nm] or an angle."""

    name: str
    formula: str = ""
    length: Length | None = None
    angle: Angle | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Parts the sum asks for: how many, long point to long point [nm], the saw angle of both ends, which part it is.

    ``parallel`` ends lean the same way, as in a brace; others as in a frame.
    """

    quantity: int
    length: Length
    angle: Angle = 0
    parallel: bool = False
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A sum worked out: its steps, and the parts to cut.

    ``way`` is which of its ways it was, such as a joint; ``leaves`` those of a gate. ``braced`` tells of a brace in
    each frame, ``places`` are what is marked from one face. [nm]
    """

    sum: Sum
    way: str = ""
    steps: tuple[Step, ...]
    pieces: tuple[Piece, ...] = ()
    leaves: int = 0
    braced: bool = False
    places: tuple[Length, ...] = ()
