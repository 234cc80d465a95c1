"""Jobs: how far each has come, what it has cost so far over all its plans, and closing it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import CheckFailed, read_plan
from cutplan.actions.rack_plans import plan_note
from cutplan.actions.unbegun import unbegun
from cutplan.problems import Problem, ProblemsFound
from cutplan.unfinished import PLAN_FILE
from cutplan.units import counted
from cutplan.words.job_words import JobShown

if TYPE_CHECKING:
    from cutplan.actions.racking import Rack
    from cutplan.model import Job, Plan
    from cutplan.rack.job_events import JobStory, PlanNote
    from cutplan.rack.job_money import JobMoney
    from cutplan.rack.pieces import Standing
    from cutplan.rack.store import Ledger
    from cutplan.rack.ticks import Tick


def job_list(rack: Rack) -> tuple[tuple[JobStory, JobMoney], ...]:
    """Every job, each with its money: those that the ledger knows of in the order in which they began, then those that
    are a plan file and nothing more, as far as they lie where plans do when nothing is said.
    """
    from cutplan.rack.job_events import stories
    from cutplan.rack.job_money import money_of

    if not rack.path.exists():
        planned = unbegun(rack, ())
        if planned:
            return tuple((story, _money_to_come(story.plans[0].note)) for story, _ in planned)
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        begun = stories(db)
        listed = [(story, money_of(db, story, rack.workshop)) for story in begun]
    return (*listed, *((story, _money_to_come(story.plans[0].note)) for story, _ in unbegun(rack, begun)))


def _money_to_come(note: PlanNote) -> JobMoney:
    """Of a plan about which nothing is done yet."""
    from cutplan.rack.job_money import JobMoney

    return JobMoney(to_pay=note.to_pay or 0, unknown=note.unpriced)


def job_show(rack: Rack, target: str = "") -> JobShown:
    """How far a job has come and what it has cost so far.

    Parameters
    ----------
    target
        A plan.json or its folder; or the name of a job, with ``#2`` behind it for the second of that name; or blank
        where one job alone is open.

    Raises
    ------
    ProblemsFound
        When there is no such job, or several.
    """
    path = plan_path(target)
    if path is not None:
        job, plan = read_plan(path)
        note = plan_note(rack, job, plan, path.parent)
        if not rack.path.exists():
            return _shown_of_a_file(job, plan, note, path)
        with rack.open(read_only=True) as ledger, ledger.reading():
            story = _story_of(ledger, note.plan)
            if story is None:
                return _shown_of_a_file(job, plan, note, path)
            return _shown(rack, ledger, story, path)
    begun = _begun(rack)
    planned = unbegun(rack, begun)
    if not (planned or rack.path.exists()):
        rack.open(read_only=True)  # which says that there is none
    story = _named(begun, [each for each, _ in planned], target)
    for each, file in planned:
        if each is story:
            job, plan = read_plan(file)
            return _shown_of_a_file(job, plan, plan_note(rack, job, plan, file.parent), file, story.number)
    with rack.open(read_only=True) as ledger, ledger.reading():
        return _shown(rack, ledger, story, None)


def _begun(rack: Rack) -> tuple[JobStory, ...]:
    from cutplan.rack.job_events import stories

    if not rack.path.exists():
        return ()
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        return stories(db)


def plan_path(target: str) -> Path | None:
    """The plan file that a word names; None where it is the name of a job."""
    path = Path(target) if target else None
    if path is None:
        return None
    if path.is_dir() and (path / PLAN_FILE).exists():
        return path / PLAN_FILE
    return path if path.is_file() or path.suffix == ".json" else None


def _story_of(ledger: Ledger, plan: str) -> JobStory | None:
    from cutplan.rack.job_events import stories

    with ledger.reading() as db:
        every = stories(db)
    return next((story for story in every if any(each.note.plan == plan for each in story.plans)), None)


def _named(begun: Sequence[JobStory], planned: Sequence[JobStory], target: str) -> JobStory:
    """The job of a name; of several it is the one that is open, and one that was begun before one that is planned."""
    from cutplan.rack.stages import Stage

    every = [*begun, *planned]
    name, _, number = target.rpartition("#")
    if name and number.isdigit():
        found = [story for story in every if story.name == name and story.number == int(number)]
    else:
        found = [story for story in every if target in ("", story.name)]
    if len(found) > 1:
        open_ones = [story for story in found if story.stage not in (Stage.RECORDED, Stage.CLOSED)]
        found = [story for story in open_ones if story in begun] or open_ones or found
    if len(found) == 1:
        return found[0]
    listed = ", ".join(f"{story.name}#{story.number} ({story.stage.value})" for story in (found or every)[-10:])
    what = counted(len(found), "job") if found else "no job" + (f" {target}" if target else "")
    raise ProblemsFound(
        [
            Problem.statement(
                "JOB", what, f"a plan.json, or a job such as {listed}" if listed else "a plan.json", code="job.unknown"
            )
        ]
    )


def _shown_of_a_file(job: Job, plan: Plan, note: PlanNote, path: Path, number: int = 1) -> JobShown:
    """A plan that the ledger has not heard of."""
    from cutplan.rack.job_events import JobStory, PlanStory

    only = PlanStory(note=note, events=(), ticked=0)
    story = JobStory(job=note.plan, name=job.name, number=number, plans=(only,))
    to_come = _to_come(plan, ())
    return JobShown(story=story, money=_money_to_come(note), made=(), spoiled=(), to_come=to_come, plan_file=path)


def _shown(rack: Rack, ledger: Ledger, story: JobStory, given: Path | None) -> JobShown:
    from cutplan.rack.job_money import made_in, money_of
    from cutplan.rack.stages import Step
    from cutplan.rack.ticks import ticks_of

    newest = story.plans[-1]
    recorded = newest.first(Step.RECORDED) is not None
    with ledger.reading() as db:
        ticked = () if recorded else ticks_of(db, newest.note.plan)
        over_all = made_in(db, [plan.note.plan for plan in story.plans])
        of_newest = made_in(db, [newest.note.plan])
        money = money_of(db, story, rack.workshop)
    made = Counter({mark: good for mark, (good, _) in over_all.items()})
    spoiled = Counter({mark: bad for mark, (_, bad) in over_all.items()})
    for one in ticked:
        (spoiled if one.spoiled else made)[one.part] += 1
    found = _newest(rack, newest.note, given)
    missing: tuple[tuple[str, int], ...] = ()
    if found is not None and recorded:
        left = ((part.mark, part.quantity - of_newest.get(part.mark, (0, 0))[0]) for part in found[1].parts)
        missing = tuple((mark, count) for mark, count in left if count > 0)
    return JobShown(
        story=story,
        money=money,
        made=tuple(sorted((mark, count) for mark, count in made.items() if count)),
        spoiled=tuple(sorted((mark, count) for mark, count in spoiled.items() if count)),
        to_come=() if found is None or recorded or story.closed else _to_come(found[2], ticked),
        missing=missing,
        plan_file=None if found is None else found[0],
    )


def _newest(rack: Rack, note: PlanNote, given: Path | None) -> tuple[Path, Job, Plan] | None:
    """The file of a plan with its job, where it was given or lies where it was written; None where it does not."""
    from cutplan import planfile

    there = [rack.path.absolute().parent / note.folder / PLAN_FILE] if note.folder else []
    for path in ([given] if given else []) + there:
        try:
            job, plan = read_plan(path)
        except (ProblemsFound, CheckFailed):
            continue
        if planfile.plan_digest(job, plan) == note.plan:
            return path, job, plan
    return None


def _to_come(plan: Plan, ticked: Sequence[Tick]) -> tuple[tuple[int, tuple[tuple[str, int], ...]], ...]:
    """Parts that are not ticked, bar by bar."""
    there = {(one.part, one.copy) for one in ticked}
    bars = (
        (bar.number, tuple((cut.mark, cut.copy) for cut in bar.cuts if (cut.mark, cut.copy) not in there))
        for bar in plan.bars
    )
    return tuple((number, parts) for number, parts in bars if parts)


def job_close(
    rack: Rack, target: str, *, unfinished: bool = False, reason: str = ""
) -> tuple[JobShown, tuple[Standing, ...]]:
    """Close a job: nothing more is done to it, and what is held for it is free. Returns it, and what was held.

    Parameters
    ----------
    unfinished
        Close it though parts of it are still to be cut, or that cannot be told.

    Raises
    ------
    ProblemsFound
        When parts are still to be cut and that is not said, or its newest plan is ticked in part and not recorded.
    """
    from cutplan.rack.entry import entry
    from cutplan.rack.holding import release_in
    from cutplan.rack.job_events import note_step
    from cutplan.rack.stages import Stage, Step, next_stage

    shown = job_show(rack, target)
    note = shown.story.plans[-1].note
    next_stage(shown.story.stage, Step.CLOSED, shown.story.name)
    if not unfinished:
        refused = _unfinished(shown)
        if refused is not None:
            raise ProblemsFound([refused])
    with (
        rack.open() as ledger,
        entry(ledger, rack.doing("close", job=shown.story.name, plan=note.plan, reason=reason)) as writing,
    ):
        note_step(writing, note, Step.CLOSED)
        freed = release_in(writing, job=shown.story.name)
    closed = job_show(rack, str(shown.plan_file) if shown.plan_file else f"{shown.story.name}#{shown.story.number}")
    assert closed.story.stage is Stage.CLOSED
    return closed, freed


def _unfinished(shown: JobShown) -> Problem | None:
    """What stands against closing a job."""
    from cutplan.rack.stages import Stage

    left: Counter[str] = Counter(dict(shown.missing))
    left.update(mark for _, parts in shown.to_come for mark, _ in parts)
    found = ""
    if shown.plan_file is None and shown.story.stage is not Stage.CLOSED:
        found = "a plan whose file is not where it was written, so that what is left to cut cannot be told"
    elif left:
        named = ", ".join(f"{count} x {mark}" for mark, count in left.items())
        found = f"{counted(left.total(), 'part')} still to cut: {named}"
    if not found:
        return None
    return Problem.statement(
        shown.story.name,
        found,
        "a job of which all is cut and recorded, or --unfinished to close it all the same",
        code="job.unfinished",
    )
