"""A list to load by, of what a plan has fetched."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.output_folder import fingerprint, reserved
from cutplan.actions.printing import printing

if TYPE_CHECKING:
    from cutplan.words.load_words import Load

LOAD = "load.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadList:
    """What is fetched, by merchant, and the file it was printed to; None where nothing is fetched."""

    loads: tuple[Load, ...]
    path: Path | None


def load_list(plan_file: Path | str) -> LoadList:
    """Print what a plan has fetched into ``load.pdf`` beside its plan.json: pieces by mass, trip by trip.

    Raises
    ------
    ProblemsFound
        When the file is no plan file, or the list cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.reports.paper.load_sheet import load_pdf
    from cutplan.words.load_words import loads_of

    path = Path(plan_file)
    with reserved(path.parent, workbook=False):
        job, plan = read_plan(path)
        loads = loads_of(job, plan)
        if not loads:
            return LoadList(loads=(), path=None)
        with printing(path.with_name(LOAD)) as file:
            file.write_bytes(load_pdf(loads, job.workshop, job.name, fingerprint(path)))
    return LoadList(loads=loads, path=path.with_name(LOAD))
