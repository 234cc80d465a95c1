"""Which unit of an assembly that is made several times each copy of a part goes into."""

from __future__ import annotations

from cutplan.model.part import Part


def in_each(part: Part) -> int:
    """How many go into each unit; 0 where the assembly is made once, or its units do not all have as many."""
    units, wanted = part.assemblies, part.quantity - part.spares_bought
    return wanted // units if units > 1 and wanted % units == 0 else 0


def unit_of(part: Part, copy: int) -> int:
    """The unit that a copy goes into, the first copies into the first; 0 for a spare, and where there are no units.

    Of the first plan of a job alone: in the rest of one, nobody knows for which unit a copy was spoiled.
    """
    each = in_each(part)
    return (copy - 1) // each + 1 if 0 < copy <= each * part.assemblies else 0
