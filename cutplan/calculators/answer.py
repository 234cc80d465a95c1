"""What a sum comes to: its steps with their formulas, and the parts to cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from cutplan.units import USUAL, Angle, Length, angle_text, length_text, mm_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of a sum: a name, the formula (blank for what was given), and a length [nm] or an angle."""

    name: str
    formula: str = ""
    length: Length | None = None
    angle: Angle | None = None

    def value_text(self, unit: str) -> str:
        """The value as the workshop reads it."""
        if self.length is not None:
            return length_text(self.length, USUAL[unit])
        return f"{angle_text(self.angle or 0)} degrees"


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
    """A sum worked out. ``remarks`` are sentences on how to read it, ``places`` what is marked from one face. [nm]"""

    title: str
    steps: tuple[Step, ...]
    pieces: tuple[Piece, ...] = ()
    remarks: tuple[str, ...] = ()
    places: tuple[Length, ...] = ()


def answer_text(answer: Answer, unit: str, square_reads: Angle = 0) -> str:
    """The sum in lines of plain text: what was given, each formula with its value, the parts, the remarks.

    ``square_reads`` is what the scale of the saw reads at a square cut; where its reading is another figure than the
    angle, it stands beside it.
    """
    names = max(len(step.name) for step in answer.steps)
    values = max(len(step.value_text(unit)) for step in answer.steps)
    lines = [answer.title]
    for step in answer.steps:
        formula = f"   {step.formula}" if step.formula else ""
        lines.append(f"  {step.name:<{names}}  {step.value_text(unit):>{values}}{formula}")
    if answer.pieces:
        lines.append("Parts")
    for piece in answer.pieces:
        ends = f"both ends {angle_text(piece.angle)} degrees from square" if piece.angle else "both ends square"
        ends += " and parallel" if piece.parallel else ""
        reading = abs(square_reads - piece.angle)
        if piece.angle and reading != piece.angle:
            ends += f", where the saw's scale reads {angle_text(reading)}"
        lines.append(f"  {piece.quantity} x {length_text(piece.length, USUAL[unit])}, {ends}: {piece.name}")
    return "\n".join([*lines, *answer.remarks])


def answer_values(answer: Answer, square_reads: Angle = 0) -> dict[str, Any]:
    """The sum as values for JSON; lengths in exact millimetres, angles in degrees, both as text."""
    return {
        "title": answer.title,
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
        "remarks": list(answer.remarks),
    }
