"""Lengths, angles, masses and money: the notation of the workshop in and out, exactly."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from cutplan.problems import Refused
from cutplan.units import (
    ANGLE_FORMS,
    CURRENCY,
    DEGREE,
    EVERYDAY_UNITS,
    FOOT,
    INCH,
    KG,
    LENGTH_FORMS,
    MAX_LENGTH,
    METRE,
    MM,
    MONEY_FORMS,
    POUND_IN_KG,
    QUANTITY_FORMS,
    ROUNDED_UP_TO,
    TONNE,
    UM,
    angle_text,
    ceil_div,
    exact_money_text,
    kerf_along,
    kg_text,
    length_text,
    mitre_run,
    mm_text,
    money_text,
    names_unit,
    parse_angle,
    parse_decimal,
    parse_length,
    parse_length_or_zero,
    parse_money,
    parse_quantity,
    round_half_up,
    tidy_text,
    unit_length,
)


def test_inch_and_pound_are_those_of_1959() -> None:
    # International yard and pound agreement of 1959; NIST Special Publication 811 (2008), appendix B:
    # 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 lb = 0.45359237 kg, all exact.
    assert Fraction(INCH, MM) == Fraction("25.4")
    assert Fraction(FOOT, MM) == Fraction("304.8")
    assert Fraction("0.45359237") == POUND_IN_KG


def test_everyday_units_are_those_of_pint() -> None:
    registry = pint.UnitRegistry(non_int_type=Fraction)
    for word, size in EVERYDAY_UNITS.items():
        assert registry.Quantity(Fraction(1), word).to("nanometer").magnitude == size
    assert registry.Quantity(Fraction(1), "pound").to("kilogram").magnitude == POUND_IN_KG


def test_scales_fit_together() -> None:
    assert (UM, MM, METRE) == (10**3, 10**6, 10**9)
    assert (KG, TONNE) == (10**6, 10**9)
    assert INCH % 64 == 0


def test_pint_is_not_loaded_for_everyday_units() -> None:
    script = (
        "import sys; from cutplan.units import parse_length; parse_length('3 ft 6 1/2 in'); parse_length('1.2 m'); "
        "assert 'pint' not in sys.modules; parse_length('2 yards'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("1200", 1200 * MM),
        ("6200.5", 6_200_500_000),
        (".5", 500_000),
        ("1200 mm", 1200 * MM),
        ("1200mm", 1200 * MM),
        ("1200 MM", 1200 * MM),
        ("1.2 m", 1200 * MM),
        ("6.2m", 6200 * MM),
        ("120 cm", 1200 * MM),
        ("1 m 200 mm", 1200 * MM),
        ("2 metres", 2000 * MM),
        ("1200 millimetres", 1200 * MM),
        ("0.000001", 1),
        ('47 1/4"', 47 * INCH + INCH // 4),
        ('47-1/4"', 47 * INCH + INCH // 4),
        ('47¼"', 47 * INCH + INCH // 4),
        ('47 1⁄4"', 47 * INCH + INCH // 4),
        ("47 1/4 in", 47 * INCH + INCH // 4),
        ("47 1/4 in.", 47 * INCH + INCH // 4),
        ("47.25 inches", 47 * INCH + INCH // 4),
        ("1-1/2 in", INCH + INCH // 2),
        ("5/8 in", 5 * INCH // 8),
        ("1/64 in", INCH // 64),
        ("3' 11-1/4\"", 47 * INCH + INCH // 4),
        ("3'11 1/4\"", 47 * INCH + INCH // 4),
        ("3′ 11¼″", 47 * INCH + INCH // 4),
        ("3’ 11¼”", 47 * INCH + INCH // 4),
        ("3'-11 1/4\"", 47 * INCH + INCH // 4),
        ("3' 11 1/4''", 47 * INCH + INCH // 4),
        ("3 ft 11 1/4 in", 47 * INCH + INCH // 4),
        ("3 ft. 11 1/4 in.", 47 * INCH + INCH // 4),
        ("3 feet 11.25 inch", 47 * INCH + INCH // 4),
        ("20'", 20 * FOOT),
        ("20' 4 1/8\"", 20 * FOOT + 4 * INCH + INCH // 8),
        ("2 yards", 6 * FOOT),
        ("  1200 ", 1200 * MM),
        ("1200\u00a0mm", 1200 * MM),
        ("100 m", MAX_LENGTH),
    ],
)
def test_length_is_read_exactly(text: str, length: int) -> None:
    assert parse_length(text) == length


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("47 1/4", 47 * INCH + INCH // 4),
        ("47.25", 47 * INCH + INCH // 4),
        ("5/8", 5 * INCH // 8),
        ("1200 mm", 1200 * MM),
    ],
)
def test_bare_number_takes_the_unit_given(text: str, length: int) -> None:
    assert parse_length(text, "in") == length


def test_pint_would_have_misread_shop_notation() -> None:
    assert parse_length("1 5/8 in") == INCH + 5 * INCH // 8 != 15_875_000


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", ""),
        ("long", ""),
        ("1,200", "a comma may stand for thousands or for decimals: write 1200 or 1.2"),
        ("1,2 m", "a comma may stand for thousands or for decimals: write 1200 or 1.2"),
        ("12O0", "letter O where a digit is expected"),
        ("l200", "letter l or I where a digit is expected"),
        ("0", "a length is more than 0"),
        ("0.0 m", "a length is more than 0"),
        ("-5", "a length is more than 0"),
        ("−5 mm", "a length is more than 0"),
        ("1 200", ""),
        ("12 34", ""),
        ("3' 6", ""),
        ("6 in 3 ft", "the larger unit comes first, each unit once"),
        ("3 ft 2 ft", "the larger unit comes first, each unit once"),
        ("1/0 in", "a fraction with nothing below the line"),
        ("47 1/4", "a fraction needs its unit: write 47 1/4 in if inches are meant"),
        ("1/2", "a fraction needs its unit: write 1/2 in if inches are meant"),
        ("1/3 in", "finer than a millionth of a millimetre: round it"),
        ("0.0000001", "finer than a millionth of a millimetre: round it"),
        ("2**3**9 m", ""),
        ("1e3", ""),
        ("5 kg", ""),
        ("5 parrots", ""),
        ("5 degC", ""),
        ("nan", ""),
        ("12 -", ""),
        ("1200 mm x", ""),
        ("9" * 5000, ""),
    ],
)
def test_length_is_refused(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_length(text)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, LENGTH_FORMS, hint)


def test_length_beyond_reason_is_refused_with_the_limit() -> None:
    with pytest.raises(Refused) as refusal:
        parse_length("6200 m")
    assert refusal.value.accepted == "at most 100 m a length"
    with pytest.raises(Refused):
        parse_length("100000.000001")


def test_zero_is_a_setting_but_not_a_length() -> None:
    assert parse_length_or_zero("0 mm") == 0
    assert parse_length_or_zero("2.5") == 2_500_000
    with pytest.raises(Refused):
        parse_length_or_zero("-1")


@pytest.mark.parametrize(
    ("forms", "parse"),
    [
        (LENGTH_FORMS, parse_length),
        (ANGLE_FORMS, parse_angle),
        (MONEY_FORMS, parse_money),
        (QUANTITY_FORMS, parse_quantity),
    ],
)
def test_every_example_given_is_accepted(forms: str, parse: object) -> None:
    assert callable(parse)
    examples = [
        example.strip()
        for listed in re.findall(r"such as ([^,;]*)", forms)
        for example in re.split(r"\bor\b", listed)
        if example.strip()
    ]
    assert examples
    for example in examples:
        parse(example)


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


@pytest.mark.parametrize(
    ("text", "named"), [("1200", False), ("1200 mm", True), ('4"', True), ("3′", True), ("1-1/2", False)]
)
def test_a_length_names_its_unit_or_not(text: str, named: bool) -> None:
    assert names_unit(text) is named


def test_tidying_writes_glyphs_out() -> None:
    assert tidy_text("  47½  ″ ") == '47 1/2 "'
    assert tidy_text("¾’") == "3/4'"


@pytest.mark.parametrize(
    ("text", "value"), [("31.50", "31.50"), ("7", "7"), (".5", "0.5"), ("7.", "7"), ("0", "0"), (" 12 ", "12")]
)
def test_decimal_is_read(text: str, value: str) -> None:
    assert parse_decimal(text, "a number") == Decimal(value)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", ""),
        ("twelve", ""),
        ("1,5", "a comma may stand for thousands or for decimals: write 1200 or 1.2"),
        ("1O", "letter O where a digit is expected"),
        ("-3", "a negative amount has no meaning here"),
        ("1e5", ""),
        ("nan", ""),
        ("inf", ""),
        ("9" * 5000, ""),
    ],
)
def test_decimal_is_refused(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_decimal(text, "a number")
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, "a number", hint)


def test_money_is_rounded_once_to_a_millionth() -> None:
    assert parse_money("31.50") == 31_500_000
    assert parse_money("0.0000004") == 0
    assert parse_money("0.0000005") == 1
    assert parse_money("10000000") == 10_000_000 * CURRENCY
    with pytest.raises(Refused, match="up to 10000000"):
        parse_money("10000000.01")
    with pytest.raises(Refused):
        parse_money("$31.50")


@pytest.mark.parametrize(
    ("text", "angle"),
    [
        ("45", 45 * DEGREE),
        ("22.5", 22_500_000),
        ("22 1/2", 22_500_000),
        ("0", 0),
        ("45°", 45 * DEGREE),
        ("45 deg", 45 * DEGREE),
        ("45 Degrees", 45 * DEGREE),
        ("1 degree", DEGREE),
        ("75", 75 * DEGREE),
    ],
)
def test_angle_is_read(text: str, angle: int) -> None:
    assert parse_angle(text) == angle


@pytest.mark.parametrize("text", ["", "-45", "75.1", "steep", "45,5", "1/0", "30.0000001", "9" * 5000])
def test_angle_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_angle(text)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, ANGLE_FORMS, "")


@pytest.mark.parametrize("text", ["90", "90.0", "90°"])
def test_ninety_is_asked_about(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_angle(text)
    assert refusal.value.hint.startswith("is a square end meant?")


@pytest.mark.parametrize(("text", "quantity"), [("4", 4), ("4.0", 4), (" 12 ", 12), ("100000", 100_000)])
def test_quantity_is_read(text: str, quantity: int) -> None:
    assert parse_quantity(text) == quantity


@pytest.mark.parametrize("text", ["", "0", "2.5", "-1", "100001", "four", "1,000", "9" * 5000])
def test_quantity_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_quantity(text)
    assert (refusal.value.found, refusal.value.accepted) == (text, QUANTITY_FORMS)


def test_quantity_hints_at_letters() -> None:
    with pytest.raises(Refused) as refusal:
        parse_quantity("1O")
    assert refusal.value.hint == "letter O where a digit is expected"


@pytest.mark.parametrize(("value", "rounded"), [("0.5", 1), ("0.49", 0), ("1.5", 2), ("2", 2), ("2.51", 3)])
def test_halves_are_rounded_up(value: str, rounded: int) -> None:
    assert round_half_up(Fraction(value)) == rounded


@pytest.mark.parametrize(("value", "step", "up"), [(0, 3, 0), (1, 3, 1), (3, 3, 1), (4, 3, 2)])
def test_division_rounded_up(value: int, step: int, up: int) -> None:
    assert ceil_div(value, step) == up


@pytest.mark.parametrize(
    ("kerf", "degrees", "along"),
    [
        # 2.5 at 45 degrees is 3.536 (trade sum k / cos); rounded up to 0.1 mm.
        ("2.5", "45", "3.6"),
        ("2.5", "0", "2.5"),
        ("3.175", "0", "3.175"),
        ("2.5", "60", "5"),
        ("3", "60", "6"),
        ("2.5", "22.5", "2.8"),
        ("0", "45", "0"),
        ("2.5", "75", "9.7"),
        ("2.5", "0.000001", "2.5"),
    ],
)
def test_kerf_along_the_bar(kerf: str, degrees: str, along: str) -> None:
    angle = int(Fraction(degrees) * DEGREE)
    assert mm_text(kerf_along(int(Fraction(kerf) * MM), angle)) == along


@pytest.mark.parametrize(
    ("depth", "degrees", "run"),
    [
        # 50 mm deep: 50.0 at 45 degrees and 20.7 at 22.5 (20.711, rounded up).
        ("50", "45", "50"),
        ("50", "22.5", "20.8"),
        ("50.8", "45", "50.8"),
        ("33.337", "45", "33.337"),
        ("50", "0", "0"),
        ("50", "75", "186.7"),
    ],
)
def test_mitre_run(depth: str, degrees: str, run: str) -> None:
    angle = int(Fraction(degrees) * DEGREE)
    assert mm_text(mitre_run(int(Fraction(depth) * MM), angle)) == run


def test_trigonometry_never_falls_short_and_never_wastes_more_than_its_step() -> None:
    for tenth in range(1, 751):
        angle = tenth * DEGREE // 10
        radians = math.radians(tenth / 10)
        assert -1 <= kerf_along(2_500_000, angle) - 2_500_000 / math.cos(radians) < ROUNDED_UP_TO
        assert -1 <= mitre_run(50 * MM, angle) - 50 * MM * math.tan(radians) < ROUNDED_UP_TO


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


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (1_200_500_000, "mm", "1200.5 mm"),
        (1_200_000_000, "mm", "1200 mm"),
        (1_587_500, "mm", "1.6 mm"),
        (0, "mm", "0 mm"),
        (6_500 * MM, "m", "6.5 m"),
        (6 * METRE, "m", "6 m"),
        (6_000_400_000, "m", "6 m"),
        (47 * INCH + INCH // 4, "in", "47 1/4 in"),
        (INCH // 2, "in", "1/2 in"),
        (3 * INCH, "in", "3 in"),
        (0, "in", "0 in"),
        (10 * MM, "in", "~25/64 in"),
        (-INCH // 2, "in", "-1/2 in"),
        (47 * INCH + INCH // 4, "ft", "3 ft 11 1/4 in"),
        (20 * FOOT, "ft", "20 ft"),
        (INCH // 2, "ft", "1/2 in"),
        (1000 * MM, "ft", "~3 ft 3 3/8 in"),
        (FOOT - 1000, "ft", "~1 ft"),
        (2 * FOOT - 1000, "ft", "~2 ft"),
        (-(FOOT + INCH), "ft", "-1 ft 1 in"),
    ],
)
def test_length_as_the_workshop_reads_it(length: int, unit: str, text: str) -> None:
    assert length_text(length, unit) == text


def test_length_without_its_unit() -> None:
    assert length_text(1_200_500_000, with_unit=False) == "1200.5"
    assert length_text(47 * INCH + INCH // 4, "in", with_unit=False) == "47 1/4"


def test_unknown_unit_of_a_text_is_a_mistake_in_the_program() -> None:
    with pytest.raises(ValueError, match="furlong"):
        length_text(MM, "furlong")


def test_texts_of_angle_mass_and_money() -> None:
    assert angle_text(22_500_000) == "22.5"
    assert angle_text(45 * DEGREE) == "45"
    assert kg_text(27_625_000) == "27.6"
    assert kg_text(27_650_000) == "27.7"
    assert kg_text(27_625_000, 0) == "28"
    assert money_text(31_500_000) == "31.50"
    assert money_text(-31_505_000) == "-31.51"
    assert money_text(-1) == "0.00"
    assert money_text(5_000, 0) == "0"
    assert exact_money_text(31_500_000) == "31.5"
    assert exact_money_text(1) == "0.000001"
    assert exact_money_text(-2_000_000) == "-2"
