"""Cells of a workbook: looks, text that stays text, formulas that show a value, and the same bytes every time.

This file and the sheets built on it are where openpyxl is known. Three of its
ways are mended here: it turns a text that begins with ``=`` into a formula, it
cannot store what a formula comes to (a preview then shows nothing), and it
stamps the time of day into the file.
"""

from __future__ import annotations

import io
import math
import re
import unicodedata
import zipfile
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from itertools import accumulate
from typing import Any
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.compat import safe_string
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.styles.styleable import StyleableObject
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.worksheet.dimensions import SheetDimension
from openpyxl.writer.excel import ExcelWriter
from openpyxl.xml.functions import Element

from cutplan.units import MASS_UNITS, MM, Length, Mass, Money, Printing, length_text

FONT, EVEN_FONT = "Arial", "Courier New"
COLUMN_UNIT_MM = 25.4 / 96 * 7
"""Width of one column unit: 7 pixels at 96 dpi, the widest digit of the book's own 10 pt font."""
POINT_MM = 25.4 / 72
CELL_MARGINS_MM = 4.5
"""What a spreadsheet program leaves beside the text of a cell with a border, at most."""
A4, LETTER = 9, 1
_PRINTED_MM = {(A4, False): 187.0, (A4, True): 274.0, (LETTER, False): 193.0, (LETTER, True): 256.0}
"""Width of a page between its margins, by paper and whether it lies landscape."""
TABLE_HEAD, SMALLEST = 9, 7
"""Letters of the heads of tables, the smallest of a sheet, and the smallest that may come onto paper. [pt]"""
PAGE_OF_PAGES = "page &P of &N"
"""As a footer says it."""
_GREY = "FF808080"
_FIXED_TIME = datetime(2000, 1, 1)
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
_LONGEST_TEXT = 32_000
_NOT_HELD = re.compile(f"{ILLEGAL_CHARACTERS_RE.pattern}|[\ud800-\udfff\ufffe\uffff]")
_LIKE_AN_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")

_LIKE_A_FORMULA = ("=", "+", "-", "@")
_NO_ROWS = b"<sheetData />"

MONEY = "#,##0.00"
WEIGHT = "#,##0.0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a cell looks. Borders name their sides by the letters of ``ltrb``; capitals are thicker.

    ``hatch`` fills a cell in black and white: ``up``, ``cross`` or ``dark``;
    ``slant`` draws one stroke across it, ``up`` or ``down``. ``open`` cells can be filled in on a protected sheet.
    ``even`` letters are all of one width.
    """

    size: int = 10
    bold: bool = False
    italic: bool = False
    align: str = "left"
    valign: str = "center"
    wrap: bool = False
    border: str = ""
    indent: int = 0
    shade: bool = False
    hatch: str = ""
    slant: str = ""
    grey: bool = False
    form: str = "General"
    open: bool = False
    even: bool = False


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula without its ``=``, and what it comes to now."""

    text: str
    value: float | str


@dataclass(slots=True)
class Book:
    """A workbook being filled: its looks, made once each, and what its formulas come to.

    Its sheets are ``guarded`` against a slip of the hand, but for open cells; a form to fill in is not.
    """

    guarded: bool = True
    workbook: Workbook = field(default_factory=Workbook)
    _styles: dict[tuple[Look, bool], Any] = field(default_factory=dict)
    _computed: dict[tuple[str, str], float | str] = field(default_factory=dict)
    _filled: dict[str, dict[int, list[tuple[range, Any]]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        normal = self.workbook._named_styles["Normal"]
        normal.font = Font(name=FONT, size=10)
        self.workbook._fonts[0] = normal.font
        self.workbook.remove(self.workbook.active)
        properties = self.workbook.properties
        properties.creator, properties.created = "cutplan", _FIXED_TIME

    def sheet(self, title: str) -> Any:
        """A new sheet behind those there are."""
        sheet = self.workbook.create_sheet(title)
        sheet.sheet_view.showGridLines = False
        if self.guarded:
            guard = sheet.protection  # no password
            guard.sheet, guard.formatColumns, guard.formatRows = True, False, False
        return sheet

    def put(self, sheet: Any, row: int, column: int, value: str | float | Formula | None, look: Look) -> None:
        """Fill one cell. A text is stored as text whatever it begins with."""
        quoted = isinstance(value, str) and value.startswith(_LIKE_A_FORMULA)
        cell = _cell(sheet, row, column, self._style(sheet, look, quoted))
        if isinstance(value, Formula):
            cell.value = f"={value.text}"
            self._computed[sheet.title, cell.coordinate] = value.value
        elif isinstance(value, str):
            if value:
                cell._value, cell.data_type = clean_text(value), "s"
        elif value is not None:
            cell.value = value

    def fill(self, sheet: Any, row: int, columns: range, look: Look) -> None:
        """Give cells of a row that hold nothing one look; a cell put there, before or after, has its own."""
        rows = self._filled.setdefault(sheet.title, {})
        rows.setdefault(row, []).append((columns, self._style(sheet, look)))

    def _style(self, sheet: Any, look: Look, quoted: bool = False) -> Any:
        """The style of a look, shared by all its cells: none is changed after."""
        style = self._styles.get((look, quoted))
        if style is None:
            style = self._styles[look, quoted] = _new_style(sheet, look, quoted)
        return style

    def rule_row(self, sheet: Any, row: int, look: Look) -> None:
        """Give every cell of a row that holds nothing a look of its own."""
        sheet.row_dimensions[row]._style = self._style(sheet, look)

    def to_bytes(self) -> bytes:
        """The finished file: what formulas come to filled in, no time of day, one order of entries."""
        raw = io.BytesIO()
        with zipfile.ZipFile(raw, "w") as unpacked:
            writer = _BookWriter(self.workbook, unpacked, self._computed, self._filled)
            writer.write_data()
        finished = io.BytesIO()
        with zipfile.ZipFile(raw) as source, zipfile.ZipFile(finished, "w", zipfile.ZIP_DEFLATED) as target:
            for name in source.namelist():
                content = source.read(name)
                if name in writer.rows:
                    content = content.replace(_NO_ROWS, writer.rows[name], 1)
                elif name == "docProps/core.xml":
                    stamp = f"{_FIXED_TIME.isoformat()}Z"
                    content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + stamp.encode(), content)
                entry = zipfile.ZipInfo(name, _ZIP_TIME)
                entry.compress_type = zipfile.ZIP_DEFLATED
                target.writestr(entry, content)
        return finished.getvalue()


def _new_style(sheet: Any, look: Look, quoted: bool) -> Any:
    of = StyleableObject(sheet)
    colour = {"color": _GREY} if look.grey else {}
    name = EVEN_FONT if look.even else FONT
    of.font = Font(name=name, size=look.size, bold=look.bold, italic=look.italic, **colour)
    of.alignment = Alignment(horizontal=look.align, vertical=look.valign, wrap_text=look.wrap, indent=look.indent)
    of.border = _border(look)
    if look.hatch == "dark":
        of.fill = PatternFill("solid", fgColor="FF404040")
    elif look.shade:
        of.fill = PatternFill("solid", fgColor="FFE6E6E6")
    of.number_format = look.form
    if look.open:
        of.protection = Protection(locked=False)
    of.quotePrefix = quoted
    return of._style


def _cell(sheet: Any, row: int, column: int, style: Any) -> Any:
    """The cell there, in a style. A new one is made by hand, in a quarter of the time that openpyxl takes."""
    cells = sheet._cells
    cell = cells.get((row, column))
    if cell is None:
        cell = cells[row, column] = Cell.__new__(Cell)
        cell.parent, cell.row, cell.column = sheet, row, column
        cell._value, cell.data_type, cell._hyperlink, cell._comment = None, "n", None, None
    cell._style = style
    return cell


class _BookWriter(ExcelWriter):  # type: ignore[misc]
    """Writes a book as openpyxl does, but for the rows of its sheets, which are kept by the name of their entry.

    A sheet to cut from has hundreds of thousands of cells, for each of which openpyxl builds an element. Most of them
    hold nothing, and are kept by the stretch.
    """

    def __init__(
        self,
        workbook: Workbook,
        archive: zipfile.ZipFile,
        computed: Mapping[tuple[str, str], float | str],
        filled: Mapping[str, Mapping[int, Sequence[tuple[range, Any]]]],
    ) -> None:
        super().__init__(workbook, archive)
        self.rows: dict[str, bytes] = {}
        self.computed, self.filled = computed, filled

    def write_worksheet(self, ws: Any) -> None:
        ws._drawing = SpreadsheetDrawing()
        writer = _SheetWriter(ws)
        writer.computed, writer.filled = self.computed, self.filled.get(ws.title, {})
        writer.write()
        ws._rels = writer._rels
        self.rows[ws.path[1:]] = writer.rows_written
        self._archive.write(writer.out, ws.path[1:])
        self.manifest.append(ws)
        writer.cleanup()


class _SheetWriter(WorksheetWriter):  # type: ignore[misc]
    """Writes a sheet without its rows, and these apart."""

    computed: Mapping[tuple[str, str], float | str]
    filled: Mapping[int, Sequence[tuple[range, Any]]]
    rows_written: bytes

    def write_dimensions(self) -> None:
        """From which cell to which the sheet reaches."""
        cells = self.ws._cells
        stretches = [columns for filled in self.filled.values() for columns, _ in filled]
        rows = {row for row, _ in cells} | self.filled.keys()
        columns = {column for _, column in cells} | {column for each in stretches for column in (each[0], each[-1])}
        first, last = (get_column_letter(of(columns or {1})) for of in (min, max))
        self.xf.send(SheetDimension(f"{first}{min(rows or {1})}:{last}{max(rows or {1})}").to_tree())

    def write_rows(self) -> None:
        self.xf.send(Element("sheetData"))
        title = self.ws.title
        styles: dict[int, str] = {}
        lines = []
        for number, cells in self.rows():
            said = {"r": number, **dict(self.ws.row_dimensions.get(number, {}))}
            row = " ".join(f'{name}="{value}"' for name, value in said.items())
            held: dict[int, tuple[Any, Any]] = {
                column: (look, None) for columns, look in self.filled.get(number, ()) for column in columns
            }
            held.update((cell.column, (cell._style, cell)) for cell in cells)
            inside = []
            for column in sorted(held):
                look, cell = held[column]
                # Cells of one look share their style, so that its number is asked for once.
                style = styles.get(id(look))
                if style is None:
                    styled = look is not None and any(look)
                    style = styles[id(look)] = f' s="{self.ws.parent._cell_styles.add(look)}"' if styled else ""
                if cell is not None and cell._value is not None:
                    inside.append(_cell_xml(cell, style, self.computed, title))
                elif style:
                    inside.append(f'<c r="{get_column_letter(column)}{number}"{style} t="n" />')
            lines.append(f"<row {row}>{''.join(inside)}</row>")
        self.rows_written = f"<sheetData>{''.join(lines)}</sheetData>".encode()


def _cell_xml(cell: Any, style: str, computed: Mapping[tuple[str, str], float | str], title: str) -> str:
    value, kind, place = cell._value, cell.data_type, cell.coordinate
    if kind == "f":
        shown = computed[title, place]
        if isinstance(shown, str):  # the cell has to say that its value is text
            return f'<c r="{place}"{style} t="str"><f>{escape(value[1:])}</f><v>{escape(shown)}</v></c>'
        return f'<c r="{place}"{style}><f>{escape(value[1:])}</f><v>{shown!r}</v></c>'
    if kind == "s":
        space = ' xml:space="preserve"' if value.strip() not in ("", value) else ""
        return f'<c r="{place}"{style} t="inlineStr"><is><t{space}>{escape(value)}</t></is></c>'
    return f'<c r="{place}"{style} t="{kind}"><v>{safe_string(value)}</v></c>'


def _border(look: Look) -> Border:
    sides: dict[str, Any] = {}
    for letter, name in (("l", "left"), ("t", "top"), ("r", "right"), ("b", "bottom")):
        if letter.upper() in look.border:
            sides[name] = Side(style="medium", color="FF000000")
        elif letter in look.border:
            sides[name] = Side(style="thin", color="FF808080")
    if look.hatch in ("up", "cross") or look.slant:
        sides["diagonal"] = Side(style="medium" if look.slant else "thin", color="FF000000")
        sides["diagonalUp"] = look.hatch != "" or look.slant == "up"
        sides["diagonalDown"] = look.hatch == "cross" or look.slant == "down"
    return Border(**sides)


def clean_text(text: str) -> str:
    """A text as a workbook can hold it.

    Characters it cannot hold show as a replacement character. A text that looks like the escape of
    a character is escaped itself, or a spreadsheet program would show that character (ECMA-376
    part 1, 22.9.2.19, from memory).
    """
    held = _NOT_HELD.sub("\N{REPLACEMENT CHARACTER}", text)
    return _LIKE_AN_ESCAPE.sub("_x005F_", held)[:_LONGEST_TEXT]


def length_cell(length: Length | None, how: Printing) -> str | float | None:
    """A length as a cell value: a number of mm, or inches in fractions as text."""
    if length is None:
        return None
    if how.unit == "in":
        return length_text(length, how, with_unit=False)
    shown = (length + how.finest // 2) // how.finest * how.finest
    return shown // MM if shown % MM == 0 else shown / MM


def length_form(length: Length | None, how: Printing) -> str:
    """Number format of a length in mm: whole, or to a tenth; ``~`` in front where it was rounded."""
    figures = "0" if not length or length % MM == 0 or how.finest % MM == 0 else "0.0"
    return figures if not length or length % how.finest == 0 else f'"~"{figures}'


def money_number(money: Money) -> float:
    """Money as a cell value."""
    return money / 1_000_000


def mass_number(mass: Mass, how: Printing) -> float:
    """A mass in the workshop's unit as a cell value."""
    return float(mass / MASS_UNITS[how.mass_unit])


def reference(sheet: str, row: int, column: int) -> str:
    """A cell as a formula on another sheet names it."""
    return f"'{sheet}'!${get_column_letter(column)}${row}"


_REGULAR = {
    278: " !,./:;I[\\]ft'ijl|",
    333: "()-`r{}",
    389: '*"',
    500: "Jcksvxyz^",
    584: "+<=>~",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
    1015: "@",
}
_BOLD = {
    278: " ,./I\\ijl'|",
    333: "!()-:;[]`ft",
    389: "*r{}",
    500: 'z"',
    584: "+<=>^~",
    611: "?FLTZbdghnopqu",
    667: "EPSVXY",
    722: "&ABCDHKNRU",
    778: "GOQw",
    889: "%mM",
    944: "W",
    975: "@",
}
"""Advance widths in 1/1000 em, read from the hmtx tables of Liberation Sans 2, whose widths are those of the book's
font; some are rounded up to a neighbour. What is not listed takes 556, as digits do."""

_WIDTHS = {
    bold: {char: width for width, chars in table.items() for char in chars}
    for bold, table in ((False, _REGULAR), (True, _BOLD))
}
_OTHER_SCRIPTS = 900
"""Width taken for letters that are not listed and not ASCII: no letter of Latin, Greek or Cyrillic is much wider."""


@lru_cache(maxsize=4096)
def text_mm(text: str, size: int, *, bold: bool = False) -> float:
    """How wide a line of the book's font is, rather too wide than too narrow. [mm]"""
    return _mm(sum(_em(char, bold) for char in text), size)


@lru_cache(maxsize=4096)
def _em(char: str, bold: bool) -> int:
    """Width of a letter in 1/1000 em."""
    if unicodedata.combining(char):
        return 0
    if unicodedata.east_asian_width(char) in "WF":
        return 1000
    return _WIDTHS[bold].get(char, 556 if char.isascii() else _OTHER_SCRIPTS)


def _mm(ems: int, size: int) -> float:
    return ems / 1000 * size * POINT_MM


def fitted(text: str, room_mm: float, sizes: tuple[int, ...], *, bold: bool = False) -> tuple[str, int]:
    """The text and the largest of ``sizes`` at which it fits; shortened with an ellipsis where none does."""
    ends = list(accumulate(_em(char, bold) for char in text))
    for size in sizes:
        if _mm(ends[-1] if ends else 0, size) <= room_mm:
            return text, size
    with_ellipsis = _em("…", bold)
    kept = bisect_right(ends, room_mm, key=lambda ems: _mm(ems + with_ellipsis, sizes[-1]))
    return text[:kept] + "…", sizes[-1]


def lines_needed(text: str, room_mm: float, size: int, *, bold: bool = False) -> int:
    """How many lines a text takes when wrapped into ``room_mm``."""
    lines, filled = 1, 0.0
    space = text_mm(" ", size, bold=bold)
    for word in text.split(" "):
        width = text_mm(word, size, bold=bold)
        if filled and filled + space + width > room_mm:
            lines, filled = lines + 1, 0.0
        elif filled:
            filled += space
        lines += max(0, math.ceil(width / room_mm) - 1)
        filled += width
    return lines


def pages_wide(widths: Iterable[float], paper: int, *, landscape: bool) -> int:
    """How many pages side by side columns of these widths take, made as small as :data:`SMALLEST` allows."""
    return math.ceil(sum(widths) * COLUMN_UNIT_MM / (_PRINTED_MM[paper, landscape] * TABLE_HEAD / SMALLEST))


def set_up_page(
    sheet: Any, *, job: str, paper: int, landscape: bool, last_row: int, columns: int, title_rows: int, scale: int = 0
) -> None:
    """Paper, margins, print area, repeated head rows and a footer with job, page and sheet.

    Without a ``scale`` in percent the columns share one page width, or as many as keep the smallest letters at
    :data:`SMALLEST`, the first column repeated on each; with one, page breaks set by hand are kept.
    """
    setup = sheet.page_setup
    setup.paperSize = paper
    setup.orientation = "landscape" if landscape else "portrait"
    if not scale:
        sheet.sheet_properties.pageSetUpPr.fitToPage = True
        widths = [sheet.column_dimensions[get_column_letter(column)].width for column in range(1, columns + 1)]
        pages = pages_wide(widths, paper, landscape=landscape)
        setup.fitToWidth, setup.fitToHeight = pages, 0
        if pages > 1:
            sheet.print_title_cols = "A:A"
    else:
        setup.scale = scale
    margins = sheet.page_margins
    margins.left = margins.right = 0.45
    margins.top, margins.bottom, margins.header, margins.footer = 0.45, 0.65, 0.2, 0.3
    sheet.print_options.horizontalCentered = True
    sheet.print_area = f"A1:{get_column_letter(columns)}{last_row}"
    sheet.print_title_rows = f"1:{title_rows}"
    for place, text in (("left", job), ("center", PAGE_OF_PAGES), ("right", sheet.title)):
        part = getattr(sheet.oddFooter, place)
        part.text = clean_text(text)[:80].replace("&", "&&") if place != "center" else text
        part.font, part.size = f"{FONT},Regular", 9
