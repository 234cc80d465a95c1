"""The lines of a parts list as rows, and the diagonals of the frames that they make."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from cutplan.model import Part
from cutplan.model.kits import in_each
from cutplan.model.section_totals import finished_mass
from cutplan.reports.diagonals import frame_words
from cutplan.units import Angle, Length, Mass, Printing
from cutplan.words import naming, part_words, proving


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One line of the parts list as it was understood, beside what was typed. ``grade`` is in words.

    ``length`` is as sawn; ``finished`` is None where that is the finished length. ``each`` is the quantity in one
    assembly, None where one is made; ``units`` is how many that each get as many. ``sawn`` says where that is longer
    than finished, and when it is cut; ``ends`` words how mitres lean and lie; ``allowances``, ``cope`` and ``hand`` are
    blank where there is nothing to say.
    """

    mark: str
    quantity: int
    each: int | None
    units: int
    spares: str
    section: str
    typed_section: str
    standard: str
    grade: str
    finish: str
    length: Length
    typed_length: str
    length_meant: str
    short_point: Length | None
    angle_a: Angle
    angle_b: Angle
    finished: Length | None
    allowances: str
    sawn: tuple[str, ...]
    ends: str
    cope: str
    hand: str
    assembly: str
    mass_each: Mass
    mass: Mass
    note: str


def part_row(part: Part, how: Printing, section: str, *, first: bool) -> PartRow:
    mass = finished_mass(part)
    return PartRow(
        mark=part.mark,
        quantity=part.quantity,
        each=in_each(part) or None,
        units=part.assemblies if first and in_each(part) else 1,
        spares=proving.spares_text(part),
        section=section,
        typed_section=part.typed_section,
        standard=part.section.standard,
        grade=naming.grade_text(part.grade, "any grade"),
        finish=part.finish,
        length=part.length,
        typed_length=part.typed_length,
        length_meant=part.length_meant.value if part.mitred else "",
        short_point=part.short_point if part.mitred else None,
        angle_a=part.end_a.angle,
        angle_b=part.end_b.angle,
        finished=part.finished if part.allowances else None,
        allowances=part_words.allowance_words(part, how),
        sawn=part_words.sawn_words(part, how),
        ends="; ".join(part_words.ends_words(part, how)),
        cope=part.cope,
        hand="opposite" if part.opposite_hand else "",
        assembly=part.assembly,
        mass_each=mass,
        mass=mass * part.quantity,
        note=part_words.note_words(part),
    )


def frames_of(parts: Iterable[Part], how: Printing) -> dict[str, tuple[str, ...]]:
    """Sentences on the diagonals of frames, by assembly."""
    by_assembly: dict[str, list[Part]] = {}
    for part in parts:
        by_assembly.setdefault(part.assembly, []).append(part)
    return {name: tuple(frame_words(members, how)) for name, members in by_assembly.items()}
