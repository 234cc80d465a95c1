"""The table of legal steps, case by case, and that a stage is what the steps so far come to."""

from __future__ import annotations

from itertools import product

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack.stages import Stage, Step, next_stage, stage_of

PLANNED, ORDERED, RECEIVED, BEING_CUT, RECORDED, CLOSED = Stage

# Rows: the stage before. Columns: planned, ordered, received, cut, spoiled, uncut, recorded, closed; None is refused.
CASES: dict[Stage | None, tuple[Stage | None, ...]] = {
    None: (PLANNED, None, None, None, None, None, None, None),
    PLANNED: (None, ORDERED, RECEIVED, BEING_CUT, BEING_CUT, None, RECORDED, CLOSED),
    ORDERED: (None, ORDERED, RECEIVED, BEING_CUT, BEING_CUT, None, RECORDED, CLOSED),
    RECEIVED: (None, RECEIVED, None, BEING_CUT, BEING_CUT, None, RECORDED, CLOSED),
    BEING_CUT: (None, BEING_CUT, BEING_CUT, BEING_CUT, BEING_CUT, BEING_CUT, RECORDED, None),
    RECORDED: (None, None, None, None, None, None, None, CLOSED),
    CLOSED: (None, None, None, None, None, None, None, None),
}


def test_every_stage_and_step_is_a_case() -> None:
    assert set(CASES) == {None, *Stage}
    assert {len(row) for row in CASES.values()} == {len(Step)}


@pytest.mark.parametrize(
    ("before", "step", "after"),
    [(before, step, after) for before, row in CASES.items() for step, after in zip(Step, row, strict=True)],
)
def test_what_may_be_done_at_each_stage(before: Stage | None, step: Step, after: Stage | None) -> None:
    if after is not None:
        assert next_stage(before, step, "gate") is after
        return
    with pytest.raises(ProblemsFound) as refused:
        next_stage(before, step, "gate")
    (problem,) = refused.value.problems
    assert problem.where == "gate"
    assert (before.value if before else "not in the ledger") in problem.found
    assert problem.accepted.startswith("a plan that is ")


def test_a_refusal_in_words() -> None:
    with pytest.raises(ProblemsFound) as refused:
        next_stage(RECORDED, Step.CUT, "gate")
    assert str(refused.value) == (
        "gate: found a plan that is recorded, to be ticked as cut.\n"
        "Accepted: a plan that is planned, ordered, received or being cut.\n"
        "hint: what is left of it to cut is in the plan that cutplan replan made; cutplan job show names it"
    )


def test_a_stage_is_what_the_steps_so_far_come_to() -> None:
    """Whatever is done in whatever order, as far as it is legal: the table leads to what the steps together say."""
    for steps in product(Step, repeat=4):
        go_through(steps)


def go_through(steps: tuple[Step, ...]) -> None:
    reached = next_stage(None, Step.PLANNED, "gate")
    done: list[Step] = [Step.PLANNED]
    ticked = 0
    for step in steps:
        try:
            reached = next_stage(reached, step, "gate")
        except ProblemsFound:
            continue
        done.append(step)
        ticked += {Step.CUT: 1, Step.SPOILED: 1, Step.UNCUT: -1}.get(step, 0)
        if step is Step.UNCUT and not ticked:  # with no tick left it is at the stage before ticking
            reached = stage_of(set(done), ticked=False) or reached
        assert reached is stage_of(set(done), ticked=ticked > 0)
