"""How far a plan has come, and what may be done to it then: one table of legal steps."""

from __future__ import annotations

from collections.abc import Collection
from enum import Enum

from cutplan.problems import Problem, ProblemsFound


class Step(Enum):
    """What is done to a plan. ``PLANNED`` is the moment the ledger hears of it."""

    PLANNED = "planned"
    ORDERED = "ordered"
    RECEIVED = "received"
    CUT = "cut"
    SPOILED = "spoiled"
    UNCUT = "uncut"
    RECORDED = "recorded"
    CLOSED = "closed"


class Stage(Enum):
    """How far a plan has come."""

    PLANNED = "planned"
    ORDERED = "ordered"
    RECEIVED = "received"
    BEING_CUT = "being cut"
    RECORDED = "recorded"
    CLOSED = "closed"


_OPEN = (Stage.PLANNED, Stage.ORDERED, Stage.RECEIVED, Stage.BEING_CUT)

_NEXT: dict[Step, dict[Stage | None, Stage]] = {
    Step.PLANNED: {None: Stage.PLANNED},
    Step.ORDERED: {
        Stage.PLANNED: Stage.ORDERED,
        Stage.ORDERED: Stage.ORDERED,  # at another merchant
        Stage.RECEIVED: Stage.RECEIVED,  # noted afterwards
        Stage.BEING_CUT: Stage.BEING_CUT,  # what lies on the rack is cut before the rest comes
    },
    Step.RECEIVED: {
        Stage.PLANNED: Stage.RECEIVED,
        Stage.ORDERED: Stage.RECEIVED,
        Stage.BEING_CUT: Stage.BEING_CUT,
    },
    Step.CUT: dict.fromkeys(_OPEN, Stage.BEING_CUT),
    Step.SPOILED: dict.fromkeys(_OPEN, Stage.BEING_CUT),
    Step.UNCUT: {Stage.BEING_CUT: Stage.BEING_CUT},
    Step.RECORDED: dict.fromkeys(_OPEN, Stage.RECORDED),
    Step.CLOSED: {stage: Stage.CLOSED for stage in (*_OPEN, Stage.RECORDED) if stage is not Stage.BEING_CUT},
}
"""The stage that a step leads to from each stage in which it may be done. What was ticked has to be recorded before a
job is closed: else parts that are cut would be in no book."""


def next_stage(stage: Stage | None, step: Step, where: str) -> Stage:
    """The stage that a step leads to; None is a plan that the ledger knows nothing of.

    Of a tick that is taken back it is the stage with other ticks left; see :func:`stage_of`.

    Raises
    ------
    ProblemsFound
        When the step may not be done at this stage; ``where`` names the job.
    """
    found = _NEXT[step].get(stage)
    if found is None:
        stages = [each.value for each in _NEXT[step] if each is not None]
        listed = " or ".join(filter(None, (", ".join(stages[:-1]), *stages[-1:])))
        raise ProblemsFound(
            [
                Problem(
                    code="job.stage",
                    where=where,
                    found=f"a plan that is {stage.value if stage else 'not in the ledger'}, to be {_DONE[step]}",
                    accepted=f"a plan that is {listed}" if listed else "a plan that is not in the ledger yet",
                    hint=_HINTS.get((stage, step), ""),
                    found_is_text=False,
                )
            ]
        )
    return found


_DONE = {step: step.value for step in Step} | {Step.UNCUT: "ticked as not cut", Step.CUT: "ticked as cut"}
_HINTS: dict[tuple[Stage | None, Step], str] = {
    **dict.fromkeys(
        ((Stage.RECORDED, Step.CUT), (Stage.RECORDED, Step.SPOILED), (Stage.RECORDED, Step.ORDERED)),
        "what is left of it to cut is in the plan that cutplan replan made; cutplan job show names it",
    ),
    (Stage.BEING_CUT, Step.CLOSED): "cutplan record writes down what was cut; then close the job",
}


def stage_of(steps: Collection[Step], *, ticked: bool) -> Stage | None:
    """The stage of a plan to which these steps were done and are not taken back.

    Parameters
    ----------
    ticked
        Is any part of it ticked, as cut or as spoiled?
    """
    reached = [
        (Stage.CLOSED, Step.CLOSED in steps),
        (Stage.RECORDED, Step.RECORDED in steps),
        (Stage.BEING_CUT, ticked),
        (Stage.RECEIVED, Step.RECEIVED in steps),
        (Stage.ORDERED, Step.ORDERED in steps),
        (Stage.PLANNED, Step.PLANNED in steps),
    ]
    return next((stage for stage, is_so in reached if is_so), None)
