"""The parts list: one Part per mark, lengths turned to long point."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from cutplan.model import EndCut, LengthMeant, Part, Workshop
from cutplan.problems import Refused, nearest
from cutplan.reading.headings import PARTS
from cutplan.reading.material import Material, MaterialReader
from cutplan.reading.sheets import RawFile
from cutplan.reading.tables import Findings, Row, Table, length_reader, read_table, warn_about_lengths
from cutplan.units import (
    ANGLE_FORMS,
    LENGTH_FORMS,
    MAX_QUANTITY,
    QUANTITY_FORMS,
    ceil_div,
    length_text,
    mitre_run,
    parse_angle,
    parse_quantity,
)

LENGTH_IS: dict[str, LengthMeant] = {
    **dict.fromkeys(("long point", "lp", "long", "toe", "long points", "outside"), LengthMeant.LONG_POINT),
    **dict.fromkeys(("short point", "sp", "short", "heel", "short points", "inside"), LengthMeant.SHORT_POINT),
    **dict.fromkeys(
        ("centre line", "center line", "centreline", "centerline", "cl", "centre", "center"), LengthMeant.CENTRE_LINE
    ),
}
LENGTH_IS_FORMS = "long point, short point or centre line (LP, SP, CL)"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """A part with what its line left open. ``row`` is its first row."""

    part: Part
    material: Material
    length_is_stated: bool
    mark_stated: bool


@dataclass(slots=True)
class PartsRead:
    """Everything the parts list gave; ``table`` is None when no row could be read."""

    table: Table | None = None
    lines: list[PartLine] = field(default_factory=list)


@dataclass(slots=True)
class _Draft:
    """A sound row before marks are given."""

    row: Row
    values: dict[str, Any]
    material: Material
    length_is_stated: bool


def read_parts(file: RawFile, workshop: Workshop, offered: Sequence[str], findings: Findings) -> PartsRead:
    """Read the parts list.

    Parameters
    ----------
    file
        csv or xlsx.
    workshop
        Its unit, standards, finish and mitre length stand where a line is blank.
    offered
        Section names of price list and rack, for hints.
    findings
        Gains problems and warnings.

    Returns
    -------
    PartsRead
        One line per mark, in the order of their first rows; only sound rows.
    """
    table = read_table(file, PARTS, findings)
    if table is None:
        return PartsRead()
    unit = table.columns["Length"].unit or workshop.unit
    depth_unit = table.columns["Depth"].unit if "Depth" in table.columns else ""
    reader = _RowReader(
        workshop=workshop,
        materials=MaterialReader(workshop, offered),
        length=length_reader(unit),
        depth=length_reader(depth_unit or workshop.unit),
    )
    drafts: list[_Draft] = []
    lengths: list[tuple[int, str, int]] = []
    rows = 0
    for row in table.rows(findings):
        rows += 1
        draft = reader.read(row, lengths)
        if draft is not None:
            drafts.append(draft)
    if not rows:
        place = table.place(table.heading_row + 1)
        findings.add_statement(0, place, "no rows below the headings", "at least one part")
    warn_about_lengths(table, lengths, workshop.unit, findings)
    return PartsRead(table=table, lines=_merge(drafts, _marks_used(table)))


def _marks_used(table: Table) -> set[str]:
    column = table.columns.get("Mark")
    if column is None:
        return set()
    rows = table.sheet.rows[table.heading_row + 1 :]
    return {str(cells[column.index]).strip().casefold() for cells in rows if column.index < len(cells)}


@dataclass(slots=True)
class _RowReader:
    """Reads rows for one workshop; parsers remember what they have read."""

    workshop: Workshop
    materials: MaterialReader
    length: Any
    depth: Any
    quantity: Any = field(default_factory=lambda: lru_cache(maxsize=None)(parse_quantity))
    angle: Any = field(default_factory=lambda: lru_cache(maxsize=None)(parse_angle))

    def read(self, row: Row, lengths: list[tuple[int, str, int]]) -> _Draft | None:
        """The row as a draft; None when something in it is wrong. A length that can be read joins ``lengths``."""
        mark = row.words("Mark")
        quantity = row.needed("Quantity", self.quantity, QUANTITY_FORMS)
        material = self.materials.read(row)
        typed = row.needed("Length", self.length, LENGTH_FORMS)
        if typed is not None:
            lengths.append((row.number, row.text("Length"), typed))
        angles = (row.parse("Cut A", self.angle, 0, ANGLE_FORMS), row.parse("Cut B", self.angle, 0, ANGLE_FORMS))
        meant = row.parse("Length is", _length_meant, None, LENGTH_IS_FORMS)
        depth = row.parse("Depth", self.depth, None)
        if not row.sound or quantity is None or material is None or typed is None:
            return None
        mitred = any(angles)
        run_depth = self._mitre_depth(row, material, depth) if mitred else 0
        if run_depth is None:
            return None
        length_is = (meant or self.workshop.mitre_length) if mitred else LengthMeant.LONG_POINT
        runs = sum(mitre_run(run_depth, angle) for angle in angles)
        length = (
            typed
            + {
                LengthMeant.LONG_POINT: 0,
                LengthMeant.CENTRE_LINE: ceil_div(runs, 2),
                LengthMeant.SHORT_POINT: runs,
            }[length_is]
        )
        if length < runs:
            unit = self.workshop.unit
            accepted = (
                f"a long point of at least {length_text(runs, unit)}, where the two mitres meet; "
                f"this one is {length_text(length, unit)}"
            )
            row.refuse("Length", row.text("Length"), accepted)
            return None
        values = {
            "mark": mark,
            "quantity": quantity,
            "section": material.section,
            "length": length,
            "grade": material.grade,
            "finish": material.finish,
            "end_a": EndCut(angle=angles[0]),
            "end_b": EndCut(angle=angles[1]),
            "depth": run_depth,
            "length_meant": length_is,
            "assembly": row.text("Assembly"),
            "note": row.text("Note"),
            "typed_section": row.text("Section"),
            "typed_length": row.text("Length"),
            "row": row.number,
        }
        return _Draft(row, values, material, meant is not None or not mitred)

    def _mitre_depth(self, row: Row, material: Material, typed: int | None) -> int | None:
        """The side a mitre runs across; None with a problem noted when it is not clear."""
        sides = material.section.mitre_depths
        unit = self.workshop.unit
        accepted = f"{' or '.join(length_text(side, unit) for side in sides)}, a side of {material.section.designation}"
        if typed is None:
            if len(sides) == 1:
                return sides[0]
            found = "a mitre across one of two different sides, not said which"
            row.refuse("Depth", found, f"in a column Depth {accepted}", typed=False)
            return None
        if typed not in sides:
            row.refuse("Depth", row.text("Depth"), accepted)
            return None
        return typed


def _length_meant(text: str) -> LengthMeant:
    plain = " ".join(text.lower().replace("-", " ").split())
    if plain not in LENGTH_IS:
        raise Refused(text, LENGTH_IS_FORMS, nearest(plain, LENGTH_IS))
    return LENGTH_IS[plain]


_SAME: dict[str, Callable[[dict[str, Any]], Any]] = {
    "section": lambda values: values["section"].designation,
    "standard": lambda values: values["section"].standard,
    "grade": lambda values: values["grade"],
    "finish": lambda values: values["finish"],
    "length": lambda values: values["length"],
    "end cuts": lambda values: (values["end_a"], values["end_b"]),
    "depth": lambda values: values["depth"],
}
"""What lines with one mark must share."""


def _merge(drafts: list[_Draft], used: set[str]) -> list[PartLine]:
    """One line per mark: the same mark with the same data adds quantity, blank marks are numbered."""
    by_mark: dict[str, _Draft] = {}
    number = 0
    for draft in drafts:
        values = draft.values
        if not values["mark"]:
            number += 1
            while f"p{number}" in used:
                number += 1
            by_mark[f"P{number}"] = draft
            continue
        first = by_mark.setdefault(values["mark"], draft)
        if first is draft:
            continue
        differing = [name for name, of in _SAME.items() if of(first.values) != of(values)]
        if differing:
            found = f'"{values["mark"]}" again, with another {" and another ".join(differing)}'
            found += f" than in row {first.row.number}"
            draft.row.refuse("Mark", found, "a mark of its own for every different part", typed=False)
            continue
        total = first.values["quantity"] + values["quantity"]
        if total > MAX_QUANTITY:
            draft.row.refuse("Quantity", str(values["quantity"]), f"at most {MAX_QUANTITY} of one mark in all")
            continue
        first.values["quantity"] = total
        for key in ("assembly", "note"):
            texts = [text for text in (first.values[key], values[key]) if text]
            first.values[key] = "; ".join(dict.fromkeys(texts))
    return [
        PartLine(
            part=Part(**{**draft.values, "mark": mark}),
            material=draft.material,
            length_is_stated=draft.length_is_stated,
            mark_stated=bool(draft.values["mark"]),
        )
        for mark, draft in by_mark.items()
    ]
