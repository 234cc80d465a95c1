"""Planning a job and showing the plan."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.checked import confirm
from cutplan.actions.other_lists import refuse_to_replace
from cutplan.actions.output_folder import reserved, write_files
from cutplan.actions.rack_plans import draws_from_ledger, holding_used, marked, rack_note, refuse_unheld

if TYPE_CHECKING:
    from datetime import date

    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan

TIME_LIMIT = 120.0
"""Seconds after which a search stops with the best plan found. Counters bind first on a usual job."""

_LONGEST_FOLDER = 200
"""Bytes in the name of a folder of several lists; most file systems take 255."""


def plan(
    job: Job,
    *,
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
    processes: int | None = None,
    cluster: str = "",
) -> Plan:
    """Plan a job for the least money and let the checker confirm it.

    Parameters
    ----------
    job
        As :func:`read_job` gives it.
    time_limit
        Seconds after which the best plan found so far is returned; its ``stopped_by`` says so.
    progress
        Called with a few words on what is being done.
    processes
        Helper processes that may run at once where groups are large: 0 for none, None for as many as there are
        processors. The plan is the same.
    cluster
        The address of the scheduler of a dask cluster, whose workers then take large groups instead.

    Raises
    ------
    ProblemsFound
        When that cluster cannot be reached, or its workers have other releases.
    NoPlan
        When no plan can answer the job; the message says which part and why.
    CheckFailed
        When the checker does not confirm the plan.
    """
    begun = time.monotonic()
    from cutplan import planning

    # What is loaded for it takes half a second of a processor, and a shared one may be slow to do that.
    left = max(0.0, time_limit - (time.monotonic() - begun))
    answer = planning.plan_job(job, time_limit=left, progress=progress, processes=processes, cluster=cluster)
    if draws_from_ledger(job):
        answer = planning.oldest_first(job, answer)
    confirm(job, answer)
    return answer


def write_plan(job: Job, plan: Plan, folder: Path | str) -> tuple[Path, ...]:
    """Write plan.json, plan.xlsx and plan.pdf into a folder, each replaced as a whole, and name them.

    Raises
    ------
    CheckFailed
        When the checker does not confirm the plan; nothing is written.
    ProblemsFound
        When another run is writing there, a file is open elsewhere or the folder cannot be written.
    """
    confirm(job, plan)
    with reserved(Path(folder)):
        return write_files(job, plan, Path(folder))


def plan_into(
    job: Job,
    folder: Path | str,
    *,
    rack: Rack | None = None,
    hold: bool = False,
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
    before_writing: Callable[[], None] | None = None,
    processes: int | None = None,
    cluster: str = "",
) -> tuple[Plan, tuple[Path, ...]]:
    """Plan a job and write it, the folder kept to this run from before the search.

    So a folder that is in use, or a workbook that is open elsewhere, is reported before the search and not after it,
    and so is the plan of another list there that is begun on the rack.
    Raises what :func:`plan` and :func:`write_plan` raise; the folder is then as it was.

    Parameters
    ----------
    rack
        Where the plan will be recorded. A plan that draws from its ledger is given the marks of the offcuts to come,
        and is refused when the rack changed while it was made.
    hold
        Hold the pieces that the plan uses for the job, from the moment its files are in place.
    before_writing
        Called once the search is over, which alone the time limit ends.
    """
    if hold and rack is not None:
        refuse_unheld(job, rack)
    with reserved(Path(folder)):
        if rack is not None:
            refuse_to_replace(job, Path(folder), rack)
        answer = plan(job, time_limit=time_limit, progress=progress, processes=processes, cluster=cluster)
        if before_writing is not None:
            before_writing()
        return _put(job, answer, Path(folder), rack, hold, progress)


def put_into(job: Job, answer: Plan, folder: Path | str, *, rack: Rack | None = None) -> tuple[Plan, tuple[Path, ...]]:
    """Write a plan that was made elsewhere, as :func:`plan_into` writes one; raises what that does."""
    confirm(job, answer)
    with reserved(Path(folder)):
        return _put(job, answer, Path(folder), rack)


def _put(
    job: Job,
    answer: Plan,
    folder: Path,
    rack: Rack | None,
    hold: bool = False,
    progress: Callable[[str], None] | None = None,
) -> tuple[Plan, tuple[Path, ...]]:
    # Setting many sheets takes longer than some searches, and no time limit ends it.
    if rack is None:
        return answer, write_files(job, answer, folder, progress=progress)
    answer = marked(job, answer, rack, folder)
    held = holding_used(job, answer, rack, folder) if hold else None
    return answer, write_files(job, answer, folder, notes=rack_note(folder, rack), taking_place=held, progress=progress)


def summary(
    job: Job, plan: Plan, *, width: int = 100, boxed: bool = False, fingerprint: str = "", all_assumed: bool = False
) -> str:
    """A plan as text at most ``width`` characters wide, its bars drawn in plain characters unless ``boxed``.

    ``fingerprint`` is that of its plan.json where it was written; ``all_assumed`` shows what was assumed and changes
    nothing in this plan, too.
    """
    from cutplan.reports.terminal import picture, plan_text

    ink = picture.BOXED if boxed else picture.PLAIN
    return plan_text.summary(job, plan, width, ink, fingerprint, all_assumed=all_assumed)


def document(job: Job, plan: Plan) -> dict[str, Any]:
    """A plan as the values that plan.json holds."""
    from cutplan import planfile

    return planfile.to_document(job, plan)


def tables(job: Job, plan: Plan) -> dict[str, Any]:
    """The plan as pandas DataFrames, such as ``orders`` and ``bars``; see :func:`cutplan.reports.frames.frames`."""
    from cutplan.reports.frames import frames

    return frames(job, plan)


def tables_of_all(answers: Mapping[str, tuple[Job, Plan]], days: Mapping[str, date] | None = None) -> dict[str, Any]:
    """The tables of several plans together, with ``steel`` by section and ``weeks`` by merchant; see
    :func:`cutplan.reports.frames.frames_of_all`.
    """
    from cutplan.reports.frames import frames_of_all

    return frames_of_all(answers, days)


def plan_folder(parts: Path | str | Sequence[Path | str]) -> Path:
    """Where a plan goes when nothing is said: ``reports/<name of the list>``, of several lists their names joined.

    Where that is longer than a folder's name may be, the first and how many more, with a digest of all.
    """
    names = [_name_of(Path(each)) for each in ([parts] if isinstance(parts, Path | str) else parts)]
    joined = "+".join(names)
    if len(names) > 1 and len(joined.encode()) > _LONGEST_FOLDER:
        told_apart = sha256(joined.encode()).hexdigest()[:8]
        first = names[0].encode()[: _LONGEST_FOLDER // 2].decode(errors="ignore").rstrip()
        joined = f"{first}+{len(names) - 1} more {told_apart}"
    return Path("reports") / joined


def _name_of(path: Path) -> str:
    """``gate`` of gate.csv. Full stops alone name folders that are there already: of ``...csv`` it is ``csv``."""
    return path.stem if path.stem.strip(". ") else path.name.strip(". ") or "list"
