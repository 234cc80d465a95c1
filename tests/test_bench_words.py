"""Where a job stands, in words."""

from __future__ import annotations

import pytest

from cutplan.problems import Problem
from cutplan.words.bench_words import NEXT, DeskJob, Where, found_text, standing_text

FAULT = Problem.statement("x", "y", "z", code="bench.field")


@pytest.mark.parametrize(
    ("job", "text"),
    [
        (DeskJob(key="a", name="a", where=Where.FAULTS, problems=(FAULT, FAULT)), "list has 2 faults"),
        (DeskJob(key="a", name="a", where=Where.READY), "ready"),
        (DeskJob(key="a", name="a", where=Where.TOGETHER, planned_in="reports/a+b"), "planned in a + b"),
        (DeskJob(key="a", name="a", where=Where.BEING_CUT, ticked=3, parts=11), "being cut, 3 of 11 parts"),
        (DeskJob(key="a", name="a", where=Where.BEING_CUT, ticked=11, parts=11), "all 11 parts cut, to be recorded"),
        (DeskJob(key="a", name="a", where=Where.RECORDED), "recorded"),
        *[
            (DeskJob(key="a", name="a", where=Where.CHANGED, changed=roles), f"{text} changed since it was planned")
            for roles, text in (
                (("parts",), "list"),
                (("workshop",), "workshop file"),
                (("parts", "holes"), "list and holes"),
                (("workshop", "prices", "rack"), "workshop file, price list and rack file"),
            )
        ],
    ],
)
def test_where_a_job_stands(job: DeskJob, text: str) -> None:
    assert standing_text(job) == text


def test_there_is_a_next_thing_to_do_wherever_a_job_stands() -> None:
    assert set(NEXT) == set(Where)


def test_findings_that_stop_no_plan_are_told_so() -> None:
    assert found_text(0, stops=False) == "Nothing is wrong with it."
    assert found_text(1, stops=True) == "1 finding, shown at its cell or below the list."
    assert found_text(2, stops=False) == "2 findings, shown at its cell or below the list. None of that stops a plan."
