"""Problems and warnings of a file: in its order, a hundred of each at most."""

from __future__ import annotations

import pytest

from cutplan.problems import Problem, ProblemsFound, TooManyProblems
from cutplan.reading.sheets.findings import MOST_TOLD, Findings, in_order


def problem(row: int, found: str = "x") -> Problem:
    return Problem(where=f"a.csv, row {row}", found=found, accepted="y", code="length.unreadable")


def test_they_are_told_in_the_order_of_the_file() -> None:
    findings = Findings()
    for row in (7, 3, 7, 0):
        findings.add(row, problem(row, f"found {len(findings.problems)}"))
    assert [each.found for each in in_order(findings.problems)] == ["found 3", "found 1", "found 0", "found 2"]


@pytest.mark.parametrize(("last_row", "rest"), [(0, ""), (150, "; 50 rows below were not looked at")])
def test_the_hundredth_problem_ends_the_reading(last_row: int, rest: str) -> None:
    findings = Findings(last_row=last_row)
    for row in range(1, MOST_TOLD):
        findings.add(row, problem(row))
    with pytest.raises(TooManyProblems) as stopped:
        findings.add(MOST_TOLD, problem(MOST_TOLD))
    *told, last = stopped.value.problems
    assert len(told) == MOST_TOLD
    assert (last.where, last.found) == ("a.csv", f"{MOST_TOLD} problems, and there may be more{rest}")


def test_more_warnings_than_a_hundred_are_counted() -> None:
    findings = Findings()
    for row in range(MOST_TOLD + 2):
        findings.warn(row, problem(row))
    assert findings.told()[-1].found == "2 more warnings, which are not shown"
    assert findings.silence(frozenset({0, 1})) == 2
    assert [each.code for each in findings.told()] == ["length.unreadable"] * MOST_TOLD


def test_problems_of_the_whole_file_stand_first() -> None:
    findings = Findings()
    findings.add(4, problem(4))
    findings.add_all(ProblemsFound([problem(0)]))
    assert [each.where for each in in_order(findings.problems)] == ["a.csv, row 0", "a.csv, row 4"]
    with pytest.raises(TooManyProblems):
        findings.add_all(TooManyProblems([problem(0)]))
