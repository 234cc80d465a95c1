"""What the code of a label names, in words and as values for JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cutplan.units import Printing, length_text
from cutplan.words.naming import material_name

if TYPE_CHECKING:
    from pathlib import Path

    from cutplan.model import Part
    from cutplan.rack.pieces import Life


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoded:
    """What a code names.

    ``kind`` is ``part``, ``offcut`` or ``rack``; ``values`` are those of the code. ``plan_file`` is None where no plan
    with that fingerprint lies where plans do; ``bar`` is the bar a part is cut from, 0 where it is not known. ``life``
    is that of the piece of the rack, None where the ledger has none of that mark.
    """

    kind: str
    values: dict[str, str]
    plan_file: Path | None = None
    part: Part | None = None
    bar: int = 0
    life: Life | None = None


def code_text(found: Decoded, how: Printing) -> str:
    """A line for what the code names, then where its plan is and how its piece is now."""
    kind, values, part, bar = found.kind, found.values, found.part, found.bar
    if kind == "part":
        what = f"Part {values['mark']}, copy {values['copy']}, of plan {values['plan']}"
        lines = [f"{what}, bar {bar}" if bar else what]
        if part is not None:
            words = [part.section.designation, length_text(part.finished, how), part.assembly, part.note]
            lines.append("  " + ", ".join(word for word in words if word))
    elif kind == "offcut":
        lines = [f"Left over of bar {bar} of plan {values['plan']}"]
    else:
        lines = [f"Piece {values['mark']} of the rack"]
    if "plan" in values:
        lines.append(f"  plan file: {found.plan_file or 'not in the folder reports'}")
    if kind != "part":
        lines.append(f"  {_now(values.get('mark', ''), found.life, how)}")
    return "\n".join(lines)


def _now(mark: str, life: Life | None, how: Printing) -> str:
    if not mark:
        return "no mark on its label: cutplan labels prints it again once it is recorded"
    if life is None:
        return f"{mark}: not in the ledger"
    state = life.movements[-1].state
    piece = f"{life.mark}: {material_name(life.material, how)}, {length_text(state.length, how)}"
    if not life.on_hand:
        return f"{piece}; no longer on the rack"
    at = f" at {state.place}" if state.place else ""
    return f"{piece}; {life.on_hand} on the rack{at}"


def code_values(found: Decoded) -> dict[str, Any]:
    """What the code names, as values for JSON; null where nothing is known of it."""
    part, life = found.part, found.life
    return {
        "kind": found.kind,
        **found.values,
        "bar": found.bar or None,
        "plan_file": str(found.plan_file) if found.plan_file else None,
        "section": part.section.designation if part else life.material.designation if life else None,
        "on_rack": life.on_hand if life else None,
    }
