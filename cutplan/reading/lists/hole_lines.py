"""Lines of holes laid on a part: what a line leaves open is filled in, what does not fit is refused in its place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from cutplan.drilling import HoleSize
from cutplan.model import Part
from cutplan.model.faces import (
    face_numbers,
    face_width,
    face_word,
    faces_differ,
    is_hollow,
    is_open,
    is_round,
)
from cutplan.model.holes import ACROSS_MITRE, BEYOND_EDGE, MOST_HOLES, OUTSIDE, Fault, Hole, hole_faults, in_order
from cutplan.problems import Problem
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.tables import Table
from cutplan.sections.section import Family
from cutplan.units import Length, Printing, length_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where a line of holes stands. ``column`` is where all of it stands; blank when each value has its own."""

    findings: Findings
    table: Table
    row: int
    column: str = ""

    def refuse(self, column: str, found: str, accepted: str, hint: str = "", *, typed: bool = False, code: str) -> None:
        """Note a problem of this line, whose ``found`` is a statement unless it is ``typed``."""
        where = self.table.place(self.row, self.column or column)
        problem = Problem(where=where, found=found, accepted=accepted, hint=hint, found_is_text=typed, code=code)
        self.findings.add(self.row, problem)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleLine:
    """A row of holes before it is laid on a part. ``size`` is None for landings; None elsewhere is not said."""

    origin: Origin
    positions: tuple[Length, ...]
    size: HoleSize | None
    face: int | None = None
    across: Length | None = None
    through: bool | None = None
    note: str = ""
    pattern: str = ""


@dataclass(slots=True)
class Opened:
    """How many lines left something open that was then assumed."""

    lines: int = 0
    faces: int = 0
    walls: int = 0


def lay_on(part: Part, lines: Sequence[HoleLine], how: Printing, opened: Opened) -> Part:
    """The part with its holes; those that cannot be drilled are refused in their place and left out.

    Parameters
    ----------
    part
        Without holes.
    lines
        In the order of their rows.
    how
        Of the workshop, for messages.
    opened
        Counts what the lines leave open.
    """
    origins: dict[int, HoleLine] = {}
    holes: list[Hole] = []
    for line in lines:
        hole = _first_hole(part, line, how, opened)
        if hole is None:
            continue
        for position in line.positions:
            placed = replace(hole, position=position)
            origins[id(placed)] = line
            holes.append(placed)
    if len(holes) > MOST_HOLES:
        accepted = f"at most {MOST_HOLES} holes and landings in one part"
        lines[-1].origin.refuse("Position", f"{part.mark}: {len(holes)} holes and landings", accepted, code="hole.most")
        return part
    faults = list(hole_faults(part, holes))
    _refuse(part, faults, origins, how)
    bad = {id(fault.hole) for fault in faults}
    return replace(part, holes=in_order(hole for hole in holes if id(hole) not in bad))


def _first_hole(part: Part, line: HoleLine, how: Printing, opened: Opened) -> Hole | None:
    """What all holes of a line share, on this part; None with a problem noted."""
    section, word = part.section, face_word(part.section)
    opened.lines += 1
    numbers = face_numbers(section)
    face = line.face
    if face is None:
        if faces_differ(section):
            found = f"{part.mark}: no {word} said, and those of {section.designation} differ"
            line.origin.refuse("Face", found, _choices(part, how), code="hole.face")
            return None
        opened.faces += 1
        face = 1
    if face not in numbers:
        line.origin.refuse("Face", f"{part.mark}: {word} {face}", _choices(part, how), code="hole.face")
        return None
    width = face_width(section, face)
    across = width // 2 if line.across is None else line.across
    if is_round(section) and across != width // 2:
        found = f"{part.mark}: a distance across of {length_text(across, how)}"
        line.origin.refuse(
            "Across", found, "a blank cell: a hole in a round section goes through its middle", code="hole.across"
        )
        return None
    if line.through is False and not (is_hollow(section) or is_open(section) or section.family is Family.FLAT):
        found = f"{part.mark}: one wall of {section.designation}"
        line.origin.refuse("Drilled", found, "through: it is solid", code="hole.solid")
        return None
    if line.through is None and is_hollow(section) and line.size:
        opened.walls += 1
    size = line.size or HoleSize(diameter=0)
    return Hole(
        position=0,
        face=face,
        across=across,
        diameter=size.diameter,
        through=line.through is not False or not is_hollow(section),
        name=size.name,
        standard=size.standard,
        note=line.note,
        pattern=line.pattern,
        row=line.origin.row,
    )


def _choices(part: Part, how: Printing) -> str:
    """``1 or 3 (60 mm across), 2 or 4 (40 mm across)``."""
    section = part.section
    widths: dict[Length, list[str]] = {}
    for face in face_numbers(section):
        widths.setdefault(face_width(section, face), []).append(str(face))
    if len(widths) == 1:
        return f"{', '.join(next(iter(widths.values())))}, a {face_word(section)} of {section.designation}"
    return ", ".join(f"{' or '.join(faces)} ({length_text(width, how)} across)" for width, faces in widths.items())


def _refuse(part: Part, faults: Sequence[Fault], origins: dict[int, HoleLine], how: Printing) -> None:
    """One problem for all holes of a line that have the same fault, at the first of them."""
    count = Counter((id(origins[id(fault.hole)]), fault.what) for fault in faults)
    told: set[tuple[int, str]] = set()
    for fault in faults:
        line = origins[id(fault.hole)]
        key = (id(line), fault.what)
        if key in told:
            continue
        told.add(key)
        more = count[key] - 1
        others = f", and {more} more of this row" if more else ""
        column = "Across" if fault.what == BEYOND_EDGE and line.across is not None else "Position"
        line.origin.refuse(
            column,
            f"{part.mark}: {_found(part, fault, how, origins)}{others}",
            _accepted(part, fault, how),
            code="hole.place",
        )


def _what(part: Part, hole: Hole, how: Printing) -> str:
    """``the hole of 14 mm at 1495 mm on face 1``."""
    kind = "landing" if hole.landing else f"hole of {length_text(hole.diameter, how)}"
    return f"the {kind} at {length_text(hole.position, how)} on {face_word(part.section)} {hole.face}"


def _found(part: Part, fault: Fault, how: Printing, origins: dict[int, HoleLine]) -> str:
    what = _what(part, fault.hole, how)
    if fault.what == OUTSIDE:
        return f"{what} reaches beyond the part"
    if fault.what == BEYOND_EDGE:
        return f"{what} reaches beyond the edge, {length_text(fault.hole.across, how)} across"
    if fault.what == ACROSS_MITRE:
        return f"{what} lies across the mitre"
    assert fault.other is not None
    other = origins[id(fault.other)].origin
    return f"{what} overlaps {_what(part, fault.other, how)} in {other.table.row_words(other.row)}"


def _accepted(part: Part, fault: Fault, how: Printing) -> str:
    if fault.what == OUTSIDE:
        return f"a place within its {length_text(part.finished, how)} from end A"
    if fault.what == BEYOND_EDGE:
        width = length_text(face_width(part.section, fault.hole.face), how)
        return f"a place within the {width} across {face_word(part.section)} {fault.hole.face}"
    if fault.what == ACROSS_MITRE:
        return "a place clear of the slanted cut on every wall it pierces, counted from the long point of end A"
    return "holes with metal between them, each given once"
