"""A diagonal brace in a rectangular opening, both ends bearing flat against the frame.

The brace is a parallelogram: its two ends lie along two opposite sides of the
opening, one long edge starts in one corner, the other ends in the corner across.
"""

from __future__ import annotations

import math

from cutplan.calculators.answer import Answer, Piece, Step, Sum
from cutplan.calculators.exact import hypotenuse, quotient, saw_angle, to_saw_up
from cutplan.problems import Refused
from cutplan.units import MAX_MITRE, USUAL, Length, angle_text, length_text

_FINER = 10**6
"""Roots are taken this much finer than a nanometre before the last division."""

TOP_AND_BOTTOM, SIDES = "top and bottom", "sides"
AGAINST = (TOP_AND_BOTTOM, SIDES)


def edge_run(across: Length, along: Length, depth: Length) -> Length:
    """How far an edge of the brace gets along the sides it bears against, to the nearest nanometre.

    Parameters
    ----------
    across
        Distance between the two sides that the ends bear against. [nm]
    along
        Length of those sides in the opening. [nm]
    depth
        Depth of the brace square to its edges, less than ``along``. [nm]

    Notes
    -----
    The end of the brace takes depth / sin(slope) of the side, where tan(slope) = across / run, and what is left is the
    run: run + depth sqrt(across^2 + run^2) / across = along. Squared, that is a quadratic in the run, and its root
    below ``along`` is across (along^2 - depth^2) / (along across + depth sqrt(along^2 + across^2 - depth^2)).
    """
    root = math.isqrt(depth * depth * (along * along + across * across - depth * depth) * _FINER**2)
    return quotient(across * (along * along - depth * depth) * _FINER, along * across * _FINER + root)


def brace(width: Length, height: Length, depth: Length, against: str, unit: str) -> Answer:
    """Long point, short point and saw angle of a brace from corner to corner.

    Parameters
    ----------
    width, height
        Of the opening, inside the frame. [nm]
    depth
        Depth of the section in the plane of the frame. [nm]
    against
        One of :data:`AGAINST`: which two sides the ends bear against.
    unit
        Of the lengths in refusals, and of what the long point is rounded up to.

    Raises
    ------
    Refused
        When the section is as deep as the opening, or the saw would have to be set steeper than 75 degrees.
    """
    across, along = (height, width) if against == TOP_AND_BOTTOM else (width, height)
    if depth >= along:
        found = f"a depth of {length_text(depth, USUAL[unit])}"
        raise Refused(
            found,
            f"less than {length_text(along, USUAL[unit])}, the side that the ends bear against",
            code="sum.brace_depth",
        )
    run = edge_run(across, along, depth)
    angle = saw_angle(run, across)
    if angle > MAX_MITRE:
        other = SIDES if against == TOP_AND_BOTTOM else TOP_AND_BOTTOM
        found = f"a saw angle of {angle_text(angle)} degrees from square"
        raise Refused(
            found,
            f"at most {angle_text(MAX_MITRE)} degrees",
            f"let the ends bear against the {other}",
            code="sum.brace_steep",
        )
    edge = hypotenuse(run, across)
    lean = quotient(depth * run, across)
    long_point = to_saw_up(edge + lean, unit)
    return Answer(
        sum=Sum.BRACE,
        way=against,
        steps=(
            Step(name="a, between the sides it bears against", length=across),
            Step(name="b, along them", length=along),
            Step(name="d, depth of the section", length=depth),
            Step(name="r, run of an edge", formula="a (b^2 - d^2) / (a b + d sqrt(a^2 + b^2 - d^2))", length=run),
            Step(name="e, each long edge", formula="sqrt(a^2 + r^2)", length=edge),
            Step(name="saw angle from square", formula="arctan(r / a)", angle=angle),
            Step(name="long point to long point", formula="e + d r / a", length=long_point),
            Step(name="short point to short point", formula="e - d r / a", length=max(0, edge - lean)),
        ),
        pieces=(Piece(quantity=1, length=long_point, angle=angle, parallel=angle > 0, name="brace"),),
    )
