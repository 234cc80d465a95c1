"""Which sheet, which row, which cells, and warnings about a list as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.units import mm_text
from tests.input_files import PARTS, PRICES, job_of
from tests.sized_lists import ONE, H


@pytest.mark.parametrize(
    ("heading", "unit", "typed", "length"),
    [
        ("Length", "mm", "1200", 1_200_000_000),
        ("Length (m)", "mm", "1.2", 1_200_000_000),
        ("Length in", "mm", "47 1/4", 1_200_150_000),
        ("Length", "in", "47 1/4", 1_200_150_000),
        ("Length (mm)", "in", "1200", 1_200_000_000),
        ("Length (mm)", "in", "4 ft", 1_219_200_000),
    ],
)
def test_unit_of_bare_numbers(heading: str, unit: str, typed: str, length: int, tmp_path: Path) -> None:
    rows = (("Quantity", "Section", heading), (1, "SHS 40x40x3", typed))
    prices = (("Merchant", "Section", "Length"), ("Yard", "SHS 40x40x3", "6 m"))
    (part,) = job_of(tmp_path, rows, workshop=f'[workshop]\nunit = "{unit}"', prices=prices).parts
    assert part.length == length


def test_text_that_begins_like_a_formula_stays_in_a_note(tmp_path: Path) -> None:
    (part,) = job_of(tmp_path, ((*H, "Note"), (*ONE, "=same as A1"))).parts
    assert part.note == "=same as A1"


def test_windows_text_is_warned_about_in_the_job(tmp_path: Path) -> None:
    path = tmp_path / "parts.csv"
    path.write_bytes(b"Quantity,Section,Length,Note\n1,SHS 40x40x3,1200,B\xe9n\xe9\n")
    job = job_of(tmp_path, path)
    assert job.parts[0].note == "Béné"
    assert "Windows-1252" in job.warnings[0].found


def lengths_read(folder: Path, sign: str, *cells: object, suffix: str = ".xlsx") -> list[str]:
    """Lengths of a list, in mm, where the workshop says the decimal sign."""
    rows = [PARTS[0], *((f"M{i}", 1, "SHS 40x40x3", cell) for i, cell in enumerate(cells))]
    said = f'[workshop]\ndecimal_sign = "{sign}"\n' if sign else "[workshop]\n"
    job = job_of(folder, rows, workshop=said, suffix=suffix)
    return [mm_text(part.length) for part in job.parts]


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_the_workshop_says_which_sign_is_the_decimal_one(suffix: str, tmp_path: Path) -> None:
    comma = lengths_read(tmp_path, ",", "1.200,5", "1.200", "1,2 m", "850,25", suffix=suffix)
    assert comma == ["1200.5", "1200", "1200", "850.25"]
    point = lengths_read(tmp_path, ".", "1,200.5", "1,200", "1.2 m", "850.25", suffix=suffix)
    assert point == comma


def test_a_number_of_the_spreadsheet_is_never_read_by_the_sign(tmp_path: Path) -> None:
    # 1234.567 as a number is that number; typed as text under a decimal comma it would be refused.
    for sign in ("", ".", ","):
        assert lengths_read(tmp_path, sign, 1234.567, 1200.0, 1200) == ["1234.567", "1200", "1200"]


def test_the_decimal_sign_holds_for_prices_sections_and_settings(tmp_path: Path) -> None:
    workshop = '[workshop]\ndecimal_sign = ","\n[saw]\nkerf = "2,5 mm"\n[tax]\npercent = "8,875"\n'
    prices = (
        PRICES[0],
        ("Yard", "CHS 48,3x3,2", "6.000", "1.131,50", "each"),
        ("Yard", "SHS 40x40x3", 6000, "30,5", "each"),
    )
    parts = (PARTS[0], ("A1", "1.000", "CHS 48,3 x 3,2", "1,2 m"), ("A2", 1, "SHS 40x40x3", 900))
    job = job_of(tmp_path, parts, prices=prices, workshop=workshop)
    assert [offer.bar_price for offer in job.offers] == [1_131_500_000, 30_500_000]
    assert [offer.typed_price for offer in job.offers] == ["1.131,50", "30,5"]
    assert job.parts[0].section.designation == "CHS 48.3x3.2"
    assert job.parts[0].quantity == 1000
    assert (job.workshop.saw.kerf, job.workshop.tax_millionths) == (2_500_000, 88_750)


def test_the_first_hundred_warnings_are_told_and_the_rest_counted(tmp_path: Path) -> None:
    note = ("please take care of this", "", "", "")
    lines = [("Mark", "Quantity", "Section", "Length"), ("A", 1, "SHS 40x40x3", 900)]
    few, many = (job_of(tmp_path, (*lines, *[note] * count)).warnings for count in (90, 400))
    assert len(many) == 101
    assert {warning.found for warning in few} >= {warning.found for warning in many[:100]}
    left = 400 + len(few) - 90 - 100
    assert (many[-1].where, many[-1].found) == ("parts.csv", f"{left} more warnings, which are not shown")
