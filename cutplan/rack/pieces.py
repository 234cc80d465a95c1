"""What the ledger speaks of: pieces, how they are at a time, and the movements between."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from cutplan.model import EndState
from cutplan.units import Angle, Length, Money, mitre_run


class Kind(Enum):
    """What happened to a piece."""

    BOUGHT = "bought"
    CUT_FROM = "cut from"
    PUT = "put on the rack"
    USED = "used"
    RETURNED = "returned"
    FOUND = "found"
    COUNTED = "counted"
    CORRECTED = "corrected"
    MOVED = "moved"
    SCRAPPED = "scrapped"
    HELD = "held"
    RELEASED = "released"
    UNDONE = "undone"


COMING = frozenset((Kind.BOUGHT, Kind.CUT_FROM, Kind.PUT, Kind.FOUND, Kind.RETURNED))
"""Movements by which so many pieces of one length come, whatever lies there under their mark already."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """One thing a person does, which is one transaction.

    Parameters
    ----------
    at
        UTC, to the second: ``2031-05-04T09:30:00Z``.
    what
        The command in a word or two: ``add``, ``record``.
    plan
        Digest of the plan, where one is behind it.
    """

    at: str
    who: str
    what: str
    job: str = ""
    plan: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What never changes about a piece: designation and standard of its section, and its finish."""

    designation: str
    standard: str
    finish: str

    @property
    def title(self) -> str:
        """As messages and lists name it."""
        return f"{self.designation}, {self.finish}"


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """How a piece is, until a movement says otherwise.

    Parameters
    ----------
    length
        Of a piece with a slanted end: what is left when that end is squared, to its short point. [nm]
    angle_a, angle_b
        Angle of an end from square; a mill end is square.
    depth, side
        What the slant of end A runs across, and the side on which its long point lies as the piece lay in its bar,
        counted as in :mod:`cutplan.model.placing`; a depth of 0 where nobody knows. [nm]
    grade
        Blank is unknown.
    certificate
        The mill certificate: a number, or the name of a file.
    photo
        Name of a file; blank is none.
    wall
        As measured. [nm]
    value
        Book value of one; None takes the workshop's. [millionths of the currency]
    """

    length: Length
    end_a: EndState = EndState.SAWN
    end_b: EndState = EndState.SAWN
    angle_a: Angle = 0
    angle_b: Angle = 0
    grade: str = ""
    heat_number: str = ""
    certificate: str = ""
    place: str = ""
    photo: str = ""
    wall: Length | None = None
    value: Money | None = None
    depth: Length = 0
    side: int = 0

    def __post_init__(self) -> None:
        if self.length <= 0 or self.depth < 0 or (self.value or 0) < 0 or (self.wall is not None and self.wall <= 0):
            raise ValueError("length and wall are more than 0, a value and a depth are not negative")

    @property
    def longest(self) -> Length:
        """To the long point of end A, as far as its slant is known. [nm]"""
        return self.length + (mitre_run(self.depth, self.angle_a) if self.end_a is EndState.SAWN else 0)

    @property
    def is_full(self) -> bool:
        """Is it as it came from the mill? Then several of it share a mark."""
        return self.end_a is EndState.MILL and self.end_b is EndState.MILL


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """What became of a bar's length beside the piece that is kept. [nm]"""

    parts: Length = 0
    kerf_and_trim: Length = 0
    scrap: Length = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """So many of a piece promised to a job, up to and with a day (``2031-06-01``). Signed in a movement."""

    quantity: int
    job: str
    until: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Pieces of one mark that lie on the rack now; more than one only of full lengths.

    ``since`` as ``Doing.at``; ``order`` tells which of two pieces of one day came first.
    """

    mark: str
    material: Material
    state: State
    quantity: int
    since: str = ""
    order: int = 0
    holds: tuple[Hold, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One movement as history tells it; ``quantity`` is signed, ``state`` is how the piece was after it."""

    doing: Doing
    kind: Kind
    quantity: int
    state: State
    bar: int | None
    split: Split
    hold: Hold | None
    note: str
    undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """A piece from its coming to its going. ``parent`` is the mark it was cut from; ``children`` were cut from it."""

    mark: str
    material: Material
    parent: str
    children: tuple[str, ...]
    movements: tuple[Movement, ...]
    on_hand: int
