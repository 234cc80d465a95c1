"""Workbooks made to mislead, to fill the memory or to take for ever: each a placed refusal, and a quick one."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from cutplan.model import Job
from tests.effort import some
from tests.forked import forked
from tests.input_files import job_of, refusal
from tests.workbook_xml import BOOK, LINKS, heading_row, part_row, sheet, workbook

SECONDS, MEMORY = 10, 300_000_000
DOCTYPE = '<!DOCTYPE a [<!ENTITY b "1"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]>'
MERGED = "<mergeCells>" + '<mergeCell ref="A2:D1048576"/>' * 50_000 + "</mergeCells>"
BROKEN = "found a workbook that is broken"


def part(more: str, attributes: str = "") -> bytes:
    """A list of one part with what is said of its cut A."""
    return workbook(sheet(heading_row() + part_row(more=more, attributes=attributes)))


def grid(rows: int, columns: str, cell: str = "<v>1</v>") -> bytes:
    """A list of one part, and below it rows with a value in a few columns."""
    more = "".join(
        f'<row r="{n}">{"".join(f"""<c r="{letters}{n}">{cell}</c>""" for letters in columns.split())}</row>'
        for n in range(3, rows + 3)
    )
    return workbook(sheet(heading_row() + part_row() + more))


def understated() -> bytes:
    """A sheet that says it unpacks to its first thousand bytes, and whose checksum agrees."""
    xml = sheet(heading_row() + part_row()).encode()
    data = workbook(xml + b" " * 3_000_000)
    seen = xml[:400]
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        info = archive.getinfo("xl/worksheets/sheet1.xml")
    old = struct.pack("<LLL", info.CRC, info.compress_size, info.file_size)
    new = struct.pack("<LLL", zlib.crc32(seen), info.compress_size, len(seen))
    assert data.count(old) == 2
    return data.replace(old, new)


def doubled() -> bytes:
    """Two sheets under one name in the archive, as readers that take the first and the last would see them."""
    buffer = io.BytesIO(workbook(sheet(heading_row() + part_row())))
    with zipfile.ZipFile(buffer, "a") as out:
        out.writestr("xl/worksheets/Sheet1.xml", sheet(heading_row() + part_row(more="")))
    return buffer.getvalue()


def elsewhere() -> bytes:
    """An archive whose root leads to a workbook without the error that stands in the one under the usual name."""
    link = f'<Relationship Id="rId1" Type="{LINKS}/officeDocument" Target="x/workbook.xml"/>'
    root = f"<Relationships>{link}</Relationships>"
    with zipfile.ZipFile(io.BytesIO(part('<c r="D2"><v>45</v></c>'))) as other:
        files = {name.replace("xl/", "x/", 1): other.read(name) for name in other.namelist()}
    error = sheet(heading_row() + part_row(more='<c r="D2" t="e"><v>#REF!</v></c>'))
    return workbook(error, more={"_rels/.rels": root, **files})


def filled_with(size: int, entry: str = "xl/sharedStrings.xml") -> Callable[[], bytes]:
    return lambda: workbook(sheet(heading_row() + part_row()), more={entry: b" " * size})


ATTACKS: dict[str, tuple[Callable[[], bytes], str]] = {
    "a cell in a far row of a near one": (
        lambda: part('<c r="D900000000"><v>45</v></c>'),
        "(cell D900000000 in row 2)",
    ),
    "a far row": (
        lambda: workbook(sheet(heading_row() + part_row(900_000_000, '<c r="D900000000"><v>45</v></c>'))),
        "a value in row 900000000",
    ),
    "a far column": (lambda: part('<c r="XFD2"><v>45</v></c>'), "a value in cell XFD2"),
    "a column that there is not": (lambda: part('<c r="ZZZZZZZ2"><v>45</v></c>'), BROKEN),
    "single quotation marks, far": (lambda: part("<c r='XFD2'><v>45</v></c>"), "a value in cell XFD2"),
    "single quotation marks, error": (
        lambda: part("<c r='D2' t='e'><v>#REF!</v></c>"),
        'row 2, column D "Cut A": found the error #REF!.',
    ),
    "single quotation marks, formula": (
        lambda: part("<c r='D2'><f>A1</f></c>"),
        'row 2, column D "Cut A": found a formula without a stored value.',
    ),
    "error under another prefix": (
        lambda: part('<y:c xmlns:y="y" r="D2" t="e"><y:v>#REF!</y:v></y:c>'),
        'row 2, column D "Cut A": found the error #REF!.',
    ),
    "error without a name": (lambda: part('<c r="D2" t="e"/>'), 'row 2, column D "Cut A": found an error.'),
    "white space in a mark": (lambda: part('<c\n  r = "D2"\n t="e"\n><v>#REF!</v></c>'), "found the error #REF!."),
    "an error in a comment and in a cell": (
        lambda: part('<!-- </row></sheetData> --><c r="D2" t="e"><v>#N/A</v></c>'),
        "found the error #N/A.",
    ),
    "an entity for an error": (lambda: workbook(DOCTYPE + sheet(heading_row() + part_row())), BROKEN),
    "entities in the list of sheets": (
        lambda: workbook(sheet(heading_row() + part_row()), book=DOCTYPE + BOOK),
        BROKEN,
    ),
    "another encoding": (
        lambda: workbook(("<?xml version='1.0' encoding='utf-16'?>" + sheet(heading_row())).encode("utf-16")),
        BROKEN,
    ),
    "a comment in a value": (lambda: part('<c r="D2"><v>4<!-- -->5</v></c>'), BROKEN),
    "a comment in words": (
        lambda: part('<c r="D2" t="inlineStr"><is><t>4<!-- -->5</t></is></c>'),
        BROKEN,
    ),
    "an instruction in a value": (lambda: part('<c r="D2"><v>4<?x y?>5</v></c>'), BROKEN),
    "an element in a value": (lambda: part('<c r="D2"><v>4<x/>5</v></c>'), BROKEN),
    "a digit by its code": (lambda: part('<c r="D2"><v>4&#53;</v></c>'), BROKEN),
    "a value that is marked as characters": (lambda: part('<c r="D2"><v><![CDATA[45]]></v></c>'), BROKEN),
    "two values in a cell": (lambda: part('<c r="D2"><v>45</v><v></v></c>'), BROKEN),
    "a value before its formula": (
        lambda: part('<c r="D2"><v>45</v><f>A1</f></c>'),
        "cell D2: found a value that one way of reading sees and another does not",
    ),
    "a cell twice": (lambda: part('<c r="D2"><v>45</v></c><c r="D2"><v>30</v></c>'), BROKEN),
    "a row twice": (lambda: workbook(sheet(heading_row() + part_row() + part_row())), BROKEN),
    "two blocks of cells": (lambda: workbook(sheet(heading_row() + part_row(), after="<sheetData/>")), BROKEN),
    "two sheets under one name": (doubled, BROKEN),
    "another workbook in the archive": (elsewhere, 'row 2, column D "Cut A": found the error #REF!.'),
    "a size that is understated": (understated, BROKEN),
    "a value without an end": (lambda: part('<c r="D2"><v>' + "1" * 9_000_000 + "</v></c>"), BROKEN),
    "spaces without an end": (filled_with(210_000_000), "xl/sharedStrings.xml, which unpacks to"),
    "much XML, packed": (filled_with(150_000_000, "xl/worksheets/sheet1x.xml"), "times its packed size"),
    "elements without an end": (
        lambda: workbook(sheet(heading_row() + part_row() + ("<x/>" + " " * 12) * 9_000_000)),
        "xl/worksheets/sheet1.xml, which unpacks to",
    ),
    "an archive of many files": (
        lambda: workbook(sheet(heading_row()), more={f"{n}": b"" for n in range(10_001)}),
        "an archive of more than 10000 files",
    ),
    "a wide sheet of many rows": (lambda: grid(20_000, "A GZ"), "columns, the last of them for cell GZ3"),
    "merged cells one over another": (
        lambda: workbook(
            sheet(
                heading_row() + part_row(),
                after=MERGED,
            )
        ),
        "merged cells A2:D1048576",
    ),
    "merged cells one over another, many rows": (
        lambda: workbook(sheet(heading_row() + "".join(part_row(n, "") for n in range(2, 5_000)), after=MERGED)),
        "found merged cells A2:D1048576",
    ),
}


LONG = (
    "merged cells one over another, many rows",
    "spaces without an end",
    "elements without an end",
    "much XML, packed",
)
"""Each like another one, and longer."""


@pytest.mark.parametrize("name", some(ATTACKS, *(ATTACKS.keys() - LONG)))
def test_attack(name: str, tmp_path: Path) -> None:
    make, words = ATTACKS[name]
    path = tmp_path / "parts.xlsx"
    path.write_bytes(make())
    ended = forked(lambda: refusal(tmp_path, path), seconds=SECONDS, memory=MEMORY)
    assert (ended.trace, ended.signal) == ("", 0)
    assert ended.answer.startswith("parts.xlsx")
    assert words in ended.answer


HARMLESS = {
    "a size of the sheet that is not true": workbook(
        sheet(heading_row() + part_row(), before='<dimension ref="A1:XFD1048576"/>')
    ),
    "formatted far away": workbook(
        sheet(heading_row() + part_row() + '<row r="1048576"><c r="XFD1048576" s="0"/></row>')
    ),
    "formulas elsewhere": workbook(
        sheet(heading_row() + part_row(), after="<conditionalFormatting><formula>A1</formula></conditionalFormatting>")
    ),
    "cells without places": workbook(
        sheet(
            heading_row()
            + '<row><c><v>1</v></c><c t="inlineStr"><is><t>SHS 40x40x3</t></is></c>'
            + "<c><v>1200</v></c><c><v>45</v></c></row>"
        )
    ),
    "a prefix on everything": workbook(
        sheet(heading_row() + part_row())
        .replace("</", "</x:")
        .replace("<", "<x:")
        .replace("<x:/x:", "</x:")
        .replace("xmlns=", "xmlns:x=")
    ),
}


@pytest.mark.parametrize("name", HARMLESS)
def test_harmless(name: str, tmp_path: Path) -> None:
    """What looks alike and is right is read, the mitre with it."""
    path = tmp_path / "parts.xlsx"
    path.write_bytes(HARMLESS[name])

    def read() -> Job:
        return job_of(tmp_path, path)

    ended = forked(read, seconds=SECONDS, memory=MEMORY)
    assert (ended.trace, ended.signal) == ("", 0)
    assert [part.end_a.angle for part in ended.answer.parts] == [45_000_000]


@pytest.mark.parametrize("hidden", [" hidden='1'", ' hidden="true"', "\thidden = '1'\n"])
def test_hidden_rows_are_warned_about_however_they_are_written(hidden: str, tmp_path: Path) -> None:
    path = tmp_path / "parts.xlsx"
    path.write_bytes(part('<c r="D2"><v>45</v></c>', hidden))
    assert "hidden rows, which were read: 2" in "".join(map(str, job_of(tmp_path, path).warnings))
