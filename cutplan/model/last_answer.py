"""What was worked out last for a job and its plan, kept: every file of a run asks for the same."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from cutplan.model.job import Job
from cutplan.model.plan import Plan

Words = ParamSpec("Words")
Answer = TypeVar("Answer")


def kept_last(work: Callable[Concatenate[Job, Plan, Words], Answer]) -> Callable[Concatenate[Job, Plan, Words], Answer]:
    """A function of a job and its plan that gives its last answer again where it is asked for the very same."""
    kept: tuple[Job, Plan, object, Answer] | None = None

    @wraps(work)
    def answer(job: Job, plan: Plan, /, *args: Words.args, **named: Words.kwargs) -> Answer:
        nonlocal kept
        # One look at it: in another thread it may be replaced meanwhile.
        last = kept
        if last is None or last[0] is not job or last[1] is not plan or last[2] != (args, named):
            last = kept = (job, plan, (args, named), work(job, plan, *args, **named))
        return last[3]

    return answer
