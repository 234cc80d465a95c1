"""A refusal as values."""

from __future__ import annotations

from cutplan.problems import Problem
from cutplan.words.refusals import problem_values


def test_all_that_a_program_needs_of_a_refusal() -> None:
    problem = Problem(code="length.comma", where="parts.csv, row 2", found="1,200", accepted="1200", hint="a comma")
    assert problem_values(problem) == {
        "code": "length.comma",
        "where": "parts.csv, row 2",
        "found": "1,200",
        "accepted": "1200",
        "hint": "a comma",
    }
