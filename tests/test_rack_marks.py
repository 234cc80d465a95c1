"""Marks: read aloud and painted without doubt, never given twice."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.rack.marks import LETTERS, look_of, mark_of, tidy_mark


def test_the_letter_changes_first() -> None:
    assert [mark_of(number) for number in (0, 1, 13, 14, 28)] == ["A1", "C1", "Y1", "A2", "A3"]
    assert mark_of(14 * 1428 + 13) == "Y1429", "twenty thousand pieces need five characters"
    with pytest.raises(ValueError, match="from 0"):
        mark_of(-1)


def test_marks_given_never_look_alike() -> None:
    marks = [mark_of(number) for number in range(20_000)]
    assert len({look_of(mark) for mark in marks}) == len(marks)
    assert not set("BDGILOQSZNUV") & set("".join(marks))


def test_letters_are_not_read_upside_down() -> None:
    """Turned by half a turn the digits 1, 6, 8, 9 and 0 stay digits, but then the letter stands last."""
    assert all(mark_of(number)[0] in LETTERS and mark_of(number)[1:].isdigit() for number in range(200))


@pytest.mark.parametrize(
    ("typed", "other"), [("k7", "K7"), ("KO", "K0"), ("k o 1", "K0I"), ("RS2", "r5z"), ("B-8", "8-B"), ("G6", "6G")]
)
def test_what_looks_alike_is_one(typed: str, other: str) -> None:
    assert look_of(typed) == look_of(other)


@pytest.mark.parametrize("typed", ["", "  ", "-./", "A" * 21, "K7;", "=1+1", "K'7", "K\n7\x00"])
def test_what_is_no_mark_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="such as K7"):
        tidy_mark(typed)


def test_marks_from_old_lists_stay_as_they_are() -> None:
    assert [tidy_mark(text) for text in ("R01", "top/3", "a-12.b", "é7")] == ["R01", "TOP/3", "A-12.B", "É7"]
