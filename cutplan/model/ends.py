"""How the ends of a part are cut, how it lies on the saw, and what is added to its length.

Lengths in nanometres, angles in millionths of a degree.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from cutplan.fields import ANGLE, POSITIVE_LENGTH, said
from cutplan.units import Angle, Length


@dataclass(frozen=True, slots=True, kw_only=True)
class EndCut:
    """One end of a part: ``angle`` counted from square. [millionths of a degree]"""

    angle: Annotated[Angle, ANGLE] = 0


SQUARE = EndCut()


class Lean(Enum):
    """How the two mitres of a part lean.

    OPPOSITE: both long points on one side, as in a frame. PARALLEL: on opposite sides, as in a brace between two
    rails.
    """

    OPPOSITE = "opposite"
    PARALLEL = "parallel"


class Heel(Enum):
    """Where the heel of an angle lies: on the side of which point of its first mitred end.

    An angle lies on the table with one leg; the other stands up along the heel. NOT_ASKED where it does not matter.
    """

    NOT_ASKED = ""
    LONG_POINT = "long point"
    SHORT_POINT = "short point"


class Purpose(Enum):
    """What an allowance is for."""

    SHRINKAGE = "weld shrinkage"
    GRINDING = "grinding"
    SQUARING = "squaring"
    COPE = "cope"
    FIT = "fit-up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """Length added to a part before it is sawn, and what for. [nm]"""

    purpose: Annotated[Purpose, said("what an allowance is for")]
    length: Annotated[Length, POSITIVE_LENGTH]

    def __post_init__(self) -> None:
        if self.length <= 0:
            raise ValueError("an allowance is more than 0")
