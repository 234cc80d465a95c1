"""Lengths written and read again are the same lengths; no text brings the grammar down."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from cutplan.problems import Refused
from cutplan.units import (
    INCH,
    MAX_LENGTH,
    exact_money_text,
    length_text,
    mm_text,
    parse_angle,
    parse_length,
    parse_money,
    parse_quantity,
)

lengths = st.integers(1, MAX_LENGTH)
sixtyfourths = st.integers(1, MAX_LENGTH * 64 // INCH).map(lambda part: part * INCH // 64)


@given(lengths)
def test_exact_millimetres_read_back(length: int) -> None:
    assert parse_length(mm_text(length)) == length
    assert Fraction(mm_text(length)) * 1_000_000 == length


@given(sixtyfourths)
def test_inch_fractions_read_back(length: int) -> None:
    assert parse_length(length_text(length, "in")) == length
    assert parse_length(length_text(length, "ft")) == length
    assert parse_length(length_text(length, "in", with_unit=False), "in") == length


@given(lengths)
def test_rounded_texts_are_within_half_their_last_figure(length: int) -> None:
    tenth = parse_length(length_text(length + 100_000)) if length < MAX_LENGTH - 200_000 else None
    assert tenth is None or abs(tenth - 100_000 - length) <= 50_000
    for unit in ("in", "ft"):
        text = length_text(length, unit)
        exact = length * 64 % INCH == 0
        assert text.startswith("~") is not exact


@given(st.integers(0, 10**13))
def test_exact_money_reads_back(money: int) -> None:
    assert parse_money(exact_money_text(money)) == money


@given(st.one_of(st.text(max_size=20), st.text(alphabet="0123456789 .,-/'\"mftinc½", max_size=20)))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (parse_length, parse_angle, parse_money, parse_quantity):
        try:
            parse(text)
        except Refused as refusal:
            found = refusal.found
        else:
            found = text
        assert found == text
