"""Lengths in workshop notation: read exactly or refused."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    FOOT,
    INCH,
    LENGTH_FORMS,
    MAX_LENGTH,
    MM,
    names_unit,
    parse_length,
    parse_length_or_zero,
)


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
    ("text", "named"), [("1200", False), ("1200 mm", True), ('4"', True), ("3′", True), ("1-1/2", False)]
)
def test_a_length_names_its_unit_or_not(text: str, named: bool) -> None:
    assert names_unit(text) is named
