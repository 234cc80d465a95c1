"""Words for units of length, held against pint."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from typing import Any

import pint
import pytest

from cutplan.units import (
    EVERYDAY_UNITS,
    FOOT,
    INCH,
    METRE,
    MM,
    POUND_IN_KG,
    UM,
    unit_length,
)


def test_everyday_units_are_those_of_pint() -> None:
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction)
    for word, size in EVERYDAY_UNITS.items():
        assert registry.Quantity(Fraction(1), word).to("nanometer").magnitude == size
    assert registry.Quantity(Fraction(1), "pound").to("kilogram").magnitude == POUND_IN_KG


@pytest.mark.thorough
def test_pint_is_not_loaded_for_everyday_units() -> None:
    script = (
        "import sys; from cutplan.units import parse_length; parse_length('3 ft 6 1/2 in'); parse_length('1.2 m'); "
        "assert 'pint' not in sys.modules; parse_length('2 yards'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize(
    ("word", "size"),
    [
        ("mm", MM),
        ("MM", MM),
        ("Inches", INCH),
        ('"', INCH),
        ("''", INCH),
        ("'", FOOT),
        ("feet", FOOT),
        ("meter", METRE),
        ("yard", 3 * FOOT),
        ("um", UM),
        ("kg", None),
        ("parrot", None),
        ("if", None),
        ("nan", None),
        ("e", None),
        ("lambda", None),
    ],
)
def test_unit_words(word: str, size: int | None) -> None:
    assert unit_length(word) == size
