"""What a list asks for, group by group: the values, in words, and as values for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cutplan.units import counted, kg_text, mass_text, mm_text, stock_text
from cutplan.words.naming import group_names
from cutplan.words.refusals import problem_values, warning_lines

if TYPE_CHECKING:
    from cutplan.model import Job


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupFound:
    """What a list asks for in one group, and what there is to cut it from.

    ``length`` in nm, ``mass`` in mg, both of the parts alone; ``offers`` counts the stock lengths that can be
    brought home, whole or cut for it, ``too_long`` those that cannot; ``priced`` is false when an offer has no price.
    """

    title: str
    parts: int
    pieces: int
    length: int
    mass: int
    offers: int
    too_long: int
    offcuts: int
    priced: bool


def found_values(job: Job, found: Sequence[GroupFound]) -> dict[str, Any]:
    """What was read, as values for JSON."""
    return {
        "job": job.name,
        "files": [{"role": file.role, "name": file.name, "sha256": file.sha256} for file in job.files],
        "assumptions": [{"code": one.code, "text": one.text} for one in job.assumptions],
        "warnings": [problem_values(problem) for problem in job.warnings],
        "silenced": job.silenced,
        "others": [
            {"name": line.name, "quantity": line.quantity, "mass_kg": kg_text(line.mass, 3)} for line in job.others
        ],
        "groups": [
            {
                "group": group.title,
                "lines": group.parts,
                "pieces": group.pieces,
                "length_mm": mm_text(group.length),
                "mass_kg": kg_text(group.mass, 3),
                "offers": group.offers,
                "offers_too_long_to_carry": group.too_long,
                "offcuts": group.offcuts,
                "priced": group.priced,
            }
            for group in found
        ],
    }


def found_text(job: Job, found: Sequence[GroupFound]) -> str:
    """What was read, in words: files, assumptions, warnings, and a line or two for each group."""
    how, names = job.workshop.printing, group_names(job)
    pieces = sum(group.pieces for group in found)
    lines = [
        f"{job.name}: {counted(len(job.parts), 'line')}, {counted(pieces, 'part')}, {counted(len(found), 'group')}"
    ]
    lines += [f"  {file.role}: {file.name}" for file in job.files]
    if job.assumptions:
        lines += ["Assumed:", *(f"  {text}" for text in job.assumed)]
    lines += warning_lines(job.warnings)
    if job.silenced:
        lines.append(f"{counted(job.silenced, 'warning')} not shown, as the list says looked at")
    for group in found:
        weight = mass_text(group.mass, how)
        title = names.get(group.title, group.title)
        lines.append(f"{title}: {counted(group.pieces, 'part')}, {stock_text(group.length, how)}, {weight}")
        sources = [counted(group.offers, "stock length"), counted(group.offcuts, "piece") + " of the rack"]
        if group.too_long:
            sources.insert(1, f"{group.too_long} too long to carry")
        if not group.priced:
            sources.append("a price is missing, so it is planned for the least mass to buy")
        lines.append("  to cut it from: " + ", ".join(sources))
    if job.others:
        lines.append("Other things, which are not cut:")
        lines += [f"  {line.quantity} x {line.name}" for line in job.others]
    weight = mass_text(sum(group.mass for group in found), how)
    lines.append(f"Total of all parts: {weight}. Nothing was planned or written.")
    return "\n".join(lines)
