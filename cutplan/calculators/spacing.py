"""Parts spread evenly between two faces: the gap, and where each part stands.

Every position is worked out from the first face by itself, so that roundings never add up.
"""

from __future__ import annotations

from cutplan.calculators.answer import Answer, Piece, Step, Sum
from cutplan.calculators.exact import quotient
from cutplan.problems import Refused
from cutplan.units import USUAL, Length, ceil_div, length_text

MOST_PARTS = 500
"""More positions than this are no list that anybody marks out from."""


def spacing(clear: Length, width: Length, count: int, *, piece: Length | None, unit: str) -> Answer:
    """Gap and positions of ``count`` parts with an equal gap between all and at both ends.

    Parameters
    ----------
    clear
        Distance between the two faces. [nm]
    width
        How wide each part stands in it; 0 for lines or hole centres. [nm]
    count
        How many parts, 1 to :data:`MOST_PARTS`.
    piece
        Length of each part, when parts are asked for. [nm]
    unit
        Of the lengths in refusals.

    Raises
    ------
    Refused
        When the parts leave no gap, or are too many to mark out.
    """
    if not 1 <= count <= MOST_PARTS:
        raise Refused(f"{count} parts", f"1 to {MOST_PARTS}", code="sum.count")
    rest = clear - count * width
    if rest <= 0:
        raise Refused(
            f"{count} parts of {length_text(width, USUAL[unit])} in {length_text(clear, USUAL[unit])}",
            "parts that leave a gap between them",
            code="sum.room",
        )
    # Near face of part i, from 1: i gaps and i - 1 widths.
    faces = [quotient(i * rest, count + 1) + (i - 1) * width for i in range(1, count + 1)]
    steps = [
        Step(name="L, between the faces", length=clear),
        Step(name=f"w, width of each of n = {count}", length=width),
        Step(name="g, gap", formula="(L - n w) / (n + 1)", length=quotient(rest, count + 1)),
    ]
    formula = "i g + (i - 1) w"
    for number, face in enumerate(faces, 1):
        steps.append(Step(name=f"near face of part {number}", formula=formula, length=face))
        formula = ""
    return Answer(
        sum=Sum.SPACING,
        steps=tuple(steps),
        pieces=(Piece(quantity=count, length=piece, name="spaced"),) if piece else (),
        places=tuple(faces),
    )


def spacing_at_most(clear: Length, width: Length, most: Length, *, piece: Length | None, unit: str) -> Answer:
    """As :func:`spacing`, with the fewest parts that leave no gap wider than ``most``. [nm]

    Raises
    ------
    Refused
        When the whole distance is no wider than ``most``, or the parts would be too many or leave no gap.
    """
    if clear <= most:
        raise Refused(
            length_text(clear, USUAL[unit]),
            f"more than the widest gap, {length_text(most, USUAL[unit])}",
            "no part is needed between the faces",
            code="sum.gap",
        )
    # (L - n w) / (n + 1) <= most, so n >= (L - most) / (w + most)
    return spacing(clear, width, ceil_div(clear - most, width + most), piece=piece, unit=unit)
