"""An answer is kept for the very same job and plan, and for no other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Job, Plan
from cutplan.model.last_answer import kept_last


def test_only_what_is_asked_again_is_kept(small_job: Job, small_plan: Plan) -> None:
    asked = []

    @kept_last
    def bars(job: Job, plan: Plan, first: int = 1) -> int:
        asked.append(first)
        return len(list(plan.bars)) - first + 1

    whole = len(list(small_plan.bars))
    assert [bars(small_job, small_plan) for _ in range(3)] == [whole] * 3
    assert asked == [1]
    assert bars(small_job, small_plan, first=2) == whole - 1
    assert bars(small_job, small_plan) == whole
    assert asked == [1, 2, 1]
    bars(replace(small_job), small_plan)
    bars(replace(small_job), replace(small_plan))
    assert len(asked) == 5, "an equal one is not the same one"


def test_what_went_wrong_is_not_kept(small_job: Job, small_plan: Plan) -> None:
    @kept_last
    def fails(job: Job, plan: Plan) -> int:
        raise ValueError("no answer")

    for _ in range(2):
        with pytest.raises(ValueError, match="no answer"):
            fails(small_job, small_plan)
