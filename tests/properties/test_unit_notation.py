"""Lengths written and read again are the same lengths; no text brings the grammar down."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from cutplan.problems import Refused
from cutplan.units import (
    ASKED_ABOVE,
    INCH,
    INCHES,
    MM,
    PRINTED_TO,
    Printing,
    exact_money_text,
    length_text,
    mm_text,
    parse_angle,
    parse_length,
    parse_length_or_zero,
    parse_money,
    parse_quantity,
    stock_text,
)

lengths = st.integers(1, ASKED_ABOVE)
sixtyfourths = st.integers(1, ASKED_ABOVE * 64 // INCH).map(lambda part: part * INCH // 64)


@given(lengths)
def test_exact_millimetres_read_back(length: int) -> None:
    assert parse_length(mm_text(length)) == length
    assert Fraction(mm_text(length)) * 1_000_000 == length


@given(sixtyfourths)
def test_inch_fractions_read_back(length: int) -> None:
    assert parse_length(length_text(length, INCHES)) == length
    assert parse_length(stock_text(length, INCHES)) == length
    assert parse_length(length_text(length, INCHES, with_unit=False), "in") == length


@given(
    st.integers(1, ASKED_ABOVE - INCH),
    st.sampled_from([Printing(unit, step) for unit in PRINTED_TO for step in PRINTED_TO[unit].values()]),
)
def test_printed_lengths_read_back_or_say_that_they_are_rounded(length: int, how: Printing) -> None:
    for text, step in ((length_text(length, how), how.finest), (stock_text(length, how), max(how.finest, MM))):
        read = parse_length_or_zero(text.removeprefix("~"))
        assert (read == length) is not text.startswith("~")
        assert abs(read - length) * 2 <= step


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
