"""Numbers as people type them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    QUANTITY_FORMS,
    parse_decimal,
    parse_quantity,
    tidy_text,
    unsaid_comma,
    with_point,
)


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
        ("1,5", unsaid_comma("1,5")),
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


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("4", 4),
        ("4.0", 4),
        (" 12 ", 12),
        ("100000", 100_000),
        ("6 pcs", 6),
        ("6 Pcs.", 6),
        ("1 pc", 1),
        ("6pieces", 6),
        ("4 off", 4),
        ("4 No.", 4),
        ("4 nos", 4),
        ("4 ea", 4),
        ("4.0 each", 4),
    ],
)
def test_quantity_is_read(text: str, quantity: int) -> None:
    assert parse_quantity(text) == quantity


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0",
        "2.5",
        "-1",
        "100001",
        "four",
        "1,000",
        "9" * 5000,
        "0 pcs",
        "2.5 pcs",
        "6 m",
        "6 benches",
        "pcs",
        "4 5 off",
    ],
)
def test_quantity_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_quantity(text)
    assert (refusal.value.found, refusal.value.accepted) == (text, QUANTITY_FORMS)


LETTER, PAIR, DOZEN = "letter O where a digit is expected", "a pair is 2 of a part", "a dozen is 12"
FIGURES = "say it in figures: "


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        *[("1O", LETTER), ("1O pcs", LETTER), ("6 benches", ""), ("repair", ""), ("2 x 4", ""), ("one or two", "")],
        *[(text, f"{FIGURES}4") for text in ("four", "Four off", "x4", "4 x", "X 4", "4x", "×4")],
        *[("twelve", f"{FIGURES}12"), ("one pcs", f"{FIGURES}1"), ("x0", "")],
        *[(text, PAIR) for text in ("pair", "a pair", "1 pair", "2 Pairs", "2pr", "2 prs.")],
        *[(text, DOZEN) for text in ("dozen", "a dozen", "2 dozen", "1 doz.", "half dozen", "half a dozen")],
    ],
)
def test_quantity_hints_at_what_may_be_meant(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_quantity(text)
    assert refusal.value.hint.startswith(hint)
    assert bool(refusal.value.hint) == bool(hint)


@pytest.mark.parametrize(
    ("text", "sign", "plain"),
    [
        ("1,200", ".", "1200"),
        ("1,234,567.5", ".", "1234567.5"),
        ("1200.5 mm", ".", "1200.5 mm"),
        ("47 1/4 in.", ".", "47 1/4 in."),
        ("3 ft. 6 in", ",", "3 ft. 6 in"),
        ("1.200", ",", "1200"),
        ("1.200,5", ",", "1200.5"),
        ("6,2 m", ",", "6.2 m"),
        (",5", ",", ".5"),
        ("7.", ".", "7."),
        ("1.234.567 mm", ",", "1234567 mm"),
        ("no number", ",", "no number"),
        ("1200.5", "", "1200.5"),
    ],
)
def test_numbers_are_read_by_the_decimal_sign(text: str, sign: str, plain: str) -> None:
    assert with_point(text, sign, "a number") == plain


COMMA_HINT = "the workshop file says that the decimal sign is a comma; a point only parts thousands, three figures each"
POINT_HINT = "the workshop file says that the decimal sign is a point; a comma only parts thousands, three figures each"


@pytest.mark.parametrize(
    ("text", "sign", "hint"),
    [
        ("1,200", "", unsaid_comma("1,200")),
        ("1.200,5", "", unsaid_comma("1.200,5")),
        ("1.200,5", ".", POINT_HINT),
        ("1,2,3", ".", POINT_HINT),
        ("12,50", ".", POINT_HINT),
        ("0,500", ".", POINT_HINT),
        ("2.5", ",", COMMA_HINT),
        ("1,200.5", ",", COMMA_HINT),
        ("0.500", ",", COMMA_HINT),
        ("1200.000", ",", COMMA_HINT),
    ],
)
def test_numbers_against_the_decimal_sign_are_refused(text: str, sign: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        with_point(text, sign, "a number")
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, "a number", hint)


SAY = "or say which sign is the decimal one with workshop.decimal_sign in the workshop file"


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("1,200", f"a comma may stand for thousands or for decimals: write 1200 or 1.2, {SAY}"),
        ("1,200.5", f"is 1200.5 meant? write that, {SAY}"),
        ("1.200,5", f"is 1200.5 meant? write that, {SAY}"),
        ("32,50 EUR", f"is 32.5 meant? write that, {SAY}"),
        ("2 x 1,234,567 mm", f"is 1234567 meant? write that, {SAY}"),
        ("0,5", f"is 0.5 meant? write that, {SAY}"),
        (
            "1,2,3",
            "a comma may stand for thousands or for decimals: "
            f"write it with a point for decimals and nothing for thousands, {SAY}",
        ),
        ("A, B", ""),
        ("1, 2", ""),
    ],
)
def test_what_a_comma_may_mean(typed: str, hint: str) -> None:
    assert unsaid_comma(typed) == hint
