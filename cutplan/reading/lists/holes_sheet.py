"""Holes and landings: from a sheet of their own, or from the column Holes of the parts list, onto the parts.

A row of the sheet drills the parts it names, or belongs to a named pattern, or
repeats a pattern over the marks it names. The opposite hand of a part follows
from the part and has no rows of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import partial

from cutplan.drilling import HOLE_FORMS, HoleSize, read_hole_size
from cutplan.model import Part, Workshop
from cutplan.model.holes import opposite_hand
from cutplan.problems import Refused, nearest
from cutplan.reading.lists.hole_lines import HoleLine, Opened, Origin, lay_on
from cutplan.reading.lists.parts import OPPOSITE_MARK, PartsRead
from cutplan.reading.lists.positions import POSITION_FORMS, parse_positions
from cutplan.reading.reason import hole_fault
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import HOLES
from cutplan.reading.sheets.raw_cells import RawFile
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import Row, Table
from cutplan.units import LENGTH_FORMS, Length, parse_length_or_zero, with_point

FACE_FORMS = "the number of a face, 1 to 4 clockwise from the top looking from end A, or of a leg of an angle, 1 or 2"
DRILLED = {
    **dict.fromkeys(("through", "thru", "both", "both walls"), True),
    **dict.fromkeys(("one wall", "one", "near wall", "one side", "near side"), False),
}
DRILLED_FORMS = "through or one wall; blank is through"
CELL_FORMS = "the name of a pattern, or holes with their places such as M12 clear, face 2: 50, 6 @ 75"
_NO_MARKS = "marks of the parts list with commas between them, or the name of a pattern in a column Pattern"


@dataclass(slots=True)
class HolesRead:
    """What was read: ``table`` is None without a sheet of holes."""

    table: Table | None = None
    opened: Opened = field(default_factory=Opened)


@dataclass(slots=True)
class _Sorted:
    """Lines by the mark they drill, and patterns by name without case."""

    by_mark: dict[str, list[HoleLine]] = field(default_factory=dict)
    patterns: dict[str, list[HoleLine]] = field(default_factory=dict)

    def repeat(self, name: str, mark: str) -> None:
        self.by_mark.setdefault(mark, []).extend(self.patterns[name.casefold()])


def read_holes(
    file: RawFile | None, workshop: Workshop, parts: PartsRead, findings: Findings, parts_findings: Findings
) -> HolesRead:
    """Read the holes and put them into the lines of ``parts``.

    Parameters
    ----------
    file
        The file with the sheet of holes; None without one.
    workshop
        Its unit is that of bare numbers where a heading has none.
    parts
        Its lines gain their holes.
    findings, parts_findings
        Gain what is wrong with the sheet of holes, and with the column Holes of the parts list.
    """
    read = HolesRead(table=read_table(file, HOLES, findings, workshop.decimal_sign) if file else None)
    lines = _Sorted()
    if read.table:
        _read_sheet(read.table, workshop, _Marks(parts, bool(parts_findings.problems)), findings, lines)
    if parts.table:
        for line in parts.lines:
            if line.holes and not line.part.opposite_hand:
                origin = Origin(findings=parts_findings, table=parts.table, row=line.part.row, column="Holes")
                _read_cell(line.holes, origin, line.part.mark, workshop, lines)
    drawn: dict[str, Part] = {}
    for place, line in enumerate(parts.lines):
        part = line.part
        if part.opposite_hand:
            of = drawn.get(part.mark.removesuffix(OPPOSITE_MARK), part)
            parts.lines[place] = replace(line, part=replace(part, holes=opposite_hand(of.holes, of)))
        elif asked := lines.by_mark.get(part.mark):
            drawn[part.mark] = lay_on(part, asked, workshop.printing, read.opened)
            parts.lines[place] = replace(line, part=drawn[part.mark])
    return read


class _Marks:
    """The marks of the parts list, and those of rows of it that were refused."""

    def __init__(self, parts: PartsRead, unclear: bool) -> None:
        self.known = {line.part.mark for line in parts.lines if not line.part.opposite_hand}
        self.unclear = unclear

    def named(self, text: str) -> tuple[list[str], list[str]]:
        """Marks in a cell that the list has, and those it lacks."""
        if text in self.known:
            return [text], []
        words = [word.strip() for word in re.split(r"[,;]", text) if word.strip()]
        return [word for word in words if word in self.known], [word for word in words if word not in self.known]


def _read_sheet(table: Table, workshop: Workshop, marks: _Marks, findings: Findings, lines: _Sorted) -> None:
    reader = _RowReader(table, workshop)
    repeats: list[tuple[Row, str, list[str]]] = []
    for row in table.rows(findings):
        named, pattern = row.words("Mark"), row.words("Pattern")
        wanted = _wanted(row, named, marks) if named else []
        if not (named or pattern):
            heading = "Mark" if "Mark" in table.columns else "Position"
            row.refuse(heading, "no mark and no pattern", _NO_MARKS, typed=False, code="hole.marks")
            continue
        if named and pattern:
            if any(row.text(heading) for heading in ("Position", "Face", "Across", "Hole", "Drilled")):
                accepted = "marks and a pattern alone, to repeat it there; holes in rows with one of the two"
                row.refuse("Pattern", "marks, a pattern and holes in one row", accepted, typed=False, code="hole.marks")
            else:
                repeats.append((row, pattern, wanted))
            continue
        line = reader.line(row, findings, pattern)
        if pattern:
            members = lines.patterns.setdefault(pattern.casefold(), [])
            members.extend([line] if line else [])
        elif line:
            for mark in wanted:
                lines.by_mark.setdefault(mark, []).append(line)
    for row, pattern, wanted in repeats:
        if pattern.casefold() not in lines.patterns:
            names = [line.pattern for members in lines.patterns.values() for line in members[:1]]
            row.refuse(
                "Pattern",
                pattern,
                "a pattern that has rows of its own, without marks",
                nearest(pattern, names),
                code="hole.pattern",
            )
            continue
        for mark in wanted:
            lines.repeat(pattern, mark)


def _wanted(row: Row, named: str, marks: _Marks) -> list[str]:
    """The parts a row speaks of; a mark that no part bears is refused, but not while part of the list is unclear."""
    found, unknown = marks.named(named)
    if unknown and not marks.unclear:
        row.refuse(
            "Mark",
            ", ".join(unknown),
            "marks of the parts list; an opposite hand follows from its part",
            nearest(unknown[0], marks.known),
            code="hole.mark_unknown",
        )
    return found


class _RowReader:
    """Reads the values of rows of one table."""

    def __init__(self, table: Table, workshop: Workshop) -> None:
        def unit(heading: str) -> str:
            column = table.columns.get(heading)
            return (column.unit if column else "") or workshop.unit

        self.positions = partial(parse_positions, default_unit=unit("Position"))
        self.across = partial(parse_length_or_zero, default_unit=unit("Across"))
        self.size = partial(_hole_size, default_unit=unit("Hole"))

    def line(self, row: Row, findings: Findings, pattern: str) -> HoleLine | None:
        """The row as a line; None when something in it is wrong."""
        positions = row.needed("Position", self.positions, POSITION_FORMS)
        size: HoleSize | None = row.parse("Hole", self.size, None, HOLE_FORMS)
        face: int | None = row.parse("Face", parse_face, None, FACE_FORMS)
        across: Length | None = row.parse("Across", self.across, None, LENGTH_FORMS)
        through: bool | None = row.parse("Drilled", parse_drilled, None, DRILLED_FORMS)
        note = row.words("Note")
        if not row.sound or positions is None:
            return None
        return HoleLine(
            origin=Origin(findings=findings, table=row.table, row=row.number),
            positions=positions,
            size=size,
            face=face,
            across=across,
            through=through,
            note=note,
            pattern=pattern,
        )


def parse_face(text: str) -> int:
    """The number of a face or leg: ``2``, ``face 2``, ``leg 1``."""
    match = re.fullmatch(r"(?:face|leg|side)?\s*(\d)(?:\.0)?", text.strip().lower())
    if match is None or match[1] == "0":
        raise Refused(text, FACE_FORMS, code="hole.face")
    return int(match[1])


def parse_drilled(text: str) -> bool:
    """Through, or one wall alone (false)."""
    plain = " ".join(text.lower().split())
    if plain not in DRILLED:
        raise Refused(text, DRILLED_FORMS, code="hole.drilled")
    return DRILLED[plain]


def _hole_size(text: str, default_unit: str) -> HoleSize:
    """A size that can be drilled."""
    size = read_hole_size(text, default_unit)
    accepted = hole_fault(size.diameter)
    if accepted:
        raise Refused(text, accepted, code="hole.unreadable")
    return size


# --- the column Holes of the parts list -------------------------------------------------------------------------


def _read_cell(text: str, origin: Origin, mark: str, workshop: Workshop, lines: _Sorted) -> None:
    try:
        plain = with_point(text, workshop.decimal_sign, CELL_FORMS) if workshop.decimal_sign else text
    except Refused as refused:
        origin.refuse("Holes", refused.found, refused.accepted, refused.hint, typed=True, code=refused.code)
        return
    for statement in filter(None, (each.strip() for each in plain.split(";"))):
        try:
            if ":" not in statement:
                if statement.casefold() not in lines.patterns:
                    names = [line.pattern for members in lines.patterns.values() for line in members[:1]]
                    raise Refused(statement, CELL_FORMS, nearest(statement, names), code="hole.cell")
                lines.repeat(statement, mark)
                continue
            lines.by_mark.setdefault(mark, []).append(_statement(statement, origin, workshop.unit))
        except Refused as refused:
            origin.refuse("Holes", refused.found, refused.accepted, refused.hint, typed=True, code=refused.code)


def _statement(statement: str, origin: Origin, unit: str) -> HoleLine:
    """``M12 clear, face 2, across 15, one wall: 50, 6 @ 75``; ``landing, face 1: 300``."""
    head, _, places = statement.partition(":")
    values: dict[str, object] = {}

    def put(name: str, value: object) -> None:
        if name in values:
            raise Refused(statement, CELL_FORMS, f"{name} is said twice", code="hole.cell")
        values[name] = value

    for words in _words(head):
        lower = words.lower()
        if lower == "landing":
            put("size", None)
        elif lower in DRILLED:
            put("through", DRILLED[lower])
        elif re.match(r"(?:face|leg|side)\b", lower):
            put("face", parse_face(words))
        elif match := re.fullmatch(r"across\s+(.+)|(.+?)\s+(?:across|from heel)", words, re.IGNORECASE):
            put("across", parse_length_or_zero(match[1] or match[2], unit))
        else:
            put("size", _hole_size(words, unit))
    if "size" not in values:
        raise Refused(statement, CELL_FORMS, "name the size of the hole, or landing", code="hole.cell")
    return HoleLine(origin=origin, positions=parse_positions(places.strip(), unit), **values)  # type: ignore[arg-type]


def _words(head: str) -> Iterator[str]:
    return (words.strip() for words in head.split(",") if words.strip())
