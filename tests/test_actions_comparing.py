"""Comparing, with values: the job as it is, and what each change costs against it."""

from __future__ import annotations

import pytest

from cutplan import actions
from cutplan.model import Job
from cutplan.problems import ProblemsFound


def test_the_first_row_is_the_job_as_it_is(small_job: Job) -> None:
    as_it_is, thinner = actions.compare(small_job, kerf="1 mm")
    assert as_it_is.words == "as it is"
    assert "1 mm" in thinner.words


def test_all_that_cannot_be_understood_is_told_at_once(small_job: Job) -> None:
    with pytest.raises(ProblemsFound) as found:
        actions.compare(small_job, kerf="thin", keep="long")
    assert [problem.where for problem in found.value.problems] == ["--kerf", "--keep"]
