"""The rack as values for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from cutplan.units import angle_text, exact_money_text, kg_text, mm_text

if TYPE_CHECKING:
    from cutplan.rack.backup import Restored
    from cutplan.rack.pieces import Life, Material, Movement, Standing, State
    from cutplan.rack.replay import Balance
    from cutplan.sections import Section


def _state(state: State) -> dict[str, Any]:
    return {
        "length_mm": mm_text(state.length),
        "end_a": state.end_a.value,
        "end_b": state.end_b.value,
        "angle_a": angle_text(state.angle_a),
        "angle_b": angle_text(state.angle_b),
        "longest_mm": mm_text(state.longest),
        "grade": state.grade,
        "heat_number": state.heat_number,
        "certificate": state.certificate,
        "place": state.place,
        "photo": state.photo,
        "wall_mm": None if state.wall is None else mm_text(state.wall),
        "book_value": None if state.value is None else exact_money_text(state.value),
    }


def standing_values(piece: Standing) -> dict[str, Any]:
    """A piece on the rack as JSON holds it."""
    return {
        "mark": piece.mark,
        "section": piece.material.designation,
        "standard": piece.material.standard,
        "finish": piece.material.finish,
        "quantity": piece.quantity,
        "since": piece.since,
        "holds": [{"job": hold.job, "quantity": hold.quantity, "until": hold.until} for hold in piece.holds],
        **_state(piece.state),
    }


def life_values(found: Life) -> dict[str, Any]:
    """A piece from its coming to its going, as JSON holds it."""
    return {
        "mark": found.mark,
        "section": found.material.designation,
        "standard": found.material.standard,
        "finish": found.material.finish,
        "cut_from": found.parent,
        "cut_into": list(found.children),
        "on_hand": found.on_hand,
        "movements": [_movement(movement) for movement in found.movements],
    }


def _movement(movement: Movement) -> dict[str, Any]:
    doing = movement.doing
    return {
        "at": doing.at,
        "who": doing.who,
        "command": doing.what,
        "job": doing.job,
        "plan": doing.plan,
        "reason": doing.reason,
        "kind": movement.kind.value,
        "quantity": movement.quantity,
        "bar": movement.bar,
        "parts_mm": mm_text(movement.split.parts),
        "kerf_and_trim_mm": mm_text(movement.split.kerf_and_trim),
        "scrap_mm": mm_text(movement.split.scrap),
        "note": movement.note,
        "undone": movement.undone,
        **_state(movement.state),
    }


def old_values(found: Sequence[tuple[Standing, int, int]]) -> dict[str, Any]:
    """What has lain long, as JSON holds it."""
    return {
        "pieces": [
            {**standing_values(piece), "mass_kg": kg_text(mass, 3), "scrap_price": exact_money_text(money)}
            for piece, mass, money in found
        ]
    }


def balance_values(material: Material, balance: Balance, section: Section | None) -> dict[str, Any]:
    """Where the steel of a section went, as JSON holds it; no masses where cutplan knows no such section."""
    went = {
        "came_in": balance.came_in,
        "on_hand": balance.on_hand,
        "parts": balance.parts,
        "kerf_and_trim": balance.kerf_and_trim,
        "scrap": balance.scrap,
    }
    return {
        "section": material.designation,
        "standard": material.standard,
        "finish": material.finish,
        **{f"{what}_mm": mm_text(length) for what, length in went.items()},
        **{f"{what}_kg": kg_text(section.mass_of(length), 3) if section else None for what, length in went.items()},
    }


def restored_values(done: Restored) -> dict[str, Any]:
    """What putting a copy back came to, as values for JSON."""
    return {
        "kept": None if done.kept is None else str(done.kept),
        "readable": done.readable,
        "lost": [
            {
                "at": each.doing.at,
                "who": each.doing.who,
                "what": each.doing.what,
                "job": each.doing.job,
                "reason": each.doing.reason,
                "marks": list(each.marks),
            }
            for each in done.lost
        ],
    }
