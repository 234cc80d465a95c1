"""A gate in an opening: the leaf or two leaves that its gaps leave, and a brace from corner to corner inside them."""

from __future__ import annotations

from dataclasses import replace

from cutplan.calculators.answer import Answer, Step, Sum
from cutplan.calculators.brace import TOP_AND_BOTTOM, brace
from cutplan.calculators.exact import to_saw_down
from cutplan.calculators.frame import INSIDE, OUTSIDE, frame
from cutplan.problems import Refused
from cutplan.units import USUAL, Length, length_text


def gate(
    width: Length,
    height: Length,
    depth: Length,
    *,
    hinge: Length,
    latch: Length,
    below: Length,
    leaves: int,
    joint: str,
    unit: str,
) -> Answer:
    """The parts of the frame of each leaf of a gate.

    Parameters
    ----------
    width, height
        Of the opening: between the posts, and from the ground to the top of the leaf. [nm]
    depth
        Depth of the section in the plane of the gate. [nm]
    hinge, latch
        Gap between post and leaf at the hinges, and at the latch; of two leaves the one between them. [nm]
    below
        Gap under the leaf. [nm]
    leaves
        1 or 2, both alike.
    joint, unit
        As for :func:`cutplan.calculators.frame.frame`.

    Raises
    ------
    Refused
        When the gaps leave no leaf with an opening of its own.
    """
    how = USUAL[unit]
    room = width - leaves * hinge - latch
    leaf = room if leaves == 1 else to_saw_down(room // 2, unit)
    tall = height - below
    if min(leaf, tall) <= 2 * depth:
        found = f"leaves of {length_text(max(0, leaf), how)} x {length_text(max(0, tall), how)}"
        raise Refused(found, f"more than {length_text(2 * depth, how)}, two depths, both ways", code="sum.room")
    body = frame(leaf, tall, depth, measured=OUTSIDE, joint=joint, unit=unit)
    formula = "O - g - k" if leaves == 1 else "(O - 2 g - k) / 2"
    given = (
        Step(name="O, width of the opening", length=width),
        Step(name="P, height of the opening", length=height),
        Step(name="g, gap at the hinges", length=hinge),
        Step(name="k, gap at the latch" if leaves == 1 else "k, gap between the leaves", length=latch),
        Step(name="u, gap below", length=below),
    )
    formulas = {"W, width outside": formula, "H, height outside": "P - u"}
    return replace(
        body,
        sum=Sum.GATE,
        leaves=leaves,
        steps=(*given, *(replace(step, formula=formulas.get(step.name, step.formula)) for step in body.steps)),
        pieces=tuple(replace(piece, quantity=leaves * piece.quantity) for piece in body.pieces),
    )


def braced(answer: Answer, depth: Length, frames: int, unit: str) -> Answer:
    """A frame or gate with a brace of the same section from corner to corner in each of its frames.

    Raises
    ------
    Refused
        When no such brace can be cut.
    """
    inside = {step.name: step.length for step in answer.steps}
    width, height = (inside[f"{name} {INSIDE}"] for name in ("w, width", "h, height"))
    assert width is not None
    assert height is not None
    inner = brace(width, height, depth, TOP_AND_BOTTOM, unit)
    return replace(
        answer,
        braced=True,
        steps=(*answer.steps, *(replace(step, name=f"brace: {step.name}") for step in inner.steps)),
        pieces=(*answer.pieces, *(replace(piece, quantity=frames) for piece in inner.pieces)),
    )
