"""Jobs of a ledger: which plans belong to one, how far each has come, and what an undo leaves of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan import actions
from cutplan.model import InputFile, Job, Plan
from cutplan.model.job import REST_OF
from cutplan.problems import ProblemsFound
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import entry
from cutplan.rack.job_events import JobStory, PlanNote, note_of, note_planned, note_step, stage, stories
from cutplan.rack.replay import contradictions
from cutplan.rack.stages import Stage, Step
from cutplan.rack.store import Ledger
from tests import builders, racks

FIRST = PlanNote(plan="one", folder="reports/gate", parts=3, to_pay=40_000_000)
REST = PlanNote(plan="two", rest_of="one", folder="reports/gate/rest-1", parts=1, to_pay=20_000_000)


def do(ledger: Ledger, note: PlanNote, step: Step, job: str = "gate", **how: object) -> None:
    with entry(ledger, racks.doing(step.value, job=job, plan=note.plan)) as writing:
        if step is Step.PLANNED:
            note_planned(writing, note)
        else:
            note_step(writing, note, step, **how)  # type: ignore[arg-type]


def jobs(ledger: Ledger) -> dict[str, list[tuple[str, Stage]]]:
    """Plans of every job with their stages."""
    assert contradictions(ledger) == ()
    return {
        f"{story.name} {story.number}": [(plan.note.plan, plan.stage) for plan in story.plans]
        for story in stories(ledger.db)
    }


def test_a_plan_goes_from_step_to_step(ledger: Ledger) -> None:
    do(ledger, FIRST, Step.ORDERED, merchant="Yard", number="4711", day="2031-05-04", amount=40_000_000)
    assert jobs(ledger) == {"gate 1": [("one", Stage.ORDERED)]}
    do(ledger, FIRST, Step.RECEIVED)
    do(ledger, FIRST, Step.RECORDED)
    assert stage(ledger.db, "one") is Stage.RECORDED
    (story,) = stories(ledger.db)
    (plan,) = story.plans
    assert plan.note == FIRST
    assert [event.step for event in plan.events] == [Step.PLANNED, Step.ORDERED, Step.RECEIVED, Step.RECORDED]
    ordered = plan.first(Step.ORDERED)
    assert ordered is not None
    assert (ordered.merchant, ordered.number, ordered.day, ordered.amount) == ("Yard", "4711", "2031-05-04", 40_000_000)


def test_the_rest_is_a_further_plan_of_the_job(ledger: Ledger) -> None:
    do(ledger, FIRST, Step.RECORDED)
    do(ledger, REST, Step.PLANNED)
    assert jobs(ledger) == {"gate 1": [("one", Stage.RECORDED), ("two", Stage.PLANNED)]}
    (story,) = stories(ledger.db)
    assert story.stage is Stage.PLANNED


CASES: dict[str, tuple[list[tuple[PlanNote, Step]], PlanNote, int]] = {
    "planned again in its folder": ([(FIRST, Step.PLANNED)], replace(FIRST, plan="new"), 1),
    "ordered, and planned again there": ([(FIRST, Step.ORDERED)], replace(FIRST, plan="new"), 1),
    "planned in another folder": ([(FIRST, Step.PLANNED)], replace(FIRST, plan="new", folder="b"), 2),
    "recorded, and planned again there": ([(FIRST, Step.RECORDED)], replace(FIRST, plan="new"), 2),
    "closed, and planned again there": ([(FIRST, Step.CLOSED)], replace(FIRST, plan="new"), 2),
    "in a folder that is not known": ([(PlanNote(plan="one"), Step.PLANNED)], PlanNote(plan="new"), 2),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_which_job_a_new_plan_belongs_to(case: str, ledger: Ledger) -> None:
    before, new, count = CASES[case]
    for note, step in before:
        do(ledger, note, step)
    do(ledger, new, Step.PLANNED)
    assert len(jobs(ledger)) == count


def test_a_closed_job_has_no_further_plan_and_no_further_step(ledger: Ledger) -> None:
    do(ledger, FIRST, Step.RECORDED)
    do(ledger, FIRST, Step.CLOSED)
    for note, step in ((REST, Step.PLANNED), (FIRST, Step.CLOSED), (FIRST, Step.ORDERED)):
        with pytest.raises(ProblemsFound, match="gate: found a plan that is closed"):
            do(ledger, note, step)
    (story,) = stories(ledger.db)
    assert (story.stage, len(story.plans)) == (Stage.CLOSED, 1)


def test_an_undo_takes_back_what_was_done_and_nothing_else(ledger: Ledger) -> None:
    do(ledger, FIRST, Step.ORDERED)
    do(ledger, FIRST, Step.RECEIVED)
    for left in (Stage.ORDERED, None):
        handling.undo(ledger, racks.doing("undo"))
        assert stage(ledger.db, "one") is left
    assert stories(ledger.db) == ()
    do(ledger, FIRST, Step.PLANNED)
    assert jobs(ledger) == {"gate 1": [("one", Stage.PLANNED)]}


def test_recorded_before_there_were_events(ledger: Ledger) -> None:
    """What the ledger knew to be done once is as far as such a plan has come; it is not done again."""
    with entry(ledger, racks.doing("record", job="gate", plan="old")) as writing:
        writing.db.execute("INSERT INTO once (plan, deed, action) VALUES ('old', 'recorded', ?)", (writing.id,))
    assert jobs(ledger) == {"gate 1": [("old", Stage.RECORDED)]}
    with pytest.raises(ProblemsFound, match="a plan that is recorded, to be ordered"):
        do(ledger, PlanNote(plan="old"), Step.ORDERED)
    do(ledger, PlanNote(plan="new", rest_of="old"), Step.PLANNED)
    assert jobs(ledger) == {"gate 1": [("old", Stage.RECORDED), ("new", Stage.PLANNED)]}


def test_jobs_of_one_name_are_counted(ledger: Ledger) -> None:
    for folder in ("a", "b"):
        do(ledger, PlanNote(plan=folder, folder=folder), Step.RECORDED)
    do(ledger, PlanNote(plan="c", folder="c"), Step.PLANNED, job="shelf")
    assert list(jobs(ledger)) == ["gate 1", "gate 2", "shelf 1"]


@pytest.fixture(scope="module")
def cut() -> tuple[Job, Plan]:
    """Two bars of 20.00 and nothing else to pay; prices are without a tax of 19 %."""
    job = builders.job(
        [builders.part("A", 2, 1800)], [builders.offer("P3", 3000, 20)], kerf="2.5", end_trim=10, keep=300
    )
    job = replace(job, workshop=replace(job.workshop, tax_millionths=190_000, prices_include_tax=False))
    return job, actions.plan(job)


def test_what_is_kept_of_a_plan(cut: tuple[Job, Plan]) -> None:
    job, plan = cut
    assert note_of(job, plan, "abc", "reports/gate") == PlanNote(
        plan="abc", folder="reports/gate", parts=2, to_pay=47_600_000
    )
    rest = replace(job, files=(InputFile(role=REST_OF, name="plan.json", sha256="one"),))
    assert note_of(rest, plan, "abc").rest_of == "one"
    unpriced = builders.job([builders.part("A", 1, 1800)], [builders.offer("P3", 3000, None)])
    assert note_of(unpriced, actions.plan(unpriced), "x") == PlanNote(plan="x", parts=1, to_pay=None, unpriced=1)


def test_recording_is_an_event_of_its_own_action(cut: tuple[Job, Plan], ledger: Ledger) -> None:
    cut_bars.record(ledger, racks.doing("record", job="gate", plan="abc"), *cut, {})
    assert jobs(ledger) == {"gate 1": [("abc", Stage.RECORDED)]}
    assert ledger.db.execute("SELECT count(*) FROM action").fetchone() == (1,)
    handling.undo(ledger, racks.doing("undo"))
    assert stage(ledger.db, "abc") is None


def test_the_newest_plan_is_the_last_that_was_planned_whatever_the_clock_says(ledger: Ledger) -> None:
    """The clock goes backwards between two actions."""
    late = replace(racks.doing("record", job="gate", plan="one"), at="2031-05-05T09:30:00Z")
    with entry(ledger, late) as writing:
        note_step(writing, FIRST, Step.RECORDED)
    do(ledger, REST, Step.PLANNED)
    story: JobStory = stories(ledger.db)[0]
    assert [plan.note.plan for plan in story.plans] == ["one", "two"]


@pytest.mark.parametrize(("parts", "unpriced"), [(2, 0), (3, 1)])
def test_a_section_without_a_price_of_which_nothing_is_bought_leaves_nothing_out(parts: int, unpriced: int) -> None:
    """Two parts of 500 come from the offcut of 1100; a third wants a length that has no price."""
    job = builders.job(
        [builders.part("P", parts, 500)], [builders.offer("A", 1000, None)], [builders.offcut("R", 1100)]
    )
    assert note_of(job, actions.plan(job), "one").unpriced == unpriced
