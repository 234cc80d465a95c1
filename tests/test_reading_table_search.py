"""Which sheet and row hold a list, and what its headings mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.input_files import PARTS, PRICES, job_of, write_xlsx
from tests.sized_lists import ONE, H, lengths


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
