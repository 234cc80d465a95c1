"""What a stock-take found otherwise than the ledger has it: in words and as values for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from cutplan.units import Printing, length_text, mm_text
from cutplan.words.naming import material_name
from cutplan.words.rack_words import counted_on, ended_holds

if TYPE_CHECKING:
    from cutplan.rack.counting import Difference
    from cutplan.rack.pieces import Hold


def count_text(place: str, found: Sequence[Difference], how: Printing) -> str:
    """The differences of a stock-take in words: expected, found and the difference."""
    if not found:
        return f"{place}: as in the ledger. Nothing was changed."
    lines = [f"{place}: {len(found)} {'difference' if len(found) == 1 else 'differences'}, corrected in the ledger."]
    for each in found:
        what = f"{each.mark}, {material_name(each.material, how)}"
        if each.was:
            others = f"{each.found} of {each.was}, which the ledger has elsewhere"
            lines.append(f"  {what}: {others}; now under a mark of their own: paint {each.mark} on them")
        elif each.elsewhere:
            lines.append(f"  {what}: the ledger has {each.elsewhere} elsewhere, {each.found} found here")
        elif each.found != each.expected:
            change = f"{each.found - each.expected:+d}"
            lines.append(f"  {what}: {each.expected} expected, {each.found} found, {change}")
        if each.measured != each.noted:
            lines.append(
                f"  {what}: {length_text(each.noted, how)} expected, {length_text(each.measured, how)} measured"
            )
        lines += ended_holds(f"  {what}", each.released)
        lines += counted_on(f"  {what}", each.held, each.noted, how)
    return "\n".join(lines)


def count_values(found: Sequence[Difference]) -> dict[str, Any]:
    """The differences of a stock-take as values for JSON."""
    return {
        "differences": [
            {
                "mark": each.mark,
                "section": each.material.designation,
                "expected": each.expected,
                "found": each.found,
                "noted_mm": mm_text(each.noted),
                "measured_mm": mm_text(each.measured),
                "was": each.was,
                "elsewhere": each.elsewhere,
                "released": _holds(each.released),
                "held": _holds(each.held),
            }
            for each in found
        ]
    }


def _holds(holds: Sequence[Hold]) -> list[dict[str, Any]]:
    return [{"job": hold.job, "quantity": hold.quantity} for hold in holds]
