"""The digests of the plans that were last asked about: each tick asks for that of its plan, and to work it out takes
longer than to tick.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cutplan.model import Job, Plan

_MOST = 16
_known: dict[int, tuple[Job, Plan, str]] = {}
"""By the identity of the plan. What is kept here is alive, so that no other has its identity."""


def plan_digest(job: Job, plan: Plan) -> str:
    """What tells a plan from another; see :func:`cutplan.planfile.plan_digest`."""
    from cutplan import planfile

    known = _known.pop(id(plan), None)
    if known is None or known[0] is not job or known[1] is not plan:
        known = job, plan, planfile.plan_digest(job, plan)
    _known[id(plan)] = known
    for oldest in list(_known)[:-_MOST]:
        _known.pop(oldest, None)
    return known[2]
