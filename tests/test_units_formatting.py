"""Lengths and masses as the workshop reads them."""

from __future__ import annotations

import pytest

from cutplan.units import (
    FOOT,
    INCH,
    INCHES,
    METRE,
    MILLIMETRES,
    MM,
    PRINTED_TO,
    UM,
    USUAL,
    Printing,
    density_text,
    kg_text,
    length_text,
    mass_figure,
    mass_text,
    mm_text,
    parse_length,
    rounded_down,
    stock_text,
    typed_length,
)


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (1_200_500_000, "1200.5"),
        (1, "0.000001"),
        (0, "0"),
        (12 * METRE, "12000"),
        (100 * MM, "100"),
        (INCH // 64, "0.396875"),
    ],
)
def test_exact_millimetres(length: int, text: str) -> None:
    assert mm_text(length) == text


SIXTEENTHS = Printing("in", INCH // 16, "lb")
HALVES = Printing("mm", 500 * UM)


@pytest.mark.parametrize(
    ("length", "how", "text"),
    [
        (1_200_500_000, MILLIMETRES, "1200.5 mm"),
        (1_200_000_000, MILLIMETRES, "1200 mm"),
        (1_587_500, MILLIMETRES, "~1.6 mm"),
        (0, MILLIMETRES, "0 mm"),
        (-MM, MILLIMETRES, "-1 mm"),
        (-1, MILLIMETRES, "~0 mm"),
        (1_200_500_000, HALVES, "1200.5 mm"),
        (1_200_300_000, HALVES, "~1200.5 mm"),
        (1_200_200_000, HALVES, "~1200 mm"),
        (47 * INCH + INCH // 4, INCHES, "47 1/4 in"),
        (INCH // 2, INCHES, "1/2 in"),
        (3 * INCH, INCHES, "3 in"),
        (0, INCHES, "0 in"),
        (10 * MM, INCHES, "~25/64 in"),
        (-INCH // 2, INCHES, "-1/2 in"),
        (47 * INCH + INCH // 4, SIXTEENTHS, "47 1/4 in"),
        (47 * INCH + INCH // 32, SIXTEENTHS, "~47 1/16 in"),
        (INCH - INCH // 64, SIXTEENTHS, "~1 in"),
    ],
)
def test_length_as_the_workshop_reads_it(length: int, how: Printing, text: str) -> None:
    assert length_text(length, how) == text


@pytest.mark.parametrize(
    ("length", "how", "text"),
    [
        (6_500 * MM, MILLIMETRES, "6.5 m"),
        (6 * METRE, MILLIMETRES, "6 m"),
        (6_000_400_000, MILLIMETRES, "~6 m"),
        (6_000_500_000, HALVES, "~6.001 m"),
        (47 * INCH + INCH // 4, INCHES, "3 ft 11 1/4 in"),
        (20 * FOOT, INCHES, "20 ft"),
        (INCH // 2, INCHES, "1/2 in"),
        (1000 * MM, INCHES, "~3 ft 3 3/8 in"),
        (1000 * MM, SIXTEENTHS, "~3 ft 3 3/8 in"),
        (FOOT - 1000, INCHES, "~1 ft"),
        (2 * FOOT - 1000, INCHES, "~2 ft"),
        (-(FOOT + INCH), INCHES, "-1 ft 1 in"),
    ],
)
def test_long_length_as_merchants_say_it(length: int, how: Printing, text: str) -> None:
    assert stock_text(length, how) == text


def test_length_without_its_unit() -> None:
    assert length_text(1_200_500_000, with_unit=False) == "1200.5"
    assert length_text(47 * INCH + INCH // 4, INCHES, with_unit=False) == "47 1/4"


def test_a_length_that_must_not_look_larger_is_rounded_down() -> None:
    assert rounded_down(4_199_999, MILLIMETRES) == "4.1 mm"
    assert rounded_down(INCH // 16 - 1, SIXTEENTHS) == "0 in"


def test_a_kerf_is_printed_finely_whatever_lengths_are_printed_to() -> None:
    assert SIXTEENTHS.fine == Printing("in", INCH // 64, "lb")
    assert length_text(3 * INCH // 32, SIXTEENTHS.fine) == "3/32 in"


@pytest.mark.parametrize(
    ("how", "step"),
    [
        (MILLIMETRES, MM),
        (INCHES, INCH // 16),
        (Printing("in", INCH // 8, "lb"), INCH // 8),
    ],
)
def test_the_step_of_what_others_measure_off(how: Printing, step: int) -> None:
    assert how.measured_off == step
    # What is a whole number of steps is printed as it is.
    assert "~" not in length_text(777 * step, how)


@pytest.mark.parametrize(
    "wrong", [("cm", 100 * UM, "kg"), ("mm", INCH // 16, "kg"), ("in", 500 * UM, "lb"), ("mm", 100 * UM, "stone")]
)
def test_no_other_way_of_printing(wrong: tuple[str, int, str]) -> None:
    with pytest.raises(ValueError, match="are printed"):
        Printing(*wrong)


@pytest.mark.parametrize("unit", PRINTED_TO)
def test_every_step_bears_its_own_name(unit: str) -> None:
    for word, step in PRINTED_TO[unit].items():
        assert parse_length(word) == step
        assert length_text(step, Printing(unit, step)) == word
    assert USUAL[unit].finest == next(iter(PRINTED_TO[unit].values()))


def test_typed_length_reads_back_exactly() -> None:
    assert typed_length(47 * INCH + INCH // 4, "in") == "47 1/4 in"
    assert typed_length(10 * MM, "in") == "10 mm"
    assert typed_length(1_587_500) == "1.5875 mm"


@pytest.mark.parametrize(
    ("mass", "how", "text"),
    [
        (27_625_000, MILLIMETRES, "27.6 kg"),
        (27_650_000, MILLIMETRES, "27.7 kg"),
        # 1 lb = 0.45359237 kg exactly: NIST Special Publication 811 (2008), appendix B.6.
        (453_592, INCHES, "1.0 lb"),
        (25_000_000, INCHES, "55.1 lb"),
        (10_000_000, Printing("mm", 100 * UM, "lb"), "22.0 lb"),
    ],
)
def test_mass_as_the_workshop_reads_it(mass: int, how: Printing, text: str) -> None:
    assert mass_text(mass, how) == text
    assert f"{mass_figure(mass, how)} {how.mass_unit}" == text


def test_kilograms_for_json_are_rounded_to_the_places_asked_for() -> None:
    assert kg_text(27_625_000) == "27.6"
    assert kg_text(27_625_000, 0) == "28"


def test_density_as_the_workshop_reads_it() -> None:
    # NIST SP 811 (2008), appendix B.8: 1 lb/ft3 = 16.01846 kg/m3, so 7850 kg/m3 is 490.06 lb/ft3.
    assert density_text(7850, MILLIMETRES) == "7850 kg per cubic metre"
    assert density_text(7850, INCHES) == "490.1 lb per cubic foot"
