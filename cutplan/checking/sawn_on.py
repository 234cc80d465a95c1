"""Is every part cut on a saw that takes it, every bar on one saw, and no piece planned at two of them?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from cutplan.model import Group, Job, Part, Plan, Saw, SourceKind
from cutplan.units import angle_text


def saw_failures(job: Job, groups: Sequence[Group], plan: Plan) -> list[str]:
    """What is wrong with the choice of saws, in sentences; nothing where the workshop has one saw."""
    if not job.workshop.saws:
        return []
    saws = {saw.name: saw for saw in job.workshop.saws}
    failures = [
        f"{part.mark}: the saw {saw.name} does not take it: {text}"
        for part in job.parts
        if (saw := saws[part.saw])
        for text in _not_taken(part, saw)
    ]
    named = {part.mark: part.saw for part in job.parts}
    for bar in plan.bars:
        cut_on = {named[cut.mark] for cut in bar.cuts if cut.mark in named}
        if len(cut_on) > 1:
            failures.append(f"bar {bar.number}: is cut on {' and on '.join(sorted(cut_on))}, one bar is cut on one saw")
    for group in groups:
        if {part.saw for part in group.parts} != {group.saw}:
            failures.append(f"{group.title}: holds parts of another saw")
    return failures + list(_used_too_often(job, plan))


def _not_taken(part: Part, saw: Saw) -> Iterator[str]:
    section, angle = part.section, max(part.end_a.angle, part.end_b.angle)
    if saw.families and section.family not in saw.families:
        yield f"{section.family.value} is none of its families"
    if saw.largest and (section.height > saw.largest or section.width > saw.largest):
        yield f"{section.designation} is too large"
    if angle > saw.steepest:
        yield f"{angle_text(angle)} degrees are too steep"


def _used_too_often(job: Job, plan: Plan) -> Iterator[str]:
    """What there is a limited number of is there for all saws together."""
    there = {(SourceKind.OFFCUT, offcut.mark): offcut.quantity for offcut in job.offcuts}
    there |= {(SourceKind.BOUGHT, each.id): each.available for each in job.offers if each.available is not None}
    used = Counter((bar.kind, bar.source) for bar in plan.bars if bar.piece_of is None or bar.piece_of.number == 1)
    for (kind, name), number in used.items():
        if number > there.get((kind, name), number):
            yield f"{name} is used {number} times on all saws together, there are {there[kind, name]}"
