"""Which sheet, which row, which cells, and warnings about a list as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.model import Job
from cutplan.units import mm_text
from tests.input_files import PARTS, PRICES, job_of, refusal, write_xlsx

H = ("Quantity", "Section", "Length")
ONE = (1, "SHS 40x40x3", 1200)


def lengths(job: Job) -> list[int]:
    return [part.length // 1_000_000 for part in job.parts]


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_title_rows_order_case_and_blank_rows(suffix: str, tmp_path: Path) -> None:
    rows = (
        ("Cutting list", "", "sheet 1"),
        (),
        ("LENGTH", "Item no.", "profile", "No. off"),
        (1200, "007", "SHS 40x40x3", 2),
        ("", "", "", ""),
        (900, "1E5", "SHS 40x40x3", 1),
    )
    job = job_of(tmp_path, rows, suffix=suffix)
    assert [(part.mark, part.quantity, part.row) for part in job.parts] == [("007", 2, 4), ("1E5", 1, 6)]


def test_the_sheet_with_the_headings_is_found(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "parts.xlsx", Cover=(("A garden gate",),), Steel=PARTS, Bolts=(("Bolt", "Quantity"),))
    assert lengths(job_of(tmp_path, path)) == [1200]


def test_a_hidden_second_list_is_warned_about(tmp_path: Path) -> None:
    path = write_xlsx(
        tmp_path / "parts.xlsx", lambda book: setattr(book["Old"], "sheet_state", "hidden"), Parts=PARTS, Old=PARTS
    )
    assert [warning.where for warning in job_of(tmp_path, path).warnings] == ['parts.xlsx, sheet "Old"']


def test_merged_titles_are_no_concern(tmp_path: Path) -> None:
    path = write_xlsx(
        tmp_path / "parts.xlsx", lambda book: book["Parts"].merge_cells("A1:C1"), Parts=(("Gate",), H, ONE)
    )
    assert lengths(job_of(tmp_path, path)) == [1200]


def test_an_empty_column_may_have_any_heading(tmp_path: Path) -> None:
    assert lengths(job_of(tmp_path, ((*H, "Weight", "Length (m)"), (*ONE, "", "")))) == [1200]


def test_of_two_headings_the_filled_column_counts(tmp_path: Path) -> None:
    assert lengths(job_of(tmp_path, (("Length", "Qty", "Size", "Cut length"), ("", 1, "SHS 40x40x3", 700)))) == [700]


@pytest.mark.parametrize(
    ("headings", "section", "grade"),
    [
        (("Quantity", "Material", "Length"), "SHS 40x40x3", ""),
        (("Quantity", "Section", "Length", "Material"), "", "S235"),
    ],
)
def test_material_is_the_section_or_else_the_grade(
    headings: tuple[str, ...], section: str, grade: str, tmp_path: Path
) -> None:
    prices = ((*PRICES[0], "Grade"), *((*row, "S235") for row in PRICES[1:]))
    (part,) = job_of(tmp_path, (headings, (*ONE, "s235")[: len(headings)]), prices=prices).parts
    assert part.section.designation == "SHS 40x40x3"
    assert part.grade == grade


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


def warned(tmp_path: Path, *typed: object) -> list[tuple[str, str]]:
    """Row and cell of each warning that names a cell as typed; those of single parts are told of in statements."""
    job = job_of(tmp_path, (H, *((1, "SHS 40x40x3", length) for length in typed)))
    return [(warning.where.split(",")[1].strip(), warning.found) for warning in job.warnings if warning.found_is_text]


def test_mixed_units_are_warned_about_once(tmp_path: Path) -> None:
    assert warned(tmp_path, 1200, '47 1/4"', "5 ft", 900) == [("row 3", '47 1/4"')]


@pytest.mark.parametrize("typed", [("1200", "1300 mm"), ('47"', "3' 2\""), ("1.2 m", "1200 mm")])
def test_what_is_no_mixture(typed: tuple[str, ...], tmp_path: Path) -> None:
    assert warned(tmp_path, *typed) == []


@pytest.mark.parametrize(
    ("odd", "told"), [(12, True), (1.2, True), (46, True), (48, False), (60, False), (2000, False)]
)
def test_a_length_out_of_scale_with_its_neighbours(odd: float, told: bool, tmp_path: Path) -> None:
    expected = [("row 4", str(odd))] if told else []
    assert warned(tmp_path, 960, 940, odd, 960, 1000) == expected


@pytest.mark.parametrize("typed", ["62 m", "100 ft"])
def test_above_thirty_metres_in_metres_or_feet_is_told(typed: str, tmp_path: Path) -> None:
    prices = (("Merchant", "Section", "Length"), ("Yard", "SHS 40x40x3", "90 m"))
    job = job_of(tmp_path, (H, (1, "SHS 40x40x3", typed), (3, "SHS 40x40x3", "30 m")), prices=prices)
    assert [str(warning) for warning in job.warnings][:2] == [
        f'parts.csv, row 2, column C "Length": found "{typed}".\n'
        "Accepted: a length up to 30 m, or one that is sold and carried in one piece.\n"
        "hint: is another unit meant?",
        'prices.csv, row 2, column C "Length": found "90 m".\n'
        "Accepted: a length up to 30 m, or one that is sold and carried in one piece.\n"
        "hint: is another unit meant?",
    ]


def test_short_parts_among_short_parts_are_in_scale(tmp_path: Path) -> None:
    assert warned(tmp_path, *[2000] * 6, *[40] * 6) == []


def test_few_neighbours_say_nothing(tmp_path: Path) -> None:
    assert warned(tmp_path, 2000, 2000, 12) == []


def test_text_that_begins_like_a_formula_stays_in_a_note(tmp_path: Path) -> None:
    (part,) = job_of(tmp_path, ((*H, "Note"), (*ONE, "=same as A1"))).parts
    assert part.note == "=same as A1"


def test_windows_text_is_warned_about_in_the_job(tmp_path: Path) -> None:
    path = tmp_path / "parts.csv"
    path.write_bytes(b"Quantity,Section,Length,Note\n1,SHS 40x40x3,1200,B\xe9n\xe9\n")
    job = job_of(tmp_path, path)
    assert job.parts[0].note == "Béné"
    assert "Windows-1252" in job.warnings[0].found


def merged(folder: Path, cells: str, *rows: tuple[object, ...]) -> Path:
    return write_xlsx(folder / "parts.xlsx", lambda book: book["Parts"].merge_cells(cells), Parts=rows)


def test_a_cell_merged_down_is_the_value_of_every_row_it_covers(tmp_path: Path) -> None:
    path = merged(tmp_path, "B2:B4", H, ONE, (1, None, 900), (2, None, 300), (4, "SHS 40x40x3", 250))
    job = job_of(tmp_path, path)
    assert [(part.typed_section, part.quantity) for part in job.parts] == [("SHS 40x40x3", n) for n in (1, 1, 2, 4)]
    (warning,) = job.warnings
    assert (warning.where, warning.code) == ('parts.xlsx, sheet "Parts", row 2, column B "Section"', "cell.merged_down")
    assert warning.found == "merged cells B2:B4, read as SHS 40x40x3 in 3 rows"


def test_a_merged_cell_makes_no_part_of_an_empty_row(tmp_path: Path) -> None:
    path = merged(tmp_path, "B2:B4", H, ONE, (None, None, None), (1, None, 900))
    assert lengths(job_of(tmp_path, path)) == [1200, 900]


@pytest.mark.parametrize("cells", ["A2:B2", "B2:C3", "B1:B2"])
def test_cells_merged_across_or_with_a_heading_are_one_problem(tmp_path: Path, cells: str) -> None:
    path = merged(tmp_path, cells, H, ONE, (1, "SHS 40x40x3", 900))
    assert refusal(tmp_path, path).count(": found") == 1


def test_a_million_blank_rows_are_no_list(tmp_path: Path) -> None:
    path = tmp_path / "parts.csv"
    path.write_text("Quantity,Section,Length\n1,SHS 40x40x3,1200\n" + ",,\n" * 150_000, encoding="utf-8")
    assert lengths(job_of(tmp_path, path)) == [1200]


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
    assert (many[-1].where, many[-1].found) == ("parts.csv", f"{left} more warnings, which are not told")
