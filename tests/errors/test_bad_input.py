"""One bad file per message, and the exact text expected.

The texts stand in ``expected_messages.txt``, one block per case; a case without a block fails, and a block without a
case too. Above each problem stands its code. Every case about a list is tried as csv and as xlsx.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from cutplan.problems import ProblemsFound
from tests.effort import some, some_rows
from tests.input_files import PARTS, job_of, refusal, write_xlsx

HERE = Path(__file__).parent
H = ("Mark", "Quantity", "Section", "Length")
PH = ("Merchant", "Section", "Length", "Price", "Per")
RH = ("Mark", "Section", "Length", "End A", "Book value")
SHS = "SHS 40x40x3"
GOOD = ("A1", 2, SHS, 1200)


def expected_messages() -> dict[str, str]:
    blocks = (HERE / "expected_messages.txt").read_text(encoding="utf-8").split("\n== ")[1:]
    return {block.split("\n", 1)[0]: block.split("\n", 1)[1].strip() for block in blocks}


EXPECTED = expected_messages()


def answer(folder: Path, *args: Any, **settings: Any) -> str:
    """Every problem that is found, below its code."""
    with pytest.raises(ProblemsFound) as raised:
        job_of(folder, *args, **settings)
    return "\n".join(f"[{problem.code}]\n{problem}" for problem in raised.value.problems)


def row(column: str, value: Any) -> tuple[tuple[Any, ...], ...]:
    """A list of one part that is good but for one cell."""
    return (H, tuple(value if name == column else cell for name, cell in zip(H, GOOD, strict=True)))


def wide(heading: str, value: Any, good: tuple[Any, ...] = GOOD) -> tuple[tuple[Any, ...], ...]:
    """A list of one part with one more column."""
    return ((*H, heading), (*good, value))


RHS = ("A1", 2, "RHS 60x40x3", 900)
LISTS: dict[str, tuple[tuple[Any, ...], ...]] = {
    "unknown heading": wide("Finsh", "black"),
    "missing column": (("Mark", "Section", "Length"), ("A1", SHS, 1200)),
    "blank length": row("Length", None),
    "blank section": row("Section", None),
    "mark longer than a label": row("Mark", "M" * 101),
    "blank quantity": row("Quantity", " "),
    "comma in a length": row("Length", "1,200"),
    "letters in a length": row("Length", "12OO"),
    "thousands and decimals in a length": row("Length", "1.200,5"),
    "blank within a length": row("Length", "1 200"),
    "sum for a length": row("Length", "2**9"),
    "no number for a length": row("Length", "nan"),
    "fraction over nothing": row("Length", "1 5/0"),
    "improper fraction": row("Length", "47 5/4 in"),
    "more inches than a foot": row("Length", "6'14\""),
    "inches without their sign": row("Length", "3' 6"),
    "part of a foot and inches": row("Length", "1.5 ft 3 in"),
    "length above thirty metres": row("Length", 62000),
    "length of zero": row("Length", 0),
    "negative length": row("Length", -5),
    "quantity of 2.5": row("Quantity", 2.5),
    "unknown section": row("Section", "SHZ 40x40x3"),
    "wall too thick": row("Section", "SHS 40x40x33"),
    "bare gauge number": row("Section", "SHS 40x40x14ga"),
    "longer than the longest bar": row("Length", 7600),
    "section without an offer": row("Section", "SHS 50x50x3"),
    "mark used twice": (H, GOOD, ("A1", 1, SHS, 1300)),
    "same mark in too many pieces": (H, ("A1", 99999, SHS, 1200), GOOD),
    "square end as 90": wide("Cut A", 90),
    "slope that is not named": wide("Cut A", "3:12"),
    "corner for an angle from square": wide("Cut A", 135),
    "comma in an angle": wide("Cut A", "22,5"),
    "unknown length meant": ((*H, "Cut A", "Length is"), (*GOOD, 45, "middle")),
    "mitre without its depth": wide("Cut B", 45, RHS),
    "mitre across no side": ((*H, "Cut B", "Depth"), (*RHS, 45, 50)),
    "mitres that cross": ((*H, "Cut A", "Cut B"), ("A1", 2, SHS, 50, 45, 45)),
    "two headings for one column": wide("Cut length", 1),
    "value under no heading": wide("", 1),
    "no rows": (H,),
    "no headings": (("a", "b"), (1, 2)),
    "grade not on sale": wide("Grade", "S355"),
    "finish not on sale": wide("Finish", "bright"),
    "unknown standard": wide("Standard", "EN 10219-9"),
    "standards that disagree": (
        (*H, "Standard"),
        (*GOOD, "EN 10210-2"),
        ("B1", 1, SHS, 500, ""),
    ),
}


def raw(name: str, data: bytes) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        (folder / name).write_bytes(data)
        return folder / name

    return make


def book(change: Callable[[Any], None] | None = None, **sheets: Any) -> Callable[[Path], Path]:
    return lambda folder: write_xlsx(folder / "parts.xlsx", change, **sheets)


def workbook_bytes() -> bytes:
    import openpyxl

    buffer = io.BytesIO()
    openpyxl.Workbook().save(buffer)
    return buffer.getvalue()


def archive_bytes() -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("a.txt", "b")
    return buffer.getvalue()


def folder_in_place(folder: Path) -> Path:
    (folder / "parts.csv").mkdir()
    return folder / "parts.csv"


def long_list(rows: int, suffix: str) -> Callable[[Path], Path]:
    def line(row: int) -> bytes:
        cells = f'<c r="C{row}" t="inlineStr"><is><t>{SHS}</t></is></c><c r="D{row}"><v>1200</v></c>'
        return f'<row r="{row}"><c r="A{row}"><v>{row}</v></c><c r="B{row}"><v>1</v></c>{cells}</row>'.encode()

    def make(folder: Path) -> Path:
        path = folder / f"parts{suffix}"
        if suffix == ".csv":
            lines = (f"M{number},1,{SHS},1200" for number in range(rows))
            path.write_text("\n".join([",".join(H), *lines]), encoding="utf-8")
            return path
        # openpyxl takes seconds for so many cells, so the lines are put into the sheet it makes of the heading.
        made = write_xlsx(folder / "heading.xlsx", Parts=(H,))
        with zipfile.ZipFile(made) as short, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as long:
            for name in short.namelist():
                text = short.read(name)
                if name == "xl/worksheets/sheet1.xml":
                    assert text.count(b"</sheetData>") == 1
                    text = text.replace(b"</sheetData>", b"".join(map(line, range(2, rows + 2))) + b"</sheetData>")
                long.writestr(name, text)
        return path

    return make


OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
FILES: dict[str, Callable[[Path], Path]] = {
    "empty file": raw("parts.csv", b"\n \n"),
    "empty xlsx": raw("parts.xlsx", b""),
    "encrypted": raw("parts.xlsx", (HERE / "encrypted.xlsx").read_bytes()),
    "broken": raw("parts.xlsx", workbook_bytes()[:2000]),
    "not a spreadsheet": raw("parts.csv", b"%PDF-1.4 parts"),
    "bytes that are no text": raw("parts.csv", b"Quantity\0Section"),
    "text called xlsx": raw("parts.xlsx", b"Quantity,Section,Length\n1,SHS 40x40x3,1200\n"),
    "older format": raw("parts.xls", OLE + bytes(600)),
    "archive": raw("parts.xlsx", archive_bytes()),
    "wrong encoding": raw("parts.csv", b"Mark,Quantity,Section,Length\nA,1,SHS 40x40x3,1200\nB\x81,1,SHS 40x40x3,4\n"),
    "wrong mark of encoding": raw("parts.csv", b"\xef\xbb\xbfMark\xff"),
    "open quotation mark": raw("parts.csv", b'Quantity,Section,Length\n1,"SHS 40x40x3,1200\n1,SHS 40x40x3,1300\n'),
    "formula as text": raw("parts.csv", b"Quantity,Section,Length\n1,SHS 40x40x3,=3*400\n"),
    "error of a formula as text": raw("parts.csv", b"Quantity,Section,Length\n1,SHS 40x40x3,#REF!\n"),
    "cell that steers a terminal": raw("parts.csv", b"Quantity,Section,Length,Note\n1,SHS 40x40x3,1200,a\x1b[31mb\n"),
    "letter that no workbook holds": raw(
        "parts.csv", "Mark,Quantity,Section,Length\nA\ufffe,1,SHS 40x40x3,1200\n".encode()
    ),
    "text longer than a cell": raw(
        "parts.csv", b"Quantity,Section,Length,Note\n1,SHS 40x40x3,1200," + b"x" * 32_001 + b"\n"
    ),
    "text without an end": raw(
        "parts.csv", b"Quantity,Section,Length,Note\n1,SHS 40x40x3,1200," + b"x" * 200_000 + b"\n"
    ),
    "text of too many columns": raw("parts.csv", b"Quantity,Section,Length" + b"," * 300 + b"x\n1,SHS 40x40x3,1200\n"),
    "number of three hundred digits": book(Parts=row("Length", 1e300)),
    "a mark merged over two parts": book(
        lambda workbook: workbook["Parts"].merge_cells("A2:A3"), Parts=(*PARTS, ("A2", 1, "SHS 40x40x3", 500))
    ),
    "merged row": book(lambda workbook: workbook["Parts"].merge_cells("A2:D2"), Parts=(H, ("Frame",), GOOD)),
    "formula without a value": book(Parts=row("Length", "=600*2")),
    "error value": book(
        lambda workbook: setattr(workbook["Parts"]["D2"], "data_type", "e"), Parts=row("Length", "#REF!")
    ),
    "date as a length": book(Parts=row("Length", datetime.datetime(2031, 3, 11))),
    "date as a mark": book(Parts=row("Mark", datetime.datetime(2031, 3, 11))),
    "two sheets in two units": book(Parts=PARTS, More=((*PARTS[0][:3], "Length (m)"), *PARTS[1:])),
    "hidden sheet": book(lambda workbook: setattr(workbook["Old"], "sheet_state", "hidden"), Notes=((1,),), Old=PARTS),
    "stray cell far down": book(lambda workbook: workbook["Parts"].cell(200_000, 1, "x"), Parts=PARTS),
    "stray cell far right": book(lambda workbook: workbook["Parts"].cell(2, 300, "x"), Parts=PARTS),
    "folder": folder_in_place,
    "missing file": lambda folder: folder / "parts.csv",
    "too many rows, csv": long_list(100_001, ".csv"),
    "too many rows, xlsx": long_list(100_001, ".xlsx"),
}

WORKSHOPS = {
    "unknown key": "[saw]\nkref = 2",
    "unknown table": "[sow]\nkerf = 2",
    "key outside its table": "kerf = 2",
    "key in another table": "[workshop]\nkerf = 2",
    "truth for a length": "[saw]\nkerf = true",
    "comma in a kerf": '[saw]\nkerf = "2,5"',
    "kerf beyond all memory": "[saw]\nkerf = 1e999999999",
    "name that steers a terminal": '[workshop]\nname = "a\\u001b[31m"',
    "blank finish": '[defaults]\nfinish = " "',
    "trim below the kerf": "[saw]\nend_trim = 1\nkerf = 3",
    "unknown decimal sign": '[workshop]\ndecimal_sign = ";"',
    "number against the decimal sign": '[workshop]\ndecimal_sign = ","\n[saw]\nkerf = "2.5"',
    "unknown unit of mass": '[workshop]\nmass_unit = "stone"',
    "step in the other unit": '[workshop]\nprint_lengths_to = "1/16 in"',
    "unknown unit": '[workshop]\nunit = "cm"',
    "currency in small letters": '[workshop]\ncurrency = "eur"',
    "unknown family": '[keep]\nSSH = "300 mm"',
    "standard of another family": '[standards]\nSHS = "EN 10056-1"',
    "unknown key of a merchant": '[[merchant]]\nnam = "Yard"',
    "merchant without a name": "[[merchant]]\ndelivers = true",
    "two faults in merchants": '[[merchant]]\nname = "x"\ndelivery = "1,50"\n[[merchant]]\nname = "X"',
    "merchant not a list": '[merchant]\nname = "x"',
    "text for a truth": '[saw]\nmill_ends_accepted = "yes"',
    "kerf out of scale": "[saw]\nkerf = 25.4",
    "unknown gauge table": '[defaults]\ngauge = "AWG"',
    "material with no density": '[[material]]\nname = "brass"',
    "material that is steel": '[[material]]\nname = "carbon steel"\ndensity = 7800',
    "coat that covers and has no price": '[[coat]]\nname = "paint"\nlitre_covers = 9',
    "minutes that are seconds": "[hours]\nper_cut = 12000",
    "margin put on the cost": "[cost]\nmargin = 100",
    "own section with a known name": '[[section]]\nname = "IPE 100"\nheight = 100\nwidth = 55\narea = 1032',
    "own section twice": '[[section]]\nname = "Rail 41"\nheight = 41\nwidth = 41\nmass_per_m = 2.5\n'
    '[[section]]\nname = "rail  41"\nheight = 41\nwidth = 41\nmass_per_m = 2.5',
    "own section without its width": '[[section]]\nname = "Rail"\nheight = 41\nmass_per_m = 2.5',
    "own section without a mass": '[[section]]\nname = "Rail"\nheight = 41\nwidth = 41',
    "own section with mass out of scale": '[[section]]\nname = "Rail"\nheight = 41\nwidth = 41\nmass_per_m = "2,5"',
    "own section of an unknown material": '[[section]]\nname = "Rail"\nheight = 41\nwidth = 41\narea = 300\n'
    'material = "alluminium"',
    "own section folded too tightly": '[[section]]\nname = "Sill"\nheight = 80\nwidth = 40\nthickness = 4\n'
    "legs = [6, 40, 80]",
    "own section with legs and no thickness": '[[section]]\nname = "Sill"\nheight = 80\nwidth = 40\nlegs = [40, 80]',
    "own section thicker than wide": '[[section]]\nname = "Sill"\nheight = 80\nwidth = 4\nthickness = 6\narea = 300',
    "legs that are no list": '[[section]]\nname = "Sill"\nheight = 80\nwidth = 40\nlegs = "40, 80"',
    "own section too wide": '[[section]]\nname = "Sill"\nheight = "3 m"\nwidth = 40\narea = 300',
    "own section without letters": '[[section]]\nname = "40x40"\nheight = 40\nwidth = 40\narea = 300',
    "unknown key of an own section": '[[section]]\nname = "Sill"\nmass = 2',
    "unknown clamp": '[saw]\nclamp = "bar"',
    "scale that reads neither 0 nor 90": "[saw]\nsquare_reads = 45",
    "tax out of range": "[tax]\npercent = 120",
    "file that is not there": '[files]\nrack = "nope.csv"',
    "density in another unit": "[steel]\ndensity = 7.85",
    "offcut value too fine": '[offcut_value_per_m]\nSHS = "0.0001"',
    "offcut value that buys longer bars": '[offcut_value_per_m]\nSHS = "4.1"',
    "number for a table": "saw = 3",
    "number for a text": "[workshop]\nname = 3",
}

PRICES = {
    "unknown basis": (PH, ("Yard", SHS, 6000, 30, "bundle")),
    "ton": (PH, ("Yard", SHS, 6000, 30, "ton")),
    "no basis": (PH[:4], ("Yard", SHS, 6000, 30)),
    "blank basis": (PH, ("Yard", SHS, 6000, 30, "")),
    "two bases": (("Merchant", "Section", "Length", "Price per m", "Per"), ("Yard", SHS, 6000, 30, "each")),
    "another currency": (("Merchant", "Section", "Length", "Price (USD)", "Per"), ("Yard", SHS, 6000, 30, "each")),
    "offer twice": (PH, ("Yard", SHS, 6000, 30, "each"), ("yard", "40x40x3 SHS", "6 m", 31, "each")),
    "price of zero": (PH, ("Yard", SHS, 6000, 0, "each")),
    "sign before a price": (PH, ("Yard", SHS, 6000, "$30", "each")),
    "none available": ((*PH, "Available"), ("Yard", SHS, 6000, 30, "each", 0)),
    "price per ton in the heading": (("Merchant", "Section", "Length", "Price per ton"), ("Yard", SHS, 6000, 30)),
    "half a bar available": ((*PH, "Available"), ("Yard", SHS, 6000, 30, "each", "1.5")),
    "blank merchant": (PH, ("", SHS, 6000, 30, "each")),
}

RACKS = {
    "unknown end": (RH, ("R1", SHS, 1000, "sawed", "1")),
    "letters in a book value": (RH, ("R1", SHS, 1000, "mill", "x")),
    "offcut mark twice": (RH, ("R1", SHS, 1000, "", ""), ("R1", SHS, 900, "", "")),
    "offcut without a mark": (RH, ("", SHS, 1000, "", "")),
}

HH = ("Mark", "Pattern", "Position", "Face", "Across", "Hole", "Drilled")
HOLES = {
    "hole of no part": (HH, ("A7", "", 100, "", "", 9, "")),
    "hole of neither mark nor pattern": (HH, ("", "", 100, "", "", 9, "")),
    "marks, pattern and holes in one row": (HH, ("A1", "rail", 100, "", "", 9, "")),
    "pattern without rows of its own": (HH, ("", "rail", 100, "", "", 9, ""), ("A1", "rial", "", "", "", "", "")),
    "blank position": (HH, ("A1", "", "", "", "", 9, "")),
    "positions without a blank behind the comma": (HH, ("A1", "", "50,125", "", "", 9, "")),
    "product of steps that is another": (HH, ("A1", "", "50, 6 @ 75 = 400", "", "", 9, "")),
    "more holes than a row may have": (HH, ("A1", "", "2000 @ 0.1", "", "", 9, "")),
    "face that is a word": (HH, ("A1", "", 100, "top", "", 9, "")),
    "face that a section has not": (HH, ("A1", "", 100, 5, "", 9, "")),
    "letters in a distance across": (HH, ("A1", "", 100, 1, "1O", 9, "")),
    "bolt without its purpose": (HH, ("A1", "", 100, 1, "", "M12", "")),
    "bolt of no table": (HH, ("A1", "", 100, 1, "", "M13 clear", "")),
    "pitch of no table": (HH, ("A1", "", 100, 1, "", "M12x3 tapped", "")),
    "unknown word for drilled": (HH, ("A1", "", 100, 1, "", 9, "half")),
    "hole beyond the end": (HH, ("A1", "", "700, 1 @ 600", 1, "", 9, "")),
    "hole beyond the edge": (HH, ("A1", "", 100, 1, 38, 9, "")),
    "landing beyond the end": (HH, ("A1", "", 1201, 1, "", "", "")),
    "holes that overlap": (HH, ("A1", "", "100, 1 @ 8", 1, "", 9, ""), ("A1", "", 1000, 1, "", 9, "")),
    "holes that overlap from two rows": (HH, ("A1", "", 100, 1, "", 9, ""), ("A1", "", 105, 3, "", 9, "")),
    "no heading for the hole": (HH[:3], ("A1", "", 100)),
}

OTHERS: dict[str, dict[str, Any]] = {
    "nothing to cut from": {"prices": None},
    "hole across a mitre": {
        "parts": ((*H, "Cut A"), (*GOOD, 45)),
        "holes": (HH, ("A1", "", 22, 1, "", 9, ""), ("A1", "", "43, 300", 2, "", 9, "")),
    },
    "hole in a part of two different sides": {
        "parts": (H, ("A1", 2, "RHS 60x40x3", 900)),
        "holes": (HH, ("A1", "", 100, "", "", 9, "")),
    },
    "hole aside in a round section": {
        "parts": (H, ("A1", 2, "CHS 48.3x3.2", 900)),
        "prices": None,
        "stock": ("6 m",),
        "holes": (HH, ("A1", "", 100, 1, 10, 9, "")),
    },
    "one wall of a solid section": {
        "parts": (H, ("A1", 2, "SQ 20", 900)),
        "prices": None,
        "stock": ("6 m",),
        "holes": (HH, ("A1", "", 100, 1, "", 9, "one wall")),
    },
    "cell of holes not understood": {
        "parts": wide("Holes", "M12 clear, face 1: 100; rial; face 2: 50; 9: 1,200; 9, 8: 50"),
        "holes": (HH, ("", "rail", 100, "", "", 9, "")),
    },
    "same mark with other holes": {"parts": ((*H, "Holes"), (*GOOD, "9: 100"), (*GOOD, "9: 200"))},
    "minus tolerance above the length": {"workshop": '[minus_tolerance]\nSHS = "8 m"'},
    "allowances longer than their part": {"parts": ((*H, "Cut to fit"), ("A1", 1, SHS, 140, "3000"))},
    "offcut value above the price a metre": {"workshop": '[offcut_value_per_m]\nSHS = "5.1"'},
    "beyond the longest carry": {"parts": row("Length", 7000), "workshop": '[carry]\nlongest = "6.5 m"'},
    "nothing within the longest carry": {"workshop": '[carry]\nlongest = "2 m"'},
    "too long with a mitre": {
        "parts": wide("Cut A", 30, ("A1", 1, SHS, 7480)),
        "workshop": '[minus_tolerance]\nSHS = "5 mm"',
    },
    "only stock length not understood": {"prices": None, "stock": ("6x",)},
    "stock length not understood": {"prices": None, "stock": ("6x", "SHS 40x40x3: 1,200", "SHS 40x40x3: 6 m")},
    "stock length of no part": {"prices": None, "stock": ("RHS 60x40x3: 6 m", "6 m")},
    "stock length of a priced section": {"stock": ("SHS 40x40x3: 6 m",)},
    "stock lengths where all is priced": {"stock": ("6 m",)},
}


@pytest.mark.parametrize(
    ("name", "suffix"),
    some_rows(product(LISTS, [".csv", ".xlsx"]), *product(LISTS, [".csv"]), *product([*LISTS][::6], [".xlsx"])),
)
def test_bad_list(name: str, suffix: str, tmp_path: Path) -> None:
    expected = EXPECTED[name]
    if suffix == ".xlsx":
        expected = expected.replace("parts.csv", 'parts.xlsx, sheet "Parts"')
        expected = re.sub("\nhint: a comma splits cells in this file[^\n]*", "", expected)
        expected = expected.replace('sheet "Parts": found no headings', "found no headings")
    found = answer(tmp_path, LISTS[name], suffix=suffix)
    assert found == expected.replace("parts.xlsx, found no headings", "parts.xlsx: found no headings")


@pytest.mark.parametrize("name", some(FILES, *(name for name in FILES if name != "too many rows, xlsx")))
def test_bad_file(name: str, tmp_path: Path) -> None:
    assert answer(tmp_path, FILES[name](tmp_path)) == EXPECTED[name]


@pytest.mark.parametrize("name", WORKSHOPS)
def test_bad_workshop_file(name: str, tmp_path: Path) -> None:
    assert answer(tmp_path, workshop=WORKSHOPS[name]) == EXPECTED[name]


@pytest.mark.parametrize("name", PRICES)
def test_bad_price_list(name: str, tmp_path: Path) -> None:
    assert answer(tmp_path, prices=PRICES[name]) == EXPECTED[name]


@pytest.mark.parametrize("name", RACKS)
def test_bad_rack_file(name: str, tmp_path: Path) -> None:
    assert answer(tmp_path, rack=RACKS[name]) == EXPECTED[name]


@pytest.mark.parametrize("name", HOLES)
def test_bad_holes(name: str, tmp_path: Path) -> None:
    assert answer(tmp_path, holes=HOLES[name]) == EXPECTED[name]


def test_two_places_with_holes(tmp_path: Path) -> None:
    write_xlsx(tmp_path / "parts-holes.xlsx", Holes=HOLES["hole of no part"])
    assert answer(tmp_path, holes=HOLES["hole of no part"]) == EXPECTED["holes in two places"]


@pytest.mark.parametrize("name", OTHERS)
def test_what_only_the_whole_can_know(name: str, tmp_path: Path) -> None:
    assert answer(tmp_path, **OTHERS[name]) == EXPECTED[name]


def test_every_expected_message_has_a_case() -> None:
    cases = [*LISTS, *FILES, *WORKSHOPS, *PRICES, *RACKS, *HOLES, *OTHERS, "holes in two places"]
    assert sorted(cases) == sorted(EXPECTED)


def test_everything_wrong_is_told_at_once_in_file_order(tmp_path: Path) -> None:
    found = refusal(
        tmp_path,
        (H, ("A1", 2.5, SHS, "x"), ("A1", 1, "??", 0)),
        workshop='[saw]\nkref = 1\nclamp = "no"',
        prices=(PH, ("Yard", SHS, "1,200", "", "")),
        rack=(RH, ("R1", SHS, 1000, "burnt", "")),
    )
    places = [line.split(": found")[0] for line in found.splitlines() if ": found" in line]
    assert places == [
        'workshop.toml, key "saw.kref"',
        'workshop.toml, key "saw.clamp"',
        'parts.csv, row 2, column B "Quantity"',
        'parts.csv, row 2, column D "Length"',
        'parts.csv, row 3, column C "Section"',
        'parts.csv, row 3, column D "Length"',
        'prices.csv, row 2, column C "Length"',
        'rack.csv, row 2, column D "End A"',
    ]
