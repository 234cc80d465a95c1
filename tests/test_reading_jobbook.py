"""One workbook with parts, prices, rack and workshop: read by the names of its sheets, each cell with its place."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Job
from cutplan.problems import ProblemsFound
from cutplan.reading import read_job
from cutplan.reading.jobbook import BLOCK_HEADINGS, FAMILIES, SETTINGS
from cutplan.reading.workshop.workshop_keys import FAMILY_TABLES, KEYS
from tests.input_files import PARTS, PRICES, write_csv, write_xlsx

RACK = (("Mark", "Section", "Length"), ("R1", "SHS 40x40x3", 700))
WORKSHOP = (
    ("Setting", "Key", "Value", "Default", "Meaning"),
    ("Name", "workshop.name", "Thistlegate", "", ""),
    ("Kerf", "saw.kerf", 1.8, "2.5 mm", "what one cut removes"),
    ("Mill ends", "saw.mill_ends_accepted", "no", "no", ""),
    ("Tax", "tax.percent", None, "0", ""),
)
FAMILY_ROWS = (("Family", "Keep", "Standard"), ("SHS", "450 mm", None))
MERCHANT_ROWS = (("Name", "Delivers", "Delivery"), ("Yard", "yes", 12.5))


def book(folder: Path, **sheets: Any) -> Path:
    return write_xlsx(folder / "gate.xlsx", **sheets)


def whole(folder: Path, **other: Any) -> Job:
    sheets = {"Parts": PARTS, "Prices": PRICES, "Rack": RACK, "Workshop": WORKSHOP, "Merchants": MERCHANT_ROWS}
    return read_job(book(folder, **{**sheets, **other}))


def refusal(folder: Path, **sheets: Any) -> list[str]:
    with pytest.raises(ProblemsFound) as found:
        whole(folder, **sheets)
    return str(found.value).splitlines()


def test_every_sheet_counts(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text("[saw]\nkerf = 9\n")
    job = whole(tmp_path)
    assert [part.mark for part in job.parts] == ["A1"]
    assert len(job.offers) == 3
    assert [offcut.mark for offcut in job.offcuts] == ["R1"]
    assert job.workshop.saw.kerf == 1_800_000
    assert job.workshop.name == "Thistlegate"
    (yard,) = job.workshop.merchants
    assert (yard.name, yard.delivers, yard.delivery) == ("Yard", True, 12_500_000)
    assert job.assumed[0] == 'Workshop file: gate.xlsx, sheet "Workshop".'
    assert [file.role for file in job.files] == ["parts"]


def test_files_named_on_the_command_line_come_first(tmp_path: Path) -> None:
    path = book(tmp_path, Parts=PARTS, Prices=PRICES, Workshop=WORKSHOP)
    prices = write_csv(tmp_path / "other.csv", PRICES[:2])
    shop = tmp_path / "shop.toml"
    shop.write_text("[saw]\nkerf = 3\n")
    job = read_job(path, prices=prices, workshop=shop)
    assert len(job.offers) == 1
    assert job.workshop.saw.kerf == 3_000_000


def test_blank_sheets_are_as_if_not_there(tmp_path: Path) -> None:
    told = refusal(tmp_path, Prices=PRICES[:1], Rack=RACK[:1])
    assert told[0] == "gate.xlsx: found no price list and no stock length to cut from."
    assert sum(line.startswith("Accepted: ") for line in told) == 1, "one problem, and none of the blank sheets"
    path = book(tmp_path, Parts=PARTS, Prices=PRICES[:1], Rack=RACK[:1], Workshop=WORKSHOP[:1])
    (tmp_path / "workshop.toml").write_text('[saw]\nkerf = 9\n[stock]\nlengths = "6 m"\n')
    job = read_job(path)
    assert job.workshop.saw.kerf == 9_000_000
    assert [offer.length for offer in job.offers] == [6_000_000_000]


def test_stock_lengths_of_the_workshop_and_of_the_command_line(tmp_path: Path) -> None:
    stock = (*WORKSHOP, ("", "stock.lengths", "6 m, 7.5 m; RD 12: 3 m; RD 20: 3 m", "", ""))
    parts = (*PARTS, ("B", 1, "RD 12", 500))
    path = book(tmp_path, Parts=parts, Workshop=stock)
    assert [offer.length // 1_000_000 for offer in read_job(path).offers] == [6000, 7500, 6000, 7500, 3000]
    assert [offer.length // 1_000_000 for offer in read_job(path, stock=["8 m"]).offers] == [8000, 8000]


def test_a_rack_does_not_hide_the_parts_and_a_stray_sheet_is_left_alone(tmp_path: Path) -> None:
    job = whole(tmp_path, Rack=(("what lies about",),), Notes=(("Mark", "Length"), ("x", 1)))
    assert [part.mark for part in job.parts] == ["A1"]
    assert job.offcuts == ()


def test_families(tmp_path: Path) -> None:
    job = whole(tmp_path, Families=FAMILY_ROWS)
    ((family, keep),) = job.workshop.keep
    assert (family.value, keep) == ("SHS", 450_000_000)
    assert not [text for text in job.assumed if "are kept: SHS" in text]


def test_materials_and_sections_of_ones_own(tmp_path: Path) -> None:
    materials = (("Name", "Density"), ("aluminium", 2700))
    own = (("Name", "Height", "Width", "Mass per m"), ("Rail 7", 30, 20, "1.4"))
    job = whole(tmp_path, Materials=materials, **{"Own sections": own}, Parts=(*PARTS, ("R", 1, "SHS 40x40x3", 500)))
    assert job.workshop.materials == (("aluminium", 2700),)


def test_every_cell_that_is_wrong_has_its_place(tmp_path: Path) -> None:
    bad = (
        *WORKSHOP[:1],
        ("", "saw.kerf", "2,5", "", ""),
        ("", "saw.kref", 2, "", ""),
        ("", "sow.kerf", 2, "", ""),
        ("", "", 2, "", ""),
        ("", "saw.clamp", "both", "", ""),
        ("", "saw.clamp", "bar side", "", ""),
        ("", "tax.prices_include_tax", "perhaps", "", ""),
    )
    merchants = (*MERCHANT_ROWS, ("", "no", 3), ("Other", "maybe", "1,5"))
    families = (("Family", "Keep", "Standards"), ("SHS", "x", "EN 1"), ("ABC", "1", ""))
    lines = refusal(tmp_path, Workshop=bad, Merchants=merchants, Families=families)
    places = [line.split(": found")[0].removeprefix("gate.xlsx, ") for line in lines if ": found" in line]
    assert sorted(places) == sorted(
        [
            'sheet "Workshop", row 2, column C "Value"',
            'sheet "Workshop", row 3, column C "Value"',
            'sheet "Workshop", row 4, column B "Key"',
            'sheet "Workshop", row 5, column B "Key"',
            'sheet "Workshop", row 6, column C "Value"',
            'sheet "Workshop", row 7, column B "Key"',
            'sheet "Workshop", row 8, column C "Value"',
            'sheet "Families", row 2, column B "Keep"',
            'sheet "Families", row 2, column C "Standards"',
            'sheet "Families", row 3, column B "Keep"',
            'sheet "Merchants", row 3',
            'sheet "Merchants", row 4, column B "Delivers"',
            'sheet "Merchants", row 4, column C "Delivery"',
        ]
    )


def test_the_sheets_know_every_key_of_the_workshop_file() -> None:
    families = {heading.name for heading in FAMILIES}
    for key in KEYS:
        table, _, word = key.partition(".")
        words = word.replace("_", " ").capitalize()
        if table in BLOCK_HEADINGS:
            assert words in {heading.name for heading in BLOCK_HEADINGS[table]}
        elif table in FAMILY_TABLES:
            assert table.replace("_", " ").capitalize() in families
    assert [heading.name for heading in SETTINGS if heading.read] == ["Key", "Value"]


def test_a_sheet_named_as_one_of_a_job_without_its_headings_is_told(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "job.xlsx", Parts=PARTS, Prices=(("Cost", "Where"), (12, "Yard")), Rack=((),))
    job = read_job(path, stock=["6 m"])
    (warning,) = (each for each in job.warnings if each.code == "sheet.unread")
    assert warning.where == 'job.xlsx, sheet "Prices"'
    assert warning.accepted == "a row with the headings Merchant, Section, Length, or another name"
