"""A sum in words and as JSON: what it is of, every formula beside what it comes to, the parts, how to read it."""

from __future__ import annotations

from typing import Any

from cutplan.calculators import Answer, Step, Sum
from cutplan.calculators.frame import MITRED
from cutplan.units import USUAL, Angle, angle_text, length_text, mm_text


def title(answer: Answer) -> str:
    """What was worked out."""
    if answer.sum is Sum.BRACE:
        return f"Brace from corner to corner, its ends against the {answer.way}"
    if answer.sum is Sum.SPACING:
        return "Equal spacing, measured from the first face"
    how = "mitred" if answer.way == MITRED else f"butted, {answer.way}"
    leaves = "one leaf" if answer.leaves == 1 else "two leaves"
    found = f"Gate of {leaves}; frame, {how}" if answer.sum is Sum.GATE else f"Frame, {how}"
    return f"{found}, braced" if answer.braced else found


_OF_FRAME = "The frame is square when both diagonals measure the same, corner to corner."
_OF_GATE = "Gaps are between bare steel: hinges and latch say what they need, and paint or zinc takes some of it."
_OF_SPACING = "Mark every position from the first face: each is rounded by itself, and roundings do not add up."


def _of_brace(unit: str) -> tuple[str, ...]:
    step = "1/64 in" if unit == "in" else "0.1 mm"
    return (
        "Both ends lean the same way: the brace is a parallelogram, and each long edge is e.",
        f"Long point to long point runs from tip to tip along the bar and is rounded up to {step}.",
    )


def remarks(answer: Answer, unit: str) -> tuple[str, ...]:
    """Sentences on how to read it; ``unit`` is that of what is rounded up, as in :mod:`cutplan.calculators.exact`."""
    if answer.sum is Sum.BRACE:
        return _of_brace(unit)
    if answer.sum is Sum.SPACING:
        return (_OF_SPACING,)
    of_gate = (_OF_GATE,) if answer.sum is Sum.GATE else ()
    return (_OF_FRAME, *of_gate, *(_of_brace(unit) if answer.braced else ()))


def _value(step: Step, unit: str) -> str:
    """What a step comes to, as the workshop reads it."""
    if step.length is not None:
        return length_text(step.length, USUAL[unit])
    return f"{angle_text(step.angle or 0)} degrees"


def sum_text(answer: Answer, unit: str, square_reads: Angle = 0) -> str:
    """The sum in lines of plain text: what was given, each formula with its value, the parts, the remarks.

    ``square_reads`` is what the scale of the saw reads at a square cut; where its reading is another figure than the
    angle, it stands beside it.
    """
    values = [_value(step, unit) for step in answer.steps]
    name_width, value_width = max(len(step.name) for step in answer.steps), max(map(len, values))
    lines = [title(answer)]
    for step, value in zip(answer.steps, values, strict=True):
        formula = f"   {step.formula}" if step.formula else ""
        lines.append(f"  {step.name:<{name_width}}  {value:>{value_width}}{formula}")
    if answer.pieces:
        lines.append("Parts")
    for piece in answer.pieces:
        ends = f"both ends {angle_text(piece.angle)} degrees from square" if piece.angle else "both ends square"
        ends += " and parallel" if piece.parallel else ""
        reading = abs(square_reads - piece.angle)
        if piece.angle and reading != piece.angle:
            ends += f", where the saw's scale reads {angle_text(reading)}"
        lines.append(f"  {piece.quantity} x {length_text(piece.length, USUAL[unit])}, {ends}: {piece.name}")
    return "\n".join([*lines, *remarks(answer, unit)])


def sum_values(answer: Answer, unit: str, square_reads: Angle = 0) -> dict[str, Any]:
    """The sum as values for JSON; lengths in exact millimetres, angles in degrees, both as text."""
    return {
        "title": title(answer),
        "steps": [
            {
                "name": step.name,
                "formula": step.formula,
                **({"length_mm": mm_text(step.length)} if step.length is not None else {}),
                **({"degrees": angle_text(step.angle)} if step.angle is not None else {}),
            }
            for step in answer.steps
        ],
        "parts": [
            {
                "name": piece.name,
                "quantity": piece.quantity,
                "length_mm": mm_text(piece.length),
                "cut_a": angle_text(piece.angle),
                "cut_b": angle_text(piece.angle),
                "scale_reads": angle_text(abs(square_reads - piece.angle)),
                "parallel": piece.parallel,
            }
            for piece in answer.pieces
        ],
        "remarks": list(remarks(answer, unit)),
    }
