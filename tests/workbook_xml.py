"""Workbooks from their bare XML, as no spreadsheet program need have written it."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
HEADINGS = ("Quantity", "Section", "Length", "Cut A")
BOOK = (
    f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}"><sheets><sheet name="Parts" sheetId="1" r:id="rId1"/>'
    '<sheet name="Chart" sheetId="2" r:id="rId2"/></sheets></workbook>'
)


def workbook(
    sheet_xml: str | bytes,
    target: str = "worksheets/sheet1.xml",
    *,
    book: str = BOOK,
    more: Mapping[str, str | bytes] | None = None,
) -> bytes:
    """A workbook of one worksheet, *Parts*, and a chart, with further files of the archive."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("xl/workbook.xml", book)
        out.writestr(
            "xl/_rels/workbook.xml.rels",
            f'<Relationships><Relationship Id="rId1" Type="{LINKS}/worksheet" Target="{target}"/>'
            f'<Relationship Id="rId2" Type="{LINKS}/chartsheet" Target="chartsheets/sheet1.xml"/></Relationships>',
        )
        out.writestr("xl/worksheets/sheet1.xml", sheet_xml)
        for name, content in (more or {}).items():
            out.writestr(name, content)
    return buffer.getvalue()


def sheet(rows: str, before: str = "", after: str = "") -> str:
    """The XML of a worksheet with those rows."""
    return f'<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def text(place: str, words: str) -> str:
    """A cell that holds words."""
    return f'<c r="{place}" t="inlineStr"><is><t>{words}</t></is></c>'


def heading_row() -> str:
    return (
        f'<row r="1">{"".join(text(f"{letter}1", word) for letter, word in zip("ABCD", HEADINGS, strict=True))}</row>'
    )


def part_row(row: int = 2, more: str = '<c r="D2"><v>45</v></c>', attributes: str = "") -> str:
    """A row of a part: a quantity, a section, a length and what is said of its cut A."""
    cells = f'<c r="A{row}"><v>1</v></c>{text(f"B{row}", "SHS 40x40x3")}<c r="C{row}"><v>1200</v></c>{more}'
    return f'<row r="{row}"{attributes}>{cells}</row>'
