"""The sheet to cut from: one block per pattern, a drawing made of cells above its cuts.

The sheet is a grid of narrow columns. It is printed at full size with page
breaks set by hand between blocks, because a spreadsheet that is fitted to a
page may drop such breaks; the grid is as wide as fits A4 and Letter, landscape.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.pagebreak import Break

from cutplan.model import Fate
from cutplan.reports.cut_blocks import Block, CutRow
from cutplan.reports.drawing import Kind
from cutplan.reports.layout import Box, Layout, lay_out
from cutplan.reports.rows import Rows
from cutplan.reports.saw_steps import Change, steps_of
from cutplan.reports.workbook.cells import (
    COLUMN_UNIT_MM,
    POINT_MM,
    Book,
    Look,
    fitted,
    length_cell,
    length_form,
    set_up_page,
    text_mm,
)
from cutplan.units import Printing, length_text, mass_text
from cutplan.words.cutting import end_text, shared_text, strokes_text

TITLE = "Cut"
GRID = 86
MARGIN = 7
CELL_WIDTH = 11 / 7
CELL_MM = CELL_WIDTH * COLUMN_UNIT_MM
SCALE = 96
"""Percent of full size: programs differ by 5 % in how wide they make a column, and Letter is the narrower paper."""
PAGE_POINTS = 182 / POINT_MM * 100 / SCALE - 16
"""Height that A4 landscape leaves between the margins, less a little for rounded row heights; Letter has more."""

TITLE_ROWS = 2
LABEL_SIZE = 8
MARK_SIZES = (12, 10, 9, 8, 7)
SMALL_SIZES = (9, 8, 7)
MOST_BOXES = 4

# First column and number of grid columns of each field of the table of cuts; together they fill the grid, but for one
# column of air between a figure and the ends.
FIELDS = {
    "number": (1, 3),
    "mark": (4, 20),
    "assembly": (24, 8),
    "length": (32, 12),
    "running": (44, 9),
    "ends": (54, 13),
    "held": (67, 11),
    "tick": (78, 9),
}
HEADS = {
    "number": "No.",
    "mark": "Part mark",
    "assembly": "Assembly",
    "length": "LENGTH",
    "running": "from START",
    "ends": "saw angle, end A / B",
    "held": "clamp",
}
HEIGHTS = {
    "title": 20.0,
    "line": 14.0,
    "label": 10.5,
    "bar": 22.0,
    "head": 13.0,
    "cut": 20.0,
    "remark": 14.0,
    "foot": 18.0,
    "measured": 16.0,
    "gap": 8.0,
}

HOLE = "\N{BULLET}"
LAST_COLUMN = 16_384
"""Columns a sheet has in Excel 2007 and newer."""

_RULE = Look(border="b")


def write_cut_sheet(book: Book, rows: Rows, paper: int) -> None:
    """Add the sheet to cut from; every block stands on one page unless it is longer than one."""
    sheet = book.sheet(TITLE)
    sheet.merged_cells = []  # references only: the set of openpyxl looks through all of them at every new one
    for column in range(1, GRID + 1):
        sheet.column_dimensions[get_column_letter(column)].width = CELL_WIDTH
    beyond = sheet.column_dimensions[get_column_letter(GRID + 1)]
    beyond.min, beyond.max, beyond.hidden = GRID + 1, LAST_COLUMN, True  # the rules of the cut rows end with the grid
    how = rows.workshop.printing
    writer = _Writer(book, sheet, how)
    title, size = fitted(f"Cut: {rows.job_name}. {strokes_text(rows.totals)}", GRID * CELL_MM, (16, 13, 10))
    writer.line(title, Look(size=size, bold=True), HEIGHTS["title"])
    units = f"{'mm' if how.unit == 'mm' else 'inches'}, to {length_text(how.finest, how)}; ~ is rounded"
    words = (
        f"Lengths in {units}. Figures run from START, every kerf in them; end A is nearer START. "
        f"Black: end trim. Hatched: keep. Crossed: scrap.{_holes_words(rows)}"
    )
    words, size = fitted(words, GRID * CELL_MM, (9, 8, 7))
    writer.line(words, Look(size=size), HEIGHTS["line"])
    shared = shared_text(rows.totals, how, rows.workshop.currency)
    if shared:
        writer.line(f"{shared}.", Look(size=9), HEIGHTS["line"])
    page = PAGE_POINTS - writer.used
    writer.used = 0.0
    for block in rows.blocks:
        _write_block(writer, block, page)
    set_up_page(
        sheet,
        job=rows.job_name,
        paper=paper,
        landscape=True,
        last_row=writer.row - 1,
        columns=GRID,
        title_rows=TITLE_ROWS,
        scale=SCALE,
    )
    sheet.freeze_panes = f"A{TITLE_ROWS + 1}"


def _holes_words(rows: Rows) -> str:
    drilled = any(stretch.holes for block in rows.blocks for stretch in block.drawing.stretches)
    return " Dot: hole, where there is room." if drilled else ""


class _Writer:
    """Where the next row goes and how much of the page is used. [points]"""

    def __init__(self, book: Book, sheet: Any, how: Printing) -> None:
        self.book, self.sheet, self.how = book, sheet, how
        self.row, self.used = 1, 0.0

    def next_row(self, height: float) -> int:
        self.sheet.row_dimensions[self.row].height = height
        self.used += height
        self.row += 1
        return self.row - 1

    def line(self, text: str, look: Look, height: float) -> int:
        row = self.next_row(height)
        self.book.put(self.sheet, row, 1, text, look)
        return row

    def put(self, row: int, column: int, value: Any, look: Look) -> None:
        self.book.put(self.sheet, row, column, value, look)

    def fill(self, row: int, first: int, end: int, look: Look) -> None:
        """Cells that hold nothing, from a column up to but without another one."""
        self.book.fill(self.sheet, row, range(first, end), look)

    def span(self, row: int, column: int, columns: int, value: Any, look: Look) -> None:
        """One value over several columns of the grid."""
        self.put(row, column, value, look)
        self.fill(row, column + 1, column + columns, look)
        first, last = get_column_letter(column), get_column_letter(column + columns - 1)
        self.sheet.merged_cells.append(f"{first}{row}:{last}{row}")

    def right(self, row: int, text: str, look: Look) -> None:
        """A text that ends at the right edge of the grid."""
        self.put(row, GRID, text, look)

    def break_page(self) -> None:
        self.sheet.row_breaks.append(Break(id=self.row - 1))
        self.used = 0.0


def _write_block(writer: _Writer, block: Block, page: float) -> None:
    lines = list(_lines(block, writer.how))
    layout = lay_out(block.drawing, GRID - MARGIN, MARGIN, label_columns)
    top = HEIGHTS["title"] + HEIGHTS["line"] + HEIGHTS["label"] * (len(layout.lanes) - 1) + HEIGHTS["bar"]
    measured = len(block.bars) - 1 if block.fate is Fate.KEEP else 0
    bottom = HEIGHTS["foot"] + measured * HEIGHTS["measured"] + HEIGHTS["gap"]
    whole = top + HEIGHTS["head"] + sum(_height(*line) for line in lines) + bottom
    if writer.used and writer.used + whole > page:
        writer.break_page()
    _head(writer, block)
    _drawing(writer, layout)
    _table_head(writer, block)
    for changes, cut in lines:
        last = cut is block.cuts[-1]
        if writer.used + _height(changes, cut) + (bottom if last else 0) > page:
            writer.break_page()
            writer.line(f"{block.title}, continued", Look(size=14, bold=True, border="T"), HEIGHTS["title"])
            _table_head(writer, block)
        if changes:
            _across(writer, changes)
        _cut(writer, block, cut)
    _foot(writer, block)


def _lines(block: Block, how: Printing) -> Iterator[tuple[str, CutRow]]:
    """Every part, with what is done before it is cut; blank where nothing is."""
    changes: list[str] = []
    for step in steps_of(block.cuts, how, block.swings):
        if isinstance(step, Change):
            changes.append(f"{step.what}: {step.how}")
            continue
        for cut in step.cuts:
            yield ". ".join(changes), cut
            changes = []


def _height(changes: str, cut: CutRow) -> float:
    return HEIGHTS["cut"] + HEIGHTS["remark"] * (bool(changes) + bool(_below(cut)))


def _below(cut: CutRow) -> str:
    """The words of the line below a part; blank when it has none."""
    return "; ".join(text for text in (cut.scale and f"saw {cut.scale}", cut.remark) if text)


def label_columns(text: str) -> int:
    """Grid columns that a label of a drawing takes, with a little air."""
    return math.ceil((text_mm(text, LABEL_SIZE, bold=True) + 1.2) / CELL_MM)


def _head(writer: _Writer, block: Block) -> None:
    each = " each" if len(block.bars) > 1 else ""
    heavy = ", HEAVY: see cautions" if block.heavy else ""
    row = writer.next_row(HEIGHTS["title"])
    writer.fill(row, 1, GRID + 1, Look(border="T"))
    title, size = fitted(f"{block.title}: {block.what}", 0.78 * GRID * CELL_MM, (13, 12, 11, 10, 9, 8), bold=True)
    writer.put(row, 1, title, Look(size=size, bold=True, border="T"))
    weight = f"{mass_text(block.mass, writer.how)}{each}{heavy}"
    writer.right(row, weight, Look(size=11, bold=block.heavy, align="right", border="T"))
    row = writer.line("START", Look(size=9, bold=True), HEIGHTS["line"])
    writer.put(row, 6, block.trim, Look(size=9))
    source = ", ".join(part for part in (block.source, block.counted) if part)
    text, size = fitted(source, 0.6 * GRID * CELL_MM, (11, 10, 9, 8, 7))
    writer.right(row, text, Look(size=size, align="right"))


def _drawing(writer: _Writer, layout: Layout) -> None:
    for lane in layout.lanes:
        row = writer.next_row(HEIGHTS["label"] if lane else HEIGHTS["bar"])
        if lane == 0:
            for box in layout.boxes:
                _box(writer, row, box)
            for text in (text for text in layout.texts if text.lane == 0):
                box = next(box for box in layout.boxes if box.first <= text.column < box.last)
                middle = (box.first + box.last - 1) // 2
                look = _box_look(box, middle)
                writer.put(row, middle + 1, text.text, Look(size=9, bold=True, align="center", border=look.border))
            for column in layout.holes:
                box = next(box for box in layout.boxes if box.first <= column < box.last)
                look = _box_look(box, column)
                writer.put(row, column + 1, HOLE, replace(look, size=9, bold=True, align="center"))
            continue
        for column in layout.leaders(lane):
            writer.put(row, column + 1, None, Look(border="l"))
        for text in layout.texts:
            if text.lane == lane:
                writer.put(row, text.column + 1, text.text, Look(size=LABEL_SIZE, bold=lane < 0, border="l"))


def _box(writer: _Writer, row: int, box: Box) -> None:
    inside = range(box.first + 1, box.last - 1)
    writer.put(row, box.first + 1, None, _box_look(box, box.first))
    if inside:
        writer.fill(row, inside.start + 1, inside.stop + 1, _box_look(box, inside.start))
    if box.last - 1 > box.first:
        writer.put(row, box.last, None, _box_look(box, box.last - 1))


def _box_look(box: Box, column: int) -> Look:
    kind = box.stretch.kind
    first, last = column == box.first, column == box.last - 1
    far_slant = "up" if box.stretch.end_up else "down"
    near_slant = "down" if box.stretch.start_up else "up"
    # A shared cut is one line, drawn with the part before it.
    near = first and box.stretch.run_start and not box.stretch.over_start
    slant = near_slant if near else far_slant if last and box.stretch.run_end else ""
    sides = "TB"
    sides += "L" if first and not box.stretch.run_start else ""
    sides += "R" if last and not box.stretch.run_end else ""
    hatch = {Kind.END_TRIM: "dark", Kind.KEEP: "up", Kind.SCRAP: "cross"}.get(kind, "")
    return Look(border=sides, slant=slant, hatch=hatch)


def _table_head(writer: _Writer, block: Block) -> None:
    row = writer.next_row(HEIGHTS["head"])
    look = Look(size=8, bold=True, shade=True, border="tb")
    writer.fill(row, 1, GRID + 1, look)
    for name, text in HEADS.items():
        column, columns = FIELDS[name]
        if name in ("length", "running"):
            writer.span(row, column, columns, text, Look(size=8, bold=True, shade=True, border="tb", align="right"))
        else:
            writer.put(row, column, text, look)
    column, columns = FIELDS["tick"]
    if len(block.bars) > MOST_BOXES:
        writer.put(row, column + 1, f"tally of {len(block.bars)}", look)
        return
    for place, number in enumerate(block.bars):
        text = f"bar {number}" if len(block.bars) == 1 else str(number)
        writer.put(row, column + 1 + 2 * place, text, look)


def _cut(writer: _Writer, block: Block, cut: CutRow) -> None:
    row = writer.next_row(HEIGHTS["cut"])
    writer.book.rule_row(writer.sheet, row, _RULE)

    def room(name: str) -> float:
        return FIELDS[name][1] * CELL_MM - 1.5

    def text(name: str, value: str, sizes: tuple[int, ...], bold: bool = False) -> None:
        shown, size = fitted(value, room(name), sizes, bold=bold)
        writer.put(row, FIELDS[name][0], shown, Look(size=size, bold=bold, border="b"))

    def figure(name: str, length: int, size: int) -> None:
        value = length_cell(length, writer.how)
        form = length_form(length, writer.how) if writer.how.unit == "mm" else "General"
        look = Look(size=size, bold=name == "length", align="right", border="b", form=form)
        writer.span(row, *FIELDS[name], value, look)

    text("number", str(cut.number), SMALL_SIZES)
    text("mark", cut.mark, MARK_SIZES, bold=True)
    text("assembly", cut.assembly, SMALL_SIZES)
    figure("length", cut.length, 16)
    figure("running", cut.running, 12)
    text("ends", _ends(cut, writer.how), (10, 9, 8, 7))
    text("held", cut.held, SMALL_SIZES, bold=cut.turn)
    _boxes_to_tick(writer, row, len(block.bars))
    if _below(cut):
        _across(writer, _below(cut))


def _across(writer: _Writer, words: str) -> None:
    """A line of its own, from the column of marks to the right edge."""
    row = writer.next_row(HEIGHTS["remark"])
    column = FIELDS["mark"][0]
    shown, size = fitted(words, (GRID - column) * CELL_MM, (10, 9, 8, 7), bold=True)
    look = Look(size=size, bold=True, border="b")
    writer.fill(row, 1, GRID + 1, look)
    writer.put(row, column, shown, look)


def _boxes_to_tick(writer: _Writer, row: int, count: int) -> None:
    column, _ = FIELDS["tick"]
    if count > MOST_BOXES:
        for each in range(column + 1, GRID + 1):
            side = ("l" if each == column + 1 else "") + ("r" if each == GRID else "")
            writer.put(row, each, None, Look(border="tb" + side, open=True))
        return
    for place in range(count):
        writer.put(row, column + 1 + 2 * place, None, Look(border="ltb", open=True))
        writer.put(row, column + 2 + 2 * place, None, Look(border="rtb", open=True))


def _ends(cut: CutRow, how: Printing) -> str:
    if cut.short_point is None:
        return "square"
    short = length_text(cut.short_point, how, with_unit=False)
    return f"{end_text(cut.angle_a)} / {end_text(cut.angle_b)}, short {short}"


def _measured(writer: _Writer, block: Block, first: int) -> Iterator[tuple[int, int, str]]:
    """A row for each bar of which something is kept, the first of them given, with the mark it is promised."""
    if block.fate is not Fate.KEEP:
        return
    for place, (bar, mark) in enumerate(zip(block.bars, block.reserved, strict=True)):
        yield first if place == 0 else writer.next_row(HEIGHTS["measured"]), bar, mark


def _foot(writer: _Writer, block: Block) -> None:
    first = writer.line(block.left_over, Look(size=12, bold=True), HEIGHTS["foot"])
    writer.right(first, block.play, Look(size=9, align="right"))
    for row, bar, mark in _measured(writer, block, first):
        column = FIELDS["running"][0]
        named = f"bar {bar}{f', mark {mark}' if mark else ''}, measured:"
        writer.put(row, column, named, Look(size=10, align="right"))
        writer.span(row, column + 2, 10, None, Look(border="ltrb", open=True))
    writer.next_row(HEIGHTS["gap"])
