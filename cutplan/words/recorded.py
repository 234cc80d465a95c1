"""What recording a plan came to: the values, in words, and as values for JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cutplan.units import kg_text, length_text, mass_text, mm_text
from cutplan.words.naming import material_name, time_text

if TYPE_CHECKING:
    from cutplan.model import Job, Plan
    from cutplan.rack.outcome import Recorded
    from cutplan.rack.pieces import Doing


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A plan file as it is recorded. ``before`` is the action that recorded it earlier; then nothing was done."""

    job: Job
    plan: Plan
    before: Doing | None = None
    recorded: Recorded | None = None


def record_text(cut: Cut) -> str:
    """What recording came to, in words."""
    how = cut.job.workshop.printing

    if cut.before is not None:
        by = f" by {cut.before.who}" if cut.before.who else ""
        return f"{cut.job.name}: recorded already, {time_text(cut.before.at)}{by}. Nothing was changed."
    done = cut.recorded
    assert done is not None
    lines = [f"{cut.job.name}: recorded."]
    lines.append(f"Parts made: {sum(number for _, number in done.made)}.")
    if done.used:
        lines.append(f"Off the rack: {', '.join(dict.fromkeys(done.used))}.")
    for piece in done.kept:
        paint = "" if piece.mark == piece.printed else ": paint this mark on it"
        length = length_text(piece.length, how)
        lines.append(
            f"On the rack: {piece.mark}, {material_name(piece.material, how)}, {length}, from bar {piece.bar}{paint}."
        )
    for piece in done.uncut:
        what = f"{piece.mark}, {material_name(piece.material, how)}, {length_text(piece.length, how)}"
        lines.append(f"Not cut, on the rack: {what}.")
    lines.append(f"Scrap: {length_text(done.scrap, how)}, {mass_text(done.scrap_mass, how)}.")
    for mark, number in done.spoiled:
        lines.append(f"Spoiled: {number} x {mark}.")
    if done.missing:
        parts = ", ".join(f"{number} x {mark}" for mark, number in done.missing)
        lines.append(f"Still to cut: {parts}. cutplan replan plans them from what is there.")
    return "\n".join(lines)


def record_values(cut: Cut) -> dict[str, Any]:
    """What recording came to, as values for JSON."""
    if cut.before is not None:
        return {"job": cut.job.name, "recorded_before": True, "at": cut.before.at, "who": cut.before.who}
    done = cut.recorded
    assert done is not None
    return {
        "job": cut.job.name,
        "recorded_before": False,
        "made": dict(done.made),
        "spoiled": dict(done.spoiled),
        "still_to_cut": dict(done.missing),
        "off_the_rack": list(dict.fromkeys(done.used)),
        "on_the_rack": [
            {
                "mark": piece.mark,
                "printed_mark": piece.printed,
                "section": piece.material.designation,
                "length_mm": mm_text(piece.length),
                "bar": piece.bar,
            }
            for piece in (*done.kept, *done.uncut)
        ],
        "scrap_mm": mm_text(done.scrap),
        "scrap_kg": kg_text(done.scrap_mass, 3),
        "kerf_and_trim_mm": mm_text(done.kerf_and_trim),
    }
