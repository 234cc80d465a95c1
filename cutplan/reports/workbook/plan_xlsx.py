"""plan.xlsx: the sheets in the order of the day, to print and to keep.

To buy from, to fetch from the rack, to cut and to drill from, to put away, weight and cost,
the parts list as it was understood, assumptions and cautions.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from cutplan.model import Job, Plan
from cutplan.reports import extent
from cutplan.reports.part_rows import PartRow
from cutplan.reports.rows import FetchRow, PutAwayRow, Rows, rows_of
from cutplan.reports.workbook.cells import A4, LETTER, PAGE_OF_PAGES, Book, Look, mass_number, money_number
from cutplan.reports.workbook.cutsheet import write_cut_sheet
from cutplan.reports.workbook.jobsheet import free_name, write_job_sheet, write_sort_sheet
from cutplan.reports.workbook.marksheet import write_mark_sheet
from cutplan.reports.workbook.moneysheets import Amounts, write_buy_sheet, write_cost_sheet
from cutplan.reports.workbook.page import (
    BOLD_CELL,
    COUNT_CELL,
    FETCH,
    MASS_CELL,
    MONEY_CELL,
    NOTES,
    PARTS,
    PUT_AWAY,
    TEXT_CELL,
    TICK_CELL,
    UNITS,
    Field,
    Page,
    fitting_width,
    length_value,
    narrowed,
    widths_of,
)
from cutplan.reports.workbook.recordsheet import write_record_sheet
from cutplan.reports.workbook.sharesheet import ShareCells
from cutplan.units import USUAL
from cutplan.words.cutting import end_text


def write_workbook(job: Job, plan: Plan, path: Path, fingerprint: str = "") -> None:
    """Write the workbook; the caller sees to it that an older one is replaced as a whole.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    path.write_bytes(workbook_bytes(job, plan, fingerprint))


def workbook_bytes(job: Job, plan: Plan, fingerprint: str = "") -> bytes:
    """The workbook as a file's content; the same for the same plan.

    ``fingerprint`` stands on every printed page, so that sheets of two plans cannot be mixed.
    """
    rows = rows_of(job, plan)
    book = Book()
    paper = A4 if job.workshop.paper == "A4" else LETTER
    amounts = write_buy_sheet(book, rows, paper)
    if rows.fetch:
        _fetch(book, rows, paper)
    write_cut_sheet(book, rows, paper)
    if rows.jobs:
        write_sort_sheet(book, rows, paper)
    if rows.cards and not rows.jobs:
        write_mark_sheet(book, rows, paper)
    if rows.put_away:
        _put_away(book, rows, paper)
    if rows.record:
        write_record_sheet(book, rows, paper, fingerprint)
    shares = write_cost_sheet(book, job, plan, rows, amounts, paper)
    _parts(book, rows, paper)
    if not rows.jobs:
        _units(book, rows, paper)
    _notes(book, rows, paper)
    if shares is not None:
        _jobs(book, rows, shares, amounts, paper)
    if fingerprint:
        for sheet in book.workbook:
            sheet.oddFooter.center.text = f"plan {fingerprint}, {PAGE_OF_PAGES}"
    return book.to_bytes()


def _jobs(book: Book, rows: Rows, shares: ShareCells, amounts: Amounts, paper: int) -> None:
    """What each of several jobs has for itself."""
    for own in rows.jobs:
        alone = replace(rows, job_name=own.name, parts=own.parts, cards=own.cards)
        write_job_sheet(book, rows, own, shares, amounts.to_pay, paper)
        if own.cards:
            write_mark_sheet(book, alone, paper, free_name(book, own.name, "drill"))
        _units(book, alone, paper, free_name(book, own.name, "units"))


def _kind(row: FetchRow | PutAwayRow | PartRow) -> str:
    """What stands under "standard, grade, finish"."""
    kind = f"{row.standard}, {row.grade}, {row.finish}"
    return kind if isinstance(row, PartRow) or not row.slanted else f"{kind}; {row.slanted}"


# --- to fetch, to put away --------------------------------------------------------------------------------------


def _fetch(book: Book, rows: Rows, paper: int) -> None:
    how = rows.workshop.printing
    fields = (
        Field(head="fetched", width=8, look=TICK_CELL),
        Field(head="mark", width=14, look=replace(BOLD_CELL, size=12)),
        Field(head="place", width=18),
        _section_field([row.section for row in rows.fetch]),
        Field(head=f"length, {how.unit}", width=13, look=replace(COUNT_CELL, size=12, bold=True)),
        Field(head="standard, grade, finish", width=36),
        Field(head="heat number", width=14),
        Field(head=how.mass_unit, width=8, look=MASS_CELL),
        Field(head="for bar", width=8, look=COUNT_CELL),
    )
    page = Page(book, rows, FETCH, widths_of(fields))
    page.heads(fields)
    for row in rows.fetch:
        values = [None, row.mark, row.place, row.section, length_value(row.length, how), _kind(row), row.heat_number]
        page.cells(fields, [*values, mass_number(row.mass, how), row.bar])
    page.finish(paper, landscape=True, title_rows=3)


def _put_away(book: Book, rows: Rows, paper: int) -> None:
    how, marked = rows.workshop.printing, any(row.mark for row in rows.put_away)
    fields = (
        Field(head="put away", width=8, look=TICK_CELL),
        Field(head="from bar", width=8, look=replace(COUNT_CELL, bold=True)),
        _section_field([row.section for row in rows.put_away]),
        Field(head=f"length, {how.unit}", width=13, look=replace(COUNT_CELL, size=12, bold=True)),
        Field(head="measured", width=12, look=TICK_CELL),
        Field(head="mark to paint" if marked else "mark given", width=14, look=replace(TICK_CELL, size=12, bold=True)),
        Field(head="place", width=16, look=TICK_CELL),
        Field(head="standard, grade, finish", width=30),
        Field(head="far end", width=8),
        Field(head="heat number", width=14, look=TICK_CELL),
        Field(head=how.mass_unit, width=8, look=MASS_CELL),
        Field(head="value", width=9, look=MONEY_CELL),
    )
    page = Page(book, rows, PUT_AWAY, widths_of(fields))
    page.line("Write mark, length and heat number on each piece before it goes on the rack. The rest is scrap.")
    page.heads(fields)
    for row in rows.put_away[: extent.MOST_LISTED]:
        values = [None, row.bar, row.section, length_value(row.length, how), None, row.mark or None, None]
        values += [_kind(row), row.far_end, row.heat_number, mass_number(row.mass, how), money_number(row.value)]
        page.cells(fields, values)
    page.finish(paper, landscape=True, title_rows=4)


# --- parts list, notes ------------------------------------------------------------------------------------------


def _parts(book: Book, rows: Rows, paper: int) -> None:
    """The parts list as understood; columns that say nothing for any part are left out."""
    how = rows.workshop.printing
    printed = USUAL | {how.unit: how}
    typed = replace(TEXT_CELL, align="right", indent=0)
    listed: tuple[tuple[str, Look, list[Any]], ...] = (
        ("mark", BOLD_CELL, [row.mark for row in rows.parts]),
        ("quantity", COUNT_CELL, [row.quantity for row in rows.parts]),
        ("in one assembly", COUNT_CELL, [row.each for row in rows.parts]),
        ("spares", TEXT_CELL, [row.spares for row in rows.parts]),
        ("section", BOLD_CELL, [row.section for row in rows.parts]),
        ("section as typed", TEXT_CELL, [row.typed_section for row in rows.parts]),
        *(
            (f"length, {unit}", look, [length_value(row.length, printed[unit]) for row in rows.parts])
            for unit, look in (("mm", COUNT_CELL), ("in", typed))
            if unit == how.unit or any(_typed_in(row.typed_length, unit) for row in rows.parts)
        ),
        (f"finished, {how.unit}", COUNT_CELL, [length_value(row.finished, how) for row in rows.parts]),
        ("added for", TEXT_CELL, [row.allowances for row in rows.parts]),
        ("length as typed", typed, [row.typed_length for row in rows.parts]),
        ("typed length is", TEXT_CELL, [row.length_meant for row in rows.parts]),
        (f"short point, {how.unit}", COUNT_CELL, [length_value(row.short_point, how) for row in rows.parts]),
        ("cut A", TEXT_CELL, _ends(rows, "angle_a")),
        ("cut B", TEXT_CELL, _ends(rows, "angle_b")),
        ("ends", TEXT_CELL, [row.ends for row in rows.parts]),
        ("cope", TEXT_CELL, [row.cope for row in rows.parts]),
        ("hand", TEXT_CELL, [row.hand for row in rows.parts]),
        ("standard, grade, finish", TEXT_CELL, [_kind(row) for row in rows.parts]),
        ("assembly", TEXT_CELL, [row.assembly for row in rows.parts]),
        (f"{how.mass_unit} each", MASS_CELL, [mass_number(row.mass_each, how) for row in rows.parts]),
        (how.mass_unit, MASS_CELL, [mass_number(row.mass, how) for row in rows.parts]),
        ("note", TEXT_CELL, [row.note for row in rows.parts]),
    )
    shown = [each for each in listed if any(value not in ("", None) for value in each[2])]
    fields = [Field(head=head, width=fitting_width(head, look, values), look=look) for head, look, values in shown]
    fields = narrowed(fields, paper, landscape=True)
    page = Page(book, rows, PARTS, widths_of(fields))
    page.line("As understood. Lengths are as sawn, long point to long point.")
    page.heads(fields)
    for values in zip(*(values for _, _, values in shown), strict=True):
        page.cells(fields, values)
    page.finish(paper, landscape=True, title_rows=4)
    page.sheet.freeze_panes = "B5"


def _units(book: Book, rows: Rows, paper: int, name: str = UNITS) -> None:
    """Assemblies made several times, unit by unit, their parts in the order of the list; no sheet where none is."""
    how = rows.workshop.printing
    members: dict[tuple[str, int], list[PartRow]] = {}
    for row in rows.parts:
        if 1 < row.units <= extent.MOST_UNITS:
            members.setdefault((row.assembly, row.units), []).append(row)
    listed = [
        (assembly, unit, row)
        for (assembly, units), kit in members.items()
        for unit in range(1, units + 1)
        for row in kit
    ][: extent.MOST_LISTED]
    if not listed:
        return
    fields = (
        Field(head="done", width=8, look=TICK_CELL),
        Field(head="assembly", width=fitting_width("assembly", TEXT_CELL, [row.assembly for _, _, row in listed])),
        Field(head="unit", width=8, look=COUNT_CELL),
        Field(head="mark", width=14, look=BOLD_CELL),
        Field(head="quantity", width=9, look=COUNT_CELL),
        _section_field([row.section for _, _, row in listed]),
        Field(head=f"length, {how.unit}", width=13, look=COUNT_CELL),
    )
    page = Page(book, rows, name, widths_of(fields), priced=False, title=UNITS)
    page.line("The first copies go into the first unit. Labels say the unit.")
    page.heads(fields)
    for assembly, unit, row in listed:
        page.cells(fields, [None, assembly, unit, row.mark, row.each, row.section, length_value(row.length, how)])
    page.finish(paper, landscape=False, title_rows=4)


def _typed_in(text: str, unit: str) -> bool:
    """Was a length typed with this unit beside it? The list's own unit is known without."""
    marks = r"\d\s*(?:in|inch|inches|ft|feet|foot|[\"'\u2032\u2033])" if unit == "in" else r"\d\s*(?:mm|cm|m)\b"
    return re.search(marks, text.lower()) is not None


def _section_field(names: Sequence[str]) -> Field:
    """A column of section names, one line each unless they are long."""
    return Field(head="section", width=max(18.0, fitting_width("section", BOLD_CELL, names)), look=BOLD_CELL)


def _ends(rows: Rows, name: str) -> list[str]:
    """Saw angles of one end, blank for all when every part is square at both ends."""
    if all(row.short_point is None for row in rows.parts):
        return ["" for _ in rows.parts]
    return [end_text(getattr(row, name)) for row in rows.parts]


def _notes(book: Book, rows: Rows, paper: int) -> None:
    page = Page(book, rows, NOTES, (96,))
    for heading, sentences in (
        ("Not printed yet", rows.beyond),
        ("Assumptions", [one.text for one in rows.assumptions]),
        ("Warnings", rows.warnings),
        ("How cheapest is known", rows.proof),
        ("Spares", rows.spares),
        ("What was too long to carry", rows.forgone),
        ("Cautions", rows.cautions),
    ):
        if sentences:
            page.gap()
            page.line(heading, Look(size=12, bold=True), 18)
        for text in sentences:
            page.line(f"\N{BULLET} {text}")
    page.finish(paper, landscape=False)
