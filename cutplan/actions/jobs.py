"""Jobs: how far each has come, what it has cost so far over all its plans, and closing it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import CheckFailed, read_plan
from cutplan.actions.digests import plan_digest
from cutplan.actions.rack_plans import draws_from_ledger, plan_note
from cutplan.actions.unbegun import unbegun
from cutplan.problems import Problem, ProblemsFound
from cutplan.unfinished import PLAN_FILE
from cutplan.units import counted
from cutplan.words.job_words import JobShown

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
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
    if not rack.path.exists():
        return _show_in(rack, None, target)
    with rack.open(read_only=True) as ledger, ledger.reading():
        return _show_in(rack, ledger, target)


def _show_in(rack: Rack, ledger: Ledger | None, target: str) -> JobShown:
    """:func:`job_show` by a ledger that is open, in a change as that change has left it; None where there is none."""
    path = plan_path(target)
    begun = () if ledger is None else _begun(ledger)
    if path is not None:
        job, plan = read_plan(path)
        note = plan_note(rack, job, plan, path.parent)
        of_plan = next((each for each in begun if any(one.note.plan == note.plan for one in each.plans)), None)
        if ledger is None or of_plan is None:
            return _shown_of_a_file(job, plan, note, path)
        return _shown(rack, ledger, of_plan, path)
    planned = unbegun(rack, begun)
    if not planned and ledger is None:
        rack.open(read_only=True)  # which says that there is none
    story = _named(begun, [each for each, _ in planned], target)
    file = next((file for each, file in planned if each is story), None)
    if ledger is None or file is not None:
        assert file is not None
        job, plan = read_plan(file)
        return _shown_of_a_file(job, plan, plan_note(rack, job, plan, file.parent), file, story.number)
    return _shown(rack, ledger, story, None)


def _begun(ledger: Ledger) -> tuple[JobStory, ...]:
    from cutplan.rack.job_events import stories

    with ledger.reading() as db:
        return stories(db)


def plan_path(target: str) -> Path | None:
    """The plan file that a word names; None where it is the name of a job."""
    path = Path(target) if target else None
    if path is None:
        return None
    if path.is_dir() and (path / PLAN_FILE).exists():
        return path / PLAN_FILE
    return path if path.is_file() or path.suffix == ".json" else None


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
    from cutplan.actions.outcomes import outcome_of
    from cutplan.rack.drilled import drilled_of
    from cutplan.rack.job_money import made_in, money_of
    from cutplan.rack.stages import Step
    from cutplan.rack.ticks import ticks_of

    newest = story.plans[-1]
    recorded = newest.first(Step.RECORDED) is not None
    with ledger.reading() as db:
        ticked = () if recorded else ticks_of(db, newest.note.plan)
        over_all = made_in(db, [plan.note.plan for plan in story.plans])
        of_newest = made_in(db, [newest.note.plan])
        drilled = Counter(mark for mark, _ in drilled_of(db, newest.note.plan))
        money = money_of(db, story, rack.workshop)
        outcome = outcome_of(ledger, story, rack.workshop)
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
        drilled=tuple(sorted(drilled.items())),
        outcome=outcome,
    )


def _newest(rack: Rack, note: PlanNote, given: Path | None) -> tuple[Path, Job, Plan] | None:
    """The file of a plan with its job, where it was given or lies where it was written; None where it does not."""

    there = [rack.path.absolute().parent / note.folder / PLAN_FILE] if note.folder else []
    for path in ([given] if given else []) + there:
        try:
            job, plan = read_plan(path)
        except (ProblemsFound, CheckFailed):
            continue
        if plan_digest(job, plan) == note.plan:
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

    The ledger is made where there is none yet: a plan that is a file alone is in the books from then on, as given up.

    Parameters
    ----------
    unfinished
        Close it though parts of it are still to be cut, or that cannot be told.

    Raises
    ------
    ProblemsFound
        When parts are still to be cut and that is not said, or its newest plan is ticked in part and not recorded.
    """
    from cutplan.rack.entry import action
    from cutplan.rack.holding import release_in
    from cutplan.rack.job_events import note_step
    from cutplan.rack.stages import Stage, Step

    create = not rack.path.exists() and _may_begin(job_show(rack, target), unfinished=unfinished)
    with rack.open(create=create) as ledger, ledger.changing() as db:
        shown = _show_in(rack, ledger, target)
        name, note = shown.story.name, shown.story.plans[-1].note
        _refuse_closing(shown, unfinished=unfinished)
        with action(db, rack.doing("close", job=name, plan=note.plan, reason=reason)) as writing:
            note_step(writing, note, Step.CLOSED)
            freed = release_in(writing, job=name)
        named = str(shown.plan_file) if shown.plan_file else f"{name}#{shown.story.number}"
        closed = _show_in(rack, ledger, named)
    assert closed.story.stage is Stage.CLOSED
    return closed, freed


def _may_begin(shown: JobShown, *, unfinished: bool) -> bool:
    """May a ledger begin with this job being closed? Not where it was planned from one, which is lost then."""
    _refuse_closing(shown, unfinished=unfinished)
    assert shown.plan_file is not None
    return not draws_from_ledger(read_plan(shown.plan_file)[0])


def _refuse_closing(shown: JobShown, *, unfinished: bool) -> None:
    """Refuse to close a job that is not at its end, unless that is said."""
    from cutplan.rack.stages import Step, next_stage

    next_stage(shown.story.stage, Step.CLOSED, shown.story.name)
    refused = None if unfinished else _unfinished(shown)
    if refused is not None:
        raise ProblemsFound([refused])


def _unfinished(shown: JobShown) -> Problem | None:
    """What stands against closing a job, unless it is said that it is not at its end."""
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
