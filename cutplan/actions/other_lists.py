"""Folders that hold the plan of another list: that its place is taken is told, and refused where it is begun."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import as_it_says
from cutplan.actions.unbegun import begun_as
from cutplan.problems import Problem, ProblemsFound
from cutplan.unfinished import PLAN_FILE

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job


def plan_replaced(job: Job, folder: Path | str) -> Problem | None:
    """The warning that a plan of this job takes the place of another list's in a folder; None where it does not."""
    then, now = _other_lists(job, Path(folder))
    if not then:
        return None
    return Problem.statement(
        str(folder),
        f"a plan of {then}, whose place this plan of {now} took",
        "a folder for each list",
        f"to have both, plan {then} again and name another folder with --out",
        code="plan.replaced",
    )


def refuse_to_replace(job: Job, folder: Path, rack: Rack) -> None:
    """Leave another list's plan in its folder once something was done by it, as the ledger says.

    Steel is on its way, or cut by those sheets, and only that plan file can be received, ticked and recorded.

    Raises
    ------
    ProblemsFound
        When there is such a plan.
    """
    then, now = _other_lists(job, folder)
    stage = begun_as(rack, folder / PLAN_FILE) if then else None
    if stage is not None:
        raise ProblemsFound(
            [
                Problem.statement(
                    str(folder),
                    f"a plan of {then}, which is {stage.value}; a plan of {now} would take its place",
                    "a folder without a plan of another list that is begun",
                    "name another folder with --out, or give the list another name",
                    code="plan.begun",
                )
            ]
        )


def _other_lists(job: Job, folder: Path) -> tuple[str, str]:
    """The lists that a folder holds a plan of, and those of this job; both blank where they are the same.

    A list of the same name is the same one, as changed since, and so is one of the same content under a new name. A
    plan file that cannot be read is of no list, and neither is a job that was read from no file.
    """
    from cutplan.words.naming import names_text

    try:
        planned, _ = as_it_says(folder / PLAN_FILE)
    except ProblemsFound:
        return "", ""
    then, now = ({file.name: file.sha256 for file in each.files if file.role == "parts"} for each in (planned, job))
    if not then or not now or set(then) == set(now) or set(then.values()) == set(now.values()):
        return "", ""
    return names_text(then), names_text(now)
