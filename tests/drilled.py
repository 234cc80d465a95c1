"""Parts with holes for the tests of marking cards. Lengths in millimetres."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from cutplan.drilling import read_hole_size
from cutplan.model import Hole, Job, Part, Plan
from tests import builders
from tests.builders import mm, part_of
from tests.hand_plans import hand_plan


def hole(position: float | str, face: int = 1, across: float | str = 20, size: str = "10", **other: Any) -> Hole:
    """A hole of a size as typed; blank is a landing."""
    if not size:
        return Hole(position=mm(position), face=face, across=mm(across), **other)
    read = read_hole_size(size)
    return Hole(
        position=mm(position),
        face=face,
        across=mm(across),
        diameter=read.diameter,
        name=read.name,
        standard=read.standard,
        **other,
    )


def drilled(mark: str, *holes: Hole, section: str = "SHS 40x40x3", length: float = 1000, **other: Any) -> Part:
    """One part of a section as sold, with its holes."""
    return replace(part_of(section, length, **other), mark=mark, holes=holes)


def drilled_job(*parts: Part, **settings: Any) -> tuple[Job, Plan]:
    """A job of such parts and its plan, every part cut from a bar of 6 m of its own."""
    offers = [builders.offer(f"O{i}", 6000, 9, section=part.section) for i, part in enumerate(parts)]
    job = builders.job(parts, offers, **settings)
    sections = list(dict.fromkeys(part.section.key for part in parts))
    return job, hand_plan(
        job,
        *[
            (next(f"O{i}" for i, other in enumerate(parts) if other.section.key == key), [part.mark])
            for key in sections
            for part in parts
            if part.section.key == key
            for _ in range(part.quantity)
        ],
    )
