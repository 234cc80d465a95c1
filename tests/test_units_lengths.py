"""Lengths in workshop notation: read exactly or refused."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    FOOT,
    INCH,
    LENGTH_FORMS,
    MAX_LENGTH,
    METRE,
    MM,
    names_unit,
    parse_length,
    parse_length_or_zero,
    unsaid_comma,
)

SUMS = "sums are not worked out here: write what it comes to"


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
        ("30000", 30 * METRE),
        ("36 m", 36 * METRE),
        ("118 ft 1 1/4 in", 118 * FOOT + INCH + INCH // 4),
        ("5' 0\"", 5 * FOOT),
        ("6 mtr", 6 * METRE),
        ("6 mtrs.", 6 * METRE),
        ("4 ins", 4 * INCH),
        ("⅝″", 5 * INCH // 8),
        ("⅒ in", 2_540_000),
        ("7⅞ in", 7 * INCH + 7 * INCH // 8),
        ("1³⁄₁₆ in", INCH + 3 * INCH // 16),
        ("³⁄₁₆ in", 3 * INCH // 16),
        ("6´ 2˝", 74 * INCH),
        ("6‛ 2‟", 74 * INCH),
        ("3′′", 3 * INCH),
        ("47‑1/4 in", 47 * INCH + INCH // 4),
        ("5∕8 in", 5 * INCH // 8),
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
        *[(text, "a length is written out in every row") for text in ("ditto", "Do.", '"', "〃")],
        ("", ""),
        ("long", ""),
        ("1,200", unsaid_comma("1,200")),
        ("1,2 m", unsaid_comma("1,2 m")),
        ("12O0", "letter O where a digit is expected"),
        ("1,2OO", "letter O where a digit is expected"),
        ("l200", "letter l or I where a digit is expected"),
        ("0", "a length is more than 0"),
        ("0.0 m", "a length is more than 0"),
        ("-5", "a length is more than 0"),
        ("−5 mm", "a length is more than 0"),
        ("1 200", "no space within a number: write 1200"),
        ("1 200 mm", "no space within a number: write 1200 mm"),
        ("12 34", ""),
        ("3' 6", "write 3' 6\" if inches are meant"),
        ("3 ft 6 1/2", 'write 3 ft 6 1/2" if inches are meant'),
        ("6 in 3 ft", "the larger unit comes first, each unit once"),
        ("3 ft 2 ft", "the larger unit comes first, each unit once"),
        ("1/0 in", "a fraction with nothing below the line"),
        ("47 1/4", "a fraction needs its unit: write 47 1/4 in if inches are meant"),
        ("1/2", "a fraction needs its unit: write 1/2 in if inches are meant"),
        ("1/3 in", "finer than a millionth of a millimetre: round it"),
        ("0.0000001", "finer than a millionth of a millimetre: round it"),
        ("2**3**9 m", SUMS),
        ("2**9", SUMS),
        ("1200+50", SUMS),
        ("=1200*2", SUMS),
        ("1 5/0", "a fraction with nothing below the line"),
        ("1 5/0 in", "a fraction with nothing below the line"),
        ("47 5/4 in", "5/4 behind a whole number is not less than one"),
        ("47 4/4 in", "4/4 behind a whole number is not less than one"),
        ("6'14\"", "the smaller unit makes up the larger one: write 7 ft 2 in if that is meant"),
        ("6 ft 12 in", "the smaller unit makes up the larger one: write 7 ft if that is meant"),
        ("1 m 1200 mm", "the smaller unit makes up the larger one: write 2.2 m if that is meant"),
        ("1 m 1000.5 mm", "the smaller unit makes up the larger one"),
        ("1.5 ft 3 in", "a part of the larger unit, and the smaller beside it: write one of them"),
        ("1/2' 3\"", "a part of the larger unit, and the smaller beside it: write one of them"),
        ("1.200,5", unsaid_comma("1.200,5")),
        ("-3'", "a length is more than 0"),
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


@pytest.mark.parametrize(
    ("text", "unit", "hint"),
    [
        ("62000", "mm", "is another unit meant? else write 62 m"),
        ("62", "m", "is another unit meant? else write 62 m"),
        ("30000.001 mm", "mm", "is another unit meant?"),
        ("2441", "in", "is another unit meant? else write 203 ft 5 in"),
        ("1181.5 in", "mm", "is another unit meant? else write 98 ft 5 1/2 in"),
    ],
)
def test_above_thirty_metres_is_asked_about(text: str, unit: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_length(text, unit)
    assert (refusal.value.accepted, refusal.value.hint) == ("a length up to 30 m", hint)
    if "write" in hint:
        parse_length(hint.split("write ")[1])


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
