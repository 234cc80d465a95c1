"""The parts list: one Part per mark, lengths turned to long point."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import count
from typing import Any

from cutplan.model import Allowance, OtherLine, Part, Purpose, Workshop
from cutplan.problems import Problem, Refused
from cutplan.reading.lists.allowances import COLUMNS, AllowanceReader, list_allowances
from cutplan.reading.lists.asides import lines_of
from cutplan.reading.lists.ditto import Repeat, repeat_above
from cutplan.reading.lists.material import Material, MaterialReader
from cutplan.reading.lists.multiples import ask_how_many
from cutplan.reading.lists.part_columns import END_COLUMNS, OWN_COLUMNS, PARTS, Wanted
from cutplan.reading.lists.part_ends import TOLD_APART, EndsReader, Said
from cutplan.reading.lists.spares import SPARES_FORMS, Spares, parse_spares
from cutplan.reading.lists.uncut import (
    ASSEMBLY,
    UncutRead,
    check_assemblies,
    is_uncut,
    multiplied,
    read_made,
    read_uncut,
    refuse_of_others,
    times_made,
)
from cutplan.reading.reason import allowances_fault
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.own_columns import values_of
from cutplan.reading.sheets.raw_cells import RawFile
from cutplan.reading.sheets.stacked import read_stack
from cutplan.reading.sheets.tables import Row, Table, length_reader
from cutplan.reading.sheets.unit_checks import warn_about_lengths
from cutplan.units import (
    LENGTH_FORMS,
    MAX_QUANTITY,
    QUANTITY_FORMS,
    Length,
    length_text,
    parse_quantity,
)

OPPOSITE_FORMS = f"{QUANTITY_FORMS}; 0 or blank is none"
OPPOSITE_MARK = "-OH"
"""Stands behind the mark of a part to name its opposite hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """A part with what its line left open, and its cell Holes as typed. ``row`` is its first row."""

    part: Part
    material: Material
    length_is_stated: bool
    mark_stated: bool
    holes: str = ""


@dataclass(slots=True)
class PartsRead:
    """Everything the parts list gave; ``table`` is None when no row could be read.

    ``of_list`` are the allowances that stand above the headings, ``others`` the lines that are not cut, ``looked_at``
    the rows whose warnings are not reported, ``made`` the assemblies that lines of their own say a number of, ``whole``
    how often all of it is made.
    """

    table: Table | None = None
    of_list: dict[Purpose, Length] = field(default_factory=dict)
    lines: list[PartLine] = field(default_factory=list)
    others: tuple[OtherLine, ...] = ()
    looked_at: frozenset[int] = frozenset()
    made: dict[str, int] = field(default_factory=dict)
    whole: int = 1


@dataclass(slots=True)
class _Draft:
    """A sound row before marks are given."""

    row: Row
    values: dict[str, Any]
    material: Material
    opposite: int
    spares: Spares
    length_is_stated: bool
    holes: str


def read_parts(
    file: RawFile,
    workshop: Workshop,
    offered: Sequence[str],
    findings: Findings,
    assemblies: RawFile | None = None,
    repeat: Repeat = Repeat.NO,
    only: str = "",
    times: int = 0,
) -> PartsRead:
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
    assemblies
        A sheet of its own that says how often assemblies are made.
    repeat
        Which cells repeat the one above.
    only
        The one sheet to read where several have the headings; blank for all of them, each an assembly by its name.
    times
        How often the whole list is made; 0 where nobody has said, so that a title that says so is asked about.

    Returns
    -------
    PartsRead
        One line per mark, in the order of their first rows; only sound rows.
    """
    bare = {"Length": workshop.unit, "Depth": workshop.unit}
    table = read_stack(file, PARTS, findings, workshop.decimal_sign, named_by="Assembly", bare=bare, only=only)
    if table is None:
        return PartsRead()
    ask_how_many(table, findings, times)
    repeat_above(table, repeat, findings)
    unit = table.columns["Length"].unit or workshop.unit
    depth_unit = table.columns["Depth"].unit if "Depth" in table.columns else ""
    materials = MaterialReader(workshop, offered)
    of_list = list_allowances(table, unit, findings)
    reader = _RowReader(
        workshop=workshop,
        materials=materials,
        ends=EndsReader(workshop, materials, length_reader(workshop.unit)),
        allowances=AllowanceReader(unit, of_list),
        length=length_reader(unit),
        depth=length_reader(depth_unit or workshop.unit),
    )
    drafts: list[_Draft] = []
    lengths: list[tuple[int, str, int]] = []
    uncut = UncutRead(whole=max(1, times))
    looked_at = set()
    listed = lines_of(table, findings)
    _name_sheets(listed)
    for row in listed:
        if row.text("Looked at"):
            looked_at.add(row.number)
        if is_uncut(row):
            read_uncut(row, uncut)
            continue
        draft = reader.read(row, lengths)
        if draft is not None:
            drafts.append(draft)
    if not listed:
        place = table.place(table.heading_row + 1)
        findings.add_statement(0, place, "no rows below the headings", "at least one part", code="list.empty")
    elif not drafts and not findings.problems:
        place = table.place(table.heading_row + 1)
        findings.add_statement(0, place, "no row with a part to cut", "at least one part", code="list.empty")
    if assemblies:
        read_made(assemblies, uncut, findings)
    _multiply(drafts, uncut)
    _warn_not_read(table, uncut, findings)
    check_assemblies(uncut, [draft.values["assembly"] for draft in drafts], findings)
    warn_about_lengths(table, lengths, workshop.unit, findings)
    return PartsRead(
        table=table,
        of_list=of_list,
        lines=_merge(drafts, _marks_used(table)),
        others=tuple(times_made(uncut)),
        looked_at=frozenset(looked_at),
        whole=uncut.whole,
        made={made.name: made.count for made in uncut.made.values()},
    )


def _name_sheets(lines: Sequence[Row]) -> None:
    """Of several sheets, one that has no column for it names the assembly of its rows."""
    for row in lines:
        sheet, _ = row.table.own(row.number)
        if sheet is row.table or "Assembly" in sheet.columns:
            continue
        if row.text("Section").lower() != ASSEMBLY or not row.text("Mark"):
            row.put("Assembly", sheet.sheet.name.strip())


def _warn_not_read(table: Table, uncut: UncutRead, findings: Findings) -> None:
    """Words in lines that are not cut which are kept nowhere are warned about, once a list."""
    if uncut.not_read:
        row, heading = uncut.not_read[0]
        more = f" and {len(uncut.not_read) - 1} more such cells" if len(uncut.not_read) > 1 else ""
        problem = Problem(
            where=table.place(row, heading),
            found=f"a {heading.lower()} of what is not cut{more}, which is not read",
            accepted="a blank cell; what is ordered stands under Mark or Note",
            found_is_text=False,
            code="other.not_read",
        )
        findings.warn(row, problem)


def _multiply(drafts: list[_Draft], uncut: UncutRead) -> None:
    """Each part as often as its assembly is made."""
    for draft in drafts:
        made = uncut.made.get(draft.values["assembly"].casefold())
        times, of_all = uncut.times(draft.values["assembly"]), made.spares if made else Spares()
        values, own = draft.values, draft.spares
        each = values["quantity"]
        values["assemblies"] = times
        values["spares_bought"] = own.bought + of_all.bought * each
        values["spares"] = own.free + of_all.free * each
        values["quantity"] = multiplied(draft.row, each, times, values["spares_bought"])
        wanted = Wanted(times, values["quantity"])
        values.update((c.field, c.made(values[c.field], wanted)) for c in OWN_COLUMNS if c.made)
        if draft.opposite:
            draft.opposite = multiplied(draft.row, draft.opposite, times)
    drafts[:] = [draft for draft in drafts if draft.row.sound]


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
    ends: EndsReader
    allowances: AllowanceReader
    length: Any
    depth: Any

    def read(self, row: Row, lengths: list[tuple[int, str, int]]) -> _Draft | None:
        """The row as a draft; None when something in it is wrong. A length that can be read joins ``lengths``."""
        own = values_of(row, OWN_COLUMNS)
        quantity = own["quantity"]
        material = self.materials.read(row)
        typed = row.needed("Length", self.length, LENGTH_FORMS)
        if typed is not None:
            lengths.append((row.number, row.text("Length"), typed))
        said = Said(depth=row.parse("Depth", self.depth, None), **values_of(row, END_COLUMNS))
        allowances = self.allowances.read(row)
        refuse_of_others(row)
        spares = row.parse("Spares", parse_spares, Spares(), SPARES_FORMS)
        opposite = row.parse("Opposite hand", _parse_opposite, 0, OPPOSITE_FORMS)
        if quantity is not None:
            for column in OWN_COLUMNS:
                if column.fits is not None:
                    column.fits(row, own[column.field], quantity, opposite)
        if not row.sound or quantity is None or material is None or typed is None:
            return None
        ends = self.ends.read(row, said, material, typed)
        if ends is None:
            return None
        self._check_allowances(row, allowances, ends.length)
        if not row.sound:
            return None
        values = {
            "section": material.section,
            "length": ends.length + sum(allowance.length for allowance in allowances),
            "grade": material.grade,
            "finish": material.finish,
            **ends.of_part,
            "allowances": allowances,
            "typed_section": row.text("Section"),
            "typed_length": row.text("Length"),
            "row": row.number,
            **own,
        }
        return _Draft(row, values, material, opposite, spares, ends.stated, row.words("Holes"))

    def _check_allowances(self, row: Row, allowances: tuple[Allowance, ...], length: Length) -> None:
        added = sum(allowance.length for allowance in allowances)
        accepted = allowances_fault(added, length, self.workshop.printing) if allowances else ""
        if accepted:
            most = max(allowances, key=lambda allowance: allowance.length)
            heading = next(name for name, purpose in COLUMNS.items() if purpose is most.purpose)
            found = f"{length_text(added, self.workshop.printing)} added"
            row.refuse(heading if row.text(heading) else "Length", found, accepted, typed=False, code="part.length")


def _parse_opposite(text: str) -> int:
    return 0 if text in ("0", "-") else parse_quantity(text)


_SAME: dict[str, Callable[[dict[str, Any]], Any]] = {
    "section": lambda values: values["section"].designation,
    "standard": lambda values: values["section"].standard,
    "grade": lambda values: values["grade"],
    "finish": lambda values: values["finish"],
    "length": lambda values: values["length"],
    "allowance": lambda values: values["allowances"],
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
        differing += [
            name for name, fields in TOLD_APART.items() if any(values[each] != first.values[each] for each in fields)
        ]
        differing += [c.differs for c in OWN_COLUMNS if c.differs and values[c.field] != first.values[c.field]]
        if draft.holes != first.holes:
            differing.append("entry under Holes")
        if differing:
            found = f'"{values["mark"]}" again, with another {" and another ".join(differing)}'
            found += f" than in {draft.row.table.row_words(first.row.number)}"
            hint = f'are both wanted? then mark this row "{_free_mark(values["mark"], used)}", or leave its mark blank'
            draft.row.refuse(
                "Mark", found, "a mark of its own for every different part", hint, typed=False, code="mark.twice"
            )
            continue
        joined: dict[str, Any] = {}
        total, opposite = first.values["quantity"] + values["quantity"], first.opposite + draft.opposite
        if total + opposite > MAX_QUANTITY:
            draft.row.refuse(
                "Quantity",
                str(values["quantity"]),
                f"a total of at most {MAX_QUANTITY} of one mark",
                code="quantity.most",
            )
            continue
        for column in OWN_COLUMNS:
            if column.join:
                rows = [(one.values[column.field], one.values["quantity"], one.opposite) for one in (first, draft)]
                try:
                    joined[column.field] = column.join(rows)
                except Refused as refused:
                    draft.row.refuse(column.name, refused.found, refused.accepted, typed=False, code=refused.code)
        if not draft.row.sound:
            continue
        first.values.update(joined)
        first.values["quantity"], first.opposite = total, opposite
        for key in ("spares", "spares_bought"):
            first.values[key] += values[key]
        if first.values["assemblies"] != values["assemblies"]:
            first.values["assemblies"] = 1
    return [line for mark, draft in by_mark.items() for line in _lines(mark, draft, used)]


def _free_mark(mark: str, used: set[str]) -> str:
    """A mark like this one that no row has."""
    return next(other for other in (f"{mark}-{number}" for number in count(2)) if other.casefold() not in used)


def _lines(mark: str, draft: _Draft, used: set[str]) -> Iterator[PartLine]:
    """The part as drawn, and its opposite hand as a part of its own."""

    def line(**other: Any) -> PartLine:
        return PartLine(
            part=Part(**{**draft.values, "mark": mark, **other}),
            material=draft.material,
            length_is_stated=draft.length_is_stated,
            mark_stated=bool(draft.values["mark"]),
            holes=draft.holes,
        )

    yield line()
    if draft.opposite:
        other = f"{mark}{OPPOSITE_MARK}"
        if other.casefold() in used:
            found = f'opposite hand of "{mark}", which is marked "{other}"'
            draft.row.refuse(
                "Opposite hand", found, f'another mark for the row marked "{other}"', typed=False, code="mark.opposite"
            )
            return
        yield line(mark=other, quantity=draft.opposite, opposite_hand=True, spares=0, spares_bought=0)
