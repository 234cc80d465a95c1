"""How a user is told that something is wrong."""

from __future__ import annotations

import errno

import pytest

from cutplan.problems import (
    NoPlan,
    Problem,
    ProblemsFound,
    Refused,
    disk_full,
    nearest,
    problems_text,
    shown,
    to_be_written,
)

LENGTHS = "millimetres such as 6200"


def problem(row: int, hint: str = "") -> Problem:
    return Problem(
        code="length.unreadable", where=f"parts.csv, row {row}, column C", found="6,2OO", accepted=LENGTHS, hint=hint
    )


def test_refusal_says_what_was_found_and_what_is_accepted() -> None:
    refused = Refused("6,2OO", LENGTHS, "letter O where a digit is expected", code="length.unreadable")
    assert str(refused) == 'found "6,2OO". Accepted: millimetres such as 6200'
    assert (refused.found, refused.accepted, refused.hint) == (
        "6,2OO",
        LENGTHS,
        "letter O where a digit is expected",
    )
    assert isinstance(refused, ValueError)


def test_problem_places_a_refusal() -> None:
    placed = Problem.at(
        "parts.csv, row 4, column C",
        Refused("6,2OO", LENGTHS, "letter O where a digit is expected", code="length.unreadable"),
    )
    assert placed == problem(4, "letter O where a digit is expected")
    assert str(placed) == (
        'parts.csv, row 4, column C: found "6,2OO".\n'
        "Accepted: millimetres such as 6200.\n"
        "hint: letter O where a digit is expected"
    )


def test_problem_without_hint_takes_two_lines() -> None:
    assert str(problem(4)) == 'parts.csv, row 4, column C: found "6,2OO".\nAccepted: millimetres such as 6200.'


def test_a_statement_is_not_put_in_quotes() -> None:
    missing = Problem(
        code="heading.missing",
        where="parts.csv",
        found="no column Length",
        accepted="a heading Length",
        found_is_text=False,
    )
    assert str(missing) == "parts.csv: found no column Length.\nAccepted: a heading Length."


def test_problems_come_together_in_order() -> None:
    with pytest.raises(ProblemsFound) as raised:
        raise ProblemsFound(problem(row) for row in (2, 3))
    assert raised.value.problems == (problem(2), problem(3))
    assert str(raised.value) == f"{problem(2)}\n{problem(3)}"


def test_only_the_first_hundred_are_shown_with_the_total() -> None:
    hundred = problems_text(tuple(problem(row) for row in range(101)))
    assert hundred.count("found") == 101
    assert "in total" not in hundred
    more = problems_text(tuple(problem(row) for row in range(125)))
    assert more.startswith(hundred)
    assert more.endswith("\n... 125 problems in total, the first 101 are shown.")


def test_no_plan_carries_its_message() -> None:
    assert str(NoPlan("B12 needs 7320 mm; the longest bar gives 5980 mm", code="plan.impossible")) == (
        "B12 needs 7320 mm; the longest bar gives 5980 mm"
    )


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("Lenght", 'did you mean "Length"?'),
        ("LENGTH", 'did you mean "Length"?'),
        ("quantty", 'did you mean "Quantity"?'),
        ("colour", ""),
        ("", ""),
    ],
)
def test_nearest_known_word_is_offered(word: str, hint: str) -> None:
    assert nearest(word, ["Mark", "Quantity", "Length"]) == hint


@pytest.mark.parametrize(
    ("error", "full"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), True),
        (OSError(errno.EDQUOT, "Disk quota exceeded"), True),
        (PermissionError(errno.EACCES, "Permission denied"), False),
        (OSError("links that go in circles"), False),
        (ValueError("embedded null byte"), False),
    ],
)
def test_on_a_full_disk_room_is_accepted(error: Exception, full: bool) -> None:
    assert disk_full(error) == full
    assert to_be_written(error, "a folder") == ("a disk with room for it" if full else "a folder")


def test_nothing_known_gives_no_hint() -> None:
    assert nearest("Length", []) == ""


def test_what_a_message_repeats_is_short_and_cannot_steer_a_terminal() -> None:
    assert shown("6,2OO mm é 😀") == "6,2OO mm é 😀"
    assert shown("a\x1b[31mb\u202ec\xa0d\ne") == r"a\x1b[31mb\u202ec d e"
    assert shown("x" * 200) == "x" * 200
    assert shown("x" * 200_000) == "x" * 200 + "... (200000 characters)"
    endless = Problem(code="length.unreadable", where="w" * 5000, found="x" * 5000, accepted=LENGTHS, hint="h" * 5000)
    assert len(str(endless)) < 2500
