"""Areas, masses and coats by finish and assembly, against printed tables and by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.costing.surfaces import area_of, coats_taken, surfaces_of
from cutplan.model import Allowance, Purpose, Workshop
from cutplan.sections import read_section
from cutplan.units import CURRENCY
from tests.builders import mm, part
from tests.costed import PAINT, ZINC, bench_planned


@pytest.mark.parametrize(
    ("section", "standard", "per_metre"),
    [
        # Superficial area in m2 a metre as printed: EN 10219-2, table of a maker of cold formed sections.
        ("SHS 40x40x3", None, "0.150"),
        ("SHS 50x50x3", None, "0.190"),
        ("SHS 60x60x4", None, "0.226"),
        ("SHS 100x100x3", None, "0.390"),
        # EN 10210-2, hot finished, as a published package of British tables has it.
        ("SHS 20x20x2", "EN 10210-2", "0.0748"),
        # Round by the circumference: pi x 48.3 mm.
        ("CHS 48.3x3.2", None, "0.1517"),
        # Flat by its four sides: 2 x (50 + 6) mm.
        ("FL 50x6", None, "0.112"),
    ],
)
def test_area_of_two_metres_by_the_table(section: str, standard: str | None, per_metre: str) -> None:
    """The ends are little beside it; the last digit of a table is good to half a thousandth of a square metre."""
    piece = part("A", 1, 2000, section=read_section(section, standard=standard, standard_of=Workshop().standard))
    ends = Fraction(2 * piece.section.area_um2, 10**6)
    printed = Fraction(per_metre) * 2 * 10**6
    assert abs(area_of(piece) - ends - printed) <= 2 * 500


def test_area_by_hand() -> None:
    """0.150 m2 a metre over 1 m, and two ends of 400 mm2; mitred at 45 it is 40 mm shorter midway."""
    assert area_of(part("A", 1, 1000)) == 150_000 + 800
    assert area_of(part("A", 1, 1000, mitres=(45, 45))) == 144_000 + 800
    longer = part("A", 1, 1005, allowances=(Allowance(purpose=Purpose.GRINDING, length=mm(5)),))
    assert area_of(longer) == 150_000 + 800


def test_by_finish_and_assembly() -> None:
    frame, shelf = surfaces_of(*bench_planned())
    assert (frame.finish, frame.assembly, frame.pieces, frame.area) == ("black", "frame", 2, 301_600)
    assert (shelf.assembly, shelf.area, shelf.mass, shelf.hollow) == ("shelf", 75_800, 1_500_000, True)


def test_coats_by_hand() -> None:
    """0.3774 m2 twice, at 9 m2 a litre 83.87 ml, so 84 ml of 18.00 a litre; 7.5 kg at 1.20 are 9.00, least 40.00."""
    paint, zinc = coats_taken(surfaces_of(*bench_planned()), [PAINT, ZINC])
    assert (paint.area, paint.millilitres) == (377_400, 84)
    assert paint.amount == Fraction(84 * 18 * CURRENCY, 1000)
    assert paint.minutes == 7_548
    assert (zinc.mass, zinc.least_counts) == (7_500_000, True)
    assert zinc.amount == 40 * CURRENCY
    assert not paint.least_counts


def test_a_coat_that_no_part_gets_is_none() -> None:
    assert coats_taken(surfaces_of(*bench_planned()), [replace(PAINT, on="bright")]) == ()
