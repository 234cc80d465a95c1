"""Lengths of a list held against one another."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.input_files import job_of
from tests.sized_lists import H


def warned(tmp_path: Path, *typed: object) -> list[tuple[str, str]]:
    """Row and cell of each warning that names a cell as typed; those of single parts are told of in statements."""
    job = job_of(tmp_path, (H, *((1, "SHS 40x40x3", length) for length in typed)))
    return [(warning.where.split(",")[1].strip(), warning.found) for warning in job.warnings if warning.found_is_text]


def test_mixed_units_are_warned_about_once(tmp_path: Path) -> None:
    assert warned(tmp_path, 1200, '47 1/4"', "5 ft", 900) == [("row 3", '47 1/4"')]


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ((1200, '47"'), "the bare number in row 2 was read as mm"),
        ((1200, '47"', 900), "the 2 bare numbers, first in row 2, were read as mm"),
    ],
)
def test_how_bare_numbers_were_read_is_said(typed: tuple[object, ...], read: str, tmp_path: Path) -> None:
    job = job_of(tmp_path, (H, *((1, "SHS 40x40x3", length) for length in typed)))
    (mixed,) = (warning for warning in job.warnings if warning.code == "length.mixed")
    assert mixed.accepted == f"one unit in a list; {read}"


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
