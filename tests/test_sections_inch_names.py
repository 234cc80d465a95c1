"""Inch names are those of the trade, and each is read back as the section it names."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from cutplan import sections
from cutplan.model import Workshop
from cutplan.sections import read_section
from cutplan.sections.inch_names import inch_family, inch_name


@pytest.mark.parametrize(
    ("designation", "name"),
    [
        # Names as in the AISC Shapes Database v16, HSS2X2X1/8 and L2X2X1/4, with x for X; flats and rounds as typed.
        ("SHS 50.8x50.8x3.175", "HSS 2x2x1/8"),
        ("RHS 101.6x50.8x4.7625", "HSS 4x2x3/16"),
        ("SHS 38.1x38.1x3.175", "HSS 1-1/2x1-1/2x1/8"),
        ("CHS 42.164x3.556", "HSS 1.660x0.140"),
        ("EA 50.8x50.8x6.35", "L2x2x1/4"),
        ("EA 152.4x152.4x25.4", 'L6x6x1"'),
        ("FL 76.2x6.35", "FL 3x1/4"),
        ("RD 12.7", "RD 1/2"),
        ("SQ 25.4", 'SQ 1"'),
        ("SHS 40x40x3", "SHS 40x40x3"),
        ("W8X31", "W8X31"),
    ],
)
def test_a_name(designation: str, name: str) -> None:
    assert inch_name(designation) == name


def listed(standard: str) -> list[str]:
    tables = sorted((Path(sections.__file__).parent / "tables").glob("sizes_*.csv"))
    rows = [row for table in tables for row in csv.DictReader(table.open(encoding="utf-8"))]
    return list(dict.fromkeys(row["designation"] for row in rows if row["standard"] == standard))


@pytest.mark.parametrize("standard", ["ASTM A500", "ASTM A36"])
def test_every_listed_american_size_has_an_inch_name_that_is_read_as_that_size(standard: str) -> None:
    """So none of them is a size in inches that was taken for millimetres."""
    sizes = listed(standard)
    assert len(sizes) > 100
    for size in sizes:
        assert inch_name(size) != size
        read = read_section(inch_name(size), standard=standard, standard_of=Workshop().standard, density=7850)
        assert read.designation == size


def test_no_american_angle_has_legs_below_half_an_inch() -> None:
    legs = [Fraction(size.split(" ")[1].split("x")[0]) for size in listed("ASTM A36") if size[0] in "EU"]
    assert min(legs) >= Fraction("12.7")


def test_a_family_by_itself_is_called_as_its_sections_are() -> None:
    assert [inch_family(word) for word in ("SHS", "CHS", "EA", "FL", "RD", "W")] == [
        "HSS",
        "HSS",
        "L",
        "flat",
        "round",
        "W",
    ]
