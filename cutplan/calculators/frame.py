"""The four parts of a rectangular frame, mitred or butted, and the diagonal that shows it is square."""

from __future__ import annotations

from cutplan.calculators.answer import Answer, Piece, Step, Sum
from cutplan.calculators.exact import hypotenuse
from cutplan.problems import Refused
from cutplan.units import DEGREE, USUAL, Length, length_text

OUTSIDE, INSIDE = "outside", "inside"
MITRED, WIDTH_THROUGH, HEIGHT_THROUGH = "mitred", "width through", "height through"
JOINTS = (MITRED, WIDTH_THROUGH, HEIGHT_THROUGH)


def frame(width: Length, height: Length, depth: Length, *, measured: str, joint: str, unit: str) -> Answer:
    """The parts of a frame and its two check diagonals.

    Parameters
    ----------
    width, height
        Of the whole frame or of its opening, as ``measured`` says. [nm]
    depth
        Depth of the section in the plane of the frame. [nm]
    measured
        ``outside`` or ``inside``.
    joint
        One of :data:`JOINTS`: mitred at 45 degrees, or butted with the two parts along the width, or along the height,
        running through.
    unit
        Of the lengths in refusals.

    Raises
    ------
    Refused
        When the outside is too small to have an opening.
    """
    extra = 2 * depth
    if measured == OUTSIDE:
        if min(width, height) <= extra:
            found = f"{length_text(width, USUAL[unit])} x {length_text(height, USUAL[unit])}"
            raise Refused(found, f"more than {length_text(extra, USUAL[unit])}, two depths, both ways", code="sum.room")
        outside, inside = (width, height), (width - extra, height - extra)
        formulas = ("", "", "W - 2 d", "H - 2 d")
    else:
        outside, inside = (width + extra, height + extra), (width, height)
        formulas = ("w + 2 d", "h + 2 d", "", "")
    return Answer(
        sum=Sum.FRAME,
        way=joint,
        steps=(
            Step(name="d, depth of the section", length=depth),
            Step(name="W, width outside", formula=formulas[0], length=outside[0]),
            Step(name="H, height outside", formula=formulas[1], length=outside[1]),
            Step(name="w, width inside", formula=formulas[2], length=inside[0]),
            Step(name="h, height inside", formula=formulas[3], length=inside[1]),
            Step(name="diagonal outside", formula="sqrt(W^2 + H^2)", length=hypotenuse(*outside)),
            Step(name="diagonal inside", formula="sqrt(w^2 + h^2)", length=hypotenuse(*inside)),
        ),
        pieces=_pieces(outside, inside, joint),
    )


def _pieces(outside: tuple[Length, Length], inside: tuple[Length, Length], joint: str) -> tuple[Piece, ...]:
    if joint == MITRED:
        angle = 45 * DEGREE
        return (
            Piece(quantity=2, length=outside[0], angle=angle, name="along the width, W"),
            Piece(quantity=2, length=outside[1], angle=angle, name="along the height, H"),
        )
    if joint == WIDTH_THROUGH:
        return (
            Piece(quantity=2, length=outside[0], name="along the width, W"),
            Piece(quantity=2, length=inside[1], name="between them, h"),
        )
    return (
        Piece(quantity=2, length=outside[1], name="along the height, H"),
        Piece(quantity=2, length=inside[0], name="between them, w"),
    )
