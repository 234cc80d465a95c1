"""Jobs that are a plan file and nothing more: planned, and not in the ledger before something is done about them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import as_it_says
from cutplan.actions.rack_plans import noted_rack, plan_note
from cutplan.problems import ProblemsFound
from cutplan.unfinished import PLAN_FILE

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.rack.job_events import JobStory, PlanNote
    from cutplan.rack.stages import Stage

REPORTS = "reports"
"""The folder in which plans lie unless another is said."""


def unbegun(rack: Rack, begun: Sequence[JobStory]) -> tuple[tuple[JobStory, Path], ...]:
    """Jobs of this rack that are planned and not begun, each with its plan file.

    Looked for where plans lie when nothing is said, from the folder worked in and from that of the ledger. The files
    are not checked: that a plan is there is all that is told from this.

    Parameters
    ----------
    begun
        The jobs that the ledger knows of. A plan in the folder of one that is not recorded takes the place of the one
        before it as soon as something is done about it; it is no job of its own.
    """
    from cutplan.rack.job_events import JobStory, PlanStory
    from cutplan.rack.stages import Stage

    known = {plan.note.plan for story in begun for plan in story.plans}
    open_jobs = {
        (story.name, story.plans[-1].note.folder)
        for story in begun
        if story.stage not in (Stage.RECORDED, Stage.CLOSED)
    }
    found: list[tuple[JobStory, Path]] = []
    for path in plan_files(rack):
        glance = _glance(rack, path)
        if glance is None or glance[1].plan in known or (glance[0], glance[1].folder) in open_jobs:
            continue
        name, note = glance
        known.add(note.plan)
        number = 1 + sum(story.name == name for story in (*begun, *(story for story, _ in found)))
        plan = PlanStory(note=note, events=(), ticked=0)
        found.append((JobStory(job=note.plan, name=name, number=number, plans=(plan,)), path))
    return tuple(found)


def plan_files(rack: Rack) -> Iterator[Path]:
    """Plan files that say they are of this rack, in the order of their folders' names."""
    ledger = rack.path.resolve()
    places = dict.fromkeys(place.resolve() for place in (Path(REPORTS), ledger.parent / REPORTS))
    here = Path.cwd()
    for place in places:
        for path in sorted(place.glob(f"*/{PLAN_FILE}")):
            noted = noted_rack(path)
            if noted is not None and noted.resolve() == ledger:
                yield path.relative_to(here) if path.is_relative_to(here) else path


def begun_as(rack: Rack, plan_file: Path) -> Stage | None:
    """How far the plan of a file has come in this ledger; None where it is a file and no more, or of another ledger."""
    from cutplan.rack import job_events
    from cutplan.rack.stages import Stage

    noted = noted_rack(plan_file)
    if noted is None or noted.resolve() != rack.path.resolve() or not rack.path.exists():
        return None
    glance = _glance(rack, plan_file)
    if glance is None:
        return None
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        stage = job_events.stage(db, glance[1].plan)
    return None if stage is Stage.PLANNED else stage


def _glance(rack: Rack, path: Path) -> tuple[str, PlanNote] | None:
    """The name of a job and what is noted of its plan; None where the file is none of this version's."""
    try:
        job, plan = as_it_says(path)
    except ProblemsFound:
        return None
    return job.name, plan_note(rack, job, plan, path.parent)
