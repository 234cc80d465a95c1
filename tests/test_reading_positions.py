"""Positions along a part in workshop notation."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.reading.lists.positions import MOST_POSITIONS, POSITION_FORMS, parse_positions
from cutplan.units import INCH, INCHES, MM, length_text


def mm(text: str, unit: str = "mm") -> list[float]:
    return [position / MM for position in parse_positions(text, unit)]


@pytest.mark.parametrize(
    ("text", "positions"),
    [
        ("50", [50]),
        ("0", [0]),
        ("50, 6 @ 75", [50, 125, 200, 275, 350, 425, 500]),
        ("6 @ 75", [75, 150, 225, 300, 375, 450]),
        ("6 @ 75 = 450", [75, 150, 225, 300, 375, 450]),
        ("50, 2 spaces @ 75, 900", [50, 125, 200, 900]),
        ("900, 50", [900, 50]),
        ("3 equal between 50 and 950", [50, 500, 950]),
        ("3 holes equally spaced from 50 to 950", [50, 500, 950]),
        ("3 eq. spaces between 50 and 950", [50, 350, 650, 950]),
        ('2", 2 @ 4"', [50.8, 152.4, 254]),
    ],
)
def test_forms(text: str, positions: list[float]) -> None:
    assert mm(text) == positions


def test_equal_division_in_inches_is_rounded_figure_by_figure() -> None:
    """12 holes from 2 to 68 1/2 in: 11 spaces of 6.04545... in, each figure to the nearest 1/64 worked by hand.

    Adding a rounded pitch of 6 3/64 in eleven times would end at 68 33/64.
    """
    places = parse_positions("12 equal between 2 and 68 1/2", "in")
    assert (places[0], places[-1], len(places)) == (2 * INCH, 137 * INCH // 2, 12)
    shown = [length_text(place, INCHES, with_unit=False).removeprefix("~") for place in places]
    assert shown[:6] == ["2", "8 3/64", "14 3/32", "20 9/64", "26 3/16", "32 15/64"]
    assert shown[6:] == ["38 17/64", "44 5/16", "50 23/64", "56 13/32", "62 29/64", "68 1/2"]


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("50,125", "a comma needs a blank behind it: 50, 125; and no thousands separator"),
        ("6 @ 75 = 451", "6 @ 75 comes to 450 mm"),
        ("6 @ 0", "a pitch and a number of holes are more than 0"),
        ("0 @ 6", "a pitch and a number of holes are more than 0"),
        ("1 equal between 2 and 3", "equal division needs two holes or more, the nearer end first"),
        ("4 equal between 9 and 3", "equal division needs two holes or more, the nearer end first"),
        ("2, 6 @ 3 in", "a unit at every figure, or at none: bare numbers are mm"),
        ("12 equal between 2 and 68 1/2", "a fraction needs its unit: write 68 1/2 in if inches are meant"),
        ("5O", "letter O where a digit is expected"),
        ("-5", "a length is more than 0"),
    ],
)
def test_refusals_with_a_hint(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refused:
        parse_positions(text)
    assert (refused.value.found, refused.value.accepted, refused.value.hint) == (text, POSITION_FORMS, hint)


@pytest.mark.parametrize("text", ["", "x", "50,", "@ 75", "6 @", "6 x 75", "equal between 1 and 2", "between"])
def test_refusals(text: str) -> None:
    with pytest.raises(Refused):
        parse_positions(text)


@pytest.mark.parametrize("text", ["99999999 @ 1", "1001 @ 1", "600 @ 1, 600 @ 1", "99999 equal between 1 and 2"])
def test_too_many(text: str) -> None:
    with pytest.raises(Refused, match=f"at most {MOST_POSITIONS} holes in a row"):
        parse_positions(text)


def test_units_may_be_mixed_when_every_figure_has_one() -> None:
    assert mm("2 in, 60 mm, 2 @ 1 in", "in") == [50.8, 60, 85.4, 110.8]
    assert mm("50 mm, 60") == [50, 60]


def test_every_example_is_accepted() -> None:
    examples = POSITION_FORMS.removeprefix("distances from end A such as ").split(", or ")
    assert [len(parse_positions(example)) for example in examples] == [1, 7, 12]
