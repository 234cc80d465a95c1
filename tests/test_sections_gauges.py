"""Gauge tables: thinner with every number, and not one of them like another."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.problems import Refused
from cutplan.sections.gauges import GAUGES, gauge_thickness
from cutplan.sections.names import Notation
from cutplan.sections.spelling import parse
from cutplan.units import INCH


def test_sixteen_gauge_is_another_wall_in_every_table() -> None:
    # BWG: chicagotube.com, ASTM A513. SWG: ashmoreandallen.co.uk/data.htm. US sheet: steel-sections 0.1.0.
    walls = {table: gauge_thickness(table, 16) for table in GAUGES}
    assert walls == {"BWG": Fraction("0.065"), "SWG": Fraction("0.064"), "US sheet": Fraction("0.0598")}


@pytest.mark.parametrize("table", GAUGES)
def test_a_higher_number_is_thinner(table: str) -> None:
    numbers = sorted(GAUGES[table])
    walls = [Fraction(GAUGES[table][number]) for number in numbers]
    assert numbers == list(range(7, 23))
    assert walls == sorted(walls, reverse=True)
    assert len(set(walls)) == len(walls)
    assert gauge_thickness(table, 40) is None


@pytest.mark.parametrize("table", GAUGES)
@pytest.mark.parametrize("typed", ["25x25x16 ga SHS", "SHS 25x25x16ga", "25 x 25 x 16 gauge square tube"])
def test_a_bare_number_is_read_by_the_table_of_the_workshop(typed: str, table: str) -> None:
    wall = gauge_thickness(table, 16)
    assert wall is not None
    assert parse(typed, Notation(gauge=table)).thickness == wall * INCH
    with pytest.raises(Refused, match="the wall as a decimal"):
        parse(typed)


def test_a_table_named_in_the_name_comes_before_the_one_of_the_workshop() -> None:
    assert parse("25x25x16 SWG SHS", Notation(gauge="BWG")).thickness == Fraction("0.064") * INCH
