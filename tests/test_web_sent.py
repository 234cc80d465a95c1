"""What was typed into a form that was refused, as its page shows it."""

from __future__ import annotations

import pytest

from cutplan.problems import Problem
from cutplan.web.sent import NOTHING, Sent, field_of


@pytest.mark.parametrize(
    ("where", "field"),
    [("--end-a", "end_a"), ("LENGTH", "length"), ("times", "times"), ("--date", "day"), ("A1", "a1")],
)
def test_a_problem_of_the_command_names_a_field(where: str, field: str) -> None:
    assert field_of(where) == field


def test_each_form_of_a_page_has_its_own() -> None:
    wrong = Problem(where="LENGTH", found="9OO", accepted="millimetres", code="bench.field")
    sent = Sent("add", {"length": "9OO"}, (wrong,))
    assert sent.of("count") is NOTHING
    assert sent.of("add").text("length", "as before") == "9OO"
    assert sent.of("add").text("place", "as before") == "", "what was emptied stays empty"
    assert sent.of("count").text("place", "as before") == "as before"
    assert sent.wrong("length") is wrong
    assert sent.wrong("place") is None
