"""One function per thing a person can do; every room meets here and nowhere else.

The command line and a program that imports cutplan call the same functions.
What is wrong with the input is raised as :class:`~cutplan.problems.ProblemsFound`,
an input that no plan can answer as :class:`~cutplan.problems.NoPlan`. The rooms
are imported inside the functions, because some of them load large libraries.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.buying.changes import Change
    from cutplan.checking import Review
    from cutplan.model import Job, Plan
    from cutplan.reports.comparison import Compared
    from cutplan.sections.section import Section

TIME_LIMIT = 120.0
"""Seconds after which a search stops with the best plan found. Counters bind first on a usual job."""

PLAN_FILE = "plan.json"
WORKBOOK = "plan.xlsx"
LOCK_FILE = "cutplan.lock"


class CheckFailed(Exception):
    """A plan did not pass the checker, so it is not handed out; ``failures`` says what does not hold.

    This is a fault in the program, not in the input.
    """

    def __init__(self, failures: Sequence[str]) -> None:
        self.failures = tuple(failures)
        lines = ["The plan failed its check and nothing was written. This is a fault in cutplan, not in the input:"]
        super().__init__("\n".join([*lines, *self.failures]))


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupFound:
    """What a list asks for in one group, and what there is to cut it from.

    ``length`` in nm, ``mass`` in mg, both of the parts alone; ``offers`` counts the stock lengths that can be
    brought home, ``too_long`` those that cannot; ``priced`` is false when an offer has no price.
    """

    title: str
    parts: int
    pieces: int
    length: int
    mass: int
    offers: int
    too_long: int
    offcuts: int
    priced: bool


def read_job(
    parts: Path | str,
    *,
    workshop: Path | str | None = None,
    prices: Path | str | None = None,
    rack: Path | str | None = None,
    stock: Sequence[str] = (),
) -> Job:
    """Read a parts list and all that belongs to it.

    Parameters
    ----------
    parts
        Parts list, csv or xlsx.
    workshop
        Workshop file; without it, the one found from the folder of the list upwards.
    prices, rack
        Price list and rack file, csv or xlsx; without them, those the workshop file names.
    stock
        Lengths on sale without a price list: ``6 m`` for every section, or ``SHS 40x40x3: 6 m, 7.5 m``.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input, placed, all at once.
    """
    from cutplan import reading

    return reading.read_job(
        Path(parts),
        workshop=Path(workshop) if workshop else None,
        prices=Path(prices) if prices else None,
        rack=Path(rack) if rack else None,
        stock=[stock] if isinstance(stock, str) else stock,
    )


def check(job: Job) -> tuple[GroupFound, ...]:
    """What a list asks for, group by group, before anything is planned."""
    from cutplan.model import groups_of, within_carry
    from cutplan.model.totals import finished_mass

    found = []
    for group in groups_of(job):
        carried = sum(within_carry(offer, job.workshop) for offer in group.offers)
        length = sum(part.quantity * part.length for part in group.parts)
        found.append(
            GroupFound(
                title=group.title,
                parts=len(group.parts),
                pieces=group.pieces,
                length=length,
                mass=sum(part.quantity * finished_mass(part) for part in group.parts),
                offers=carried,
                too_long=len(group.offers) - carried,
                offcuts=len(group.offcuts),
                priced=group.priced,
            )
        )
    return tuple(found)


def plan(job: Job, *, time_limit: float = TIME_LIMIT, progress: Callable[[str], None] | None = None) -> Plan:
    """Plan a job for the least money and let the checker confirm it.

    Parameters
    ----------
    job
        As :func:`read_job` gives it.
    time_limit
        Seconds after which the best plan found so far is returned; its ``stopped_by`` says so.
    progress
        Is told in a few words what is being done.

    Raises
    ------
    NoPlan
        When no plan can answer the job; the message says which part and why.
    CheckFailed
        When the checker does not confirm the plan.
    """
    from cutplan import buying

    answer = buying.plan_job(job, time_limit=time_limit, progress=progress)
    _confirm(job, answer)
    return answer


def compare(
    job: Job,
    *,
    kerf: str | None = None,
    keep: str | None = None,
    without: Sequence[str] = (),
    no_rack: bool = False,
    also: Path | str | None = None,
    folder: Path | str | None = None,
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> tuple[Compared, ...]:
    """Plan a job as it is and once more under each change, and set what they come to side by side.

    Parameters
    ----------
    kerf, keep
        Another kerf; another length from which left overs are kept; in the notation of the workshop.
    without
        Merchants to leave out, each by itself.
    no_rack
        Ignore the rack.
    also
        A further price list, for another stock length or another merchant.
    folder
        Where each row's plan is written, in a folder of its own numbered from 0; not written when not said.
    time_limit
        Seconds for each plan.

    With no change named: the rack ignored, and each merchant left out in turn.

    Returns
    -------
    tuple of Compared
        The first is the job as it is. Those after a stop by the user are left out.

    Raises
    ------
    ProblemsFound
        When a change cannot be understood.
    NoPlan
        When the job as it is has no plan; a change that leaves none is a row that says why.
    """
    from cutplan.problems import NoPlan
    from cutplan.reports.comparison import compared, not_possible

    wanted = _changes(job, kerf, keep, without, no_rack, also)

    def planned(number: int, changed: Job) -> Plan:
        if folder is None:
            return plan(changed, time_limit=time_limit, progress=progress)
        return plan_into(changed, Path(folder) / str(number), time_limit=time_limit, progress=progress)[0]

    base = planned(0, job)
    rows = [compared("as it is", job, base, base)]
    for number, change in enumerate(wanted, 1):
        if rows[-1].stopped_by == "user":
            break
        try:
            rows.append(compared(change.words, change.job, planned(number, change.job), base))
        except NoPlan as none:
            rows.append(not_possible(change.words, str(none)))
    return tuple(rows)


def _changes(
    job: Job, kerf: str | None, keep: str | None, without: Sequence[str], no_rack: bool, also: Path | str | None
) -> tuple[Change, ...]:
    from cutplan import reading
    from cutplan.buying import changes
    from cutplan.units import parse_length, parse_length_or_zero

    unit, wanted, problems = job.workshop.unit, [], []
    asked: list[tuple[str, Callable[[], Change]]] = []
    if kerf is not None:
        asked.append(("--kerf", lambda: changes.other_kerf(job, parse_length_or_zero(kerf, unit))))
    if keep is not None:
        asked.append(("--keep", lambda: changes.other_keep(job, parse_length(keep, unit))))
    asked += [("--without", partial(changes.without_merchant, job, name)) for name in without]
    for where, make in asked:
        try:
            wanted.append(make())
        except Refused as refused:
            problems.append(Problem.at(where, refused))
    if no_rack:
        wanted.append(changes.without_rack(job))
    if also is not None:
        try:
            wanted.append(changes.with_offers(job, reading.read_offers(Path(also), job.workshop), Path(also).name))
        except ProblemsFound as found:
            problems += found.problems
    if problems:
        raise ProblemsFound(problems)
    return tuple(wanted) or changes.usual_changes(job)


def verify(subject: Path | str | tuple[Job, Plan]) -> tuple[str, ...]:
    """Let the checker judge a plan: a plan.json written earlier, or a job and its plan.

    Returns
    -------
    tuple of str
        What does not hold; empty when plan and proof hold.

    Raises
    ------
    ProblemsFound
        When the file is no plan file.
    """
    return review(subject).failures


def review(subject: Path | str | tuple[Job, Plan]) -> Review:
    """As :func:`verify`, with what was rechecked and a sentence on each bound.

    Of a file, what it derives from the plan (totals, whole numbers of the groups, bar prices) is judged too.
    """
    from cutplan import checking, planfile

    if isinstance(subject, tuple):
        return checking.review(*subject)
    document = planfile.read_document(Path(subject))
    judged = checking.review(*planfile.from_document(document, str(subject)))
    return replace(judged, failures=(*judged.failures, *planfile.contradictions(document)))


def write_plan(job: Job, plan: Plan, folder: Path | str) -> tuple[Path, ...]:
    """Write plan.json and plan.xlsx into a folder, each replaced as a whole, and name them.

    Raises
    ------
    CheckFailed
        When the checker does not confirm the plan; nothing is written.
    ProblemsFound
        When another run is writing there, a file is open elsewhere or the folder cannot be written.
    """
    _confirm(job, plan)
    with _reserved(Path(folder)):
        return _write_files(job, plan, Path(folder))


def plan_into(
    job: Job, folder: Path | str, *, time_limit: float = TIME_LIMIT, progress: Callable[[str], None] | None = None
) -> tuple[Plan, tuple[Path, ...]]:
    """Plan a job and write it, the folder kept to this run from before the search.

    So a folder that is in use, or a workbook that is open elsewhere, is told before the search and not after it.
    Raises what :func:`plan` and :func:`write_plan` raise; the folder is then as it was.
    """
    with _reserved(Path(folder)):
        answer = plan(job, time_limit=time_limit, progress=progress)
        return answer, _write_files(job, answer, Path(folder))


def summary(job: Job, plan: Plan, *, width: int = 100) -> str:
    """A plan in a few lines of plain text at most ``width`` characters wide."""
    from cutplan.reports import terminal

    return terminal.summary(job, plan, width)


def comparison(job: Job, rows: Sequence[Compared], *, width: int = 100) -> str:
    """What :func:`compare` found, as a table of plain text at most ``width`` characters wide."""
    from cutplan.reports.comparison import comparison_text

    return comparison_text(job, rows, width)


def comparison_values(job: Job, rows: Sequence[Compared]) -> dict[str, Any]:
    """What :func:`compare` found, as values for JSON."""
    from cutplan.reports.comparison import comparison_document

    return comparison_document(job, rows)


def document(job: Job, plan: Plan) -> dict[str, Any]:
    """A plan as the values that plan.json holds."""
    from cutplan import planfile

    return planfile.to_document(job, plan)


def tables(job: Job, plan: Plan) -> dict[str, Any]:
    """The plan as pandas DataFrames ``orders``, ``bars`` and ``cuts``; see :func:`cutplan.reports.frames.frames`."""
    from cutplan.reports.frames import frames

    return frames(job, plan)


def section(text: str, *, standard: str | None = None) -> Section:
    """A section by its designation, to ``standard`` or to the usual standard of its family.

    Raises
    ------
    ProblemsFound
        When the designation or the standard cannot be understood.
    """
    from cutplan import sections
    from cutplan.model import Workshop

    try:
        return sections.read_section(text, standard=standard, standard_of=Workshop().standard)
    except Refused as refused:
        raise ProblemsFound([Problem.at("section", refused)]) from None


def output_folder(parts: Path | str) -> Path:
    """Where a plan goes when nothing is said: ``reports/<name of the list>`` under the current folder."""
    return Path("reports") / Path(parts).stem


def _confirm(job: Job, answer: Plan) -> None:
    from cutplan import checking

    failures = checking.check(job, answer)
    if failures:
        raise CheckFailed(failures)


def _write_files(job: Job, answer: Plan, folder: Path) -> tuple[Path, ...]:
    """Both files under temporary names first, so that a failure in either leaves the folder as it was."""
    from cutplan import planfile
    from cutplan.reports import workbook

    ready: list[tuple[Path, Path]] = []
    try:
        for name, write in ((PLAN_FILE, planfile.write), (WORKBOOK, workbook.write_workbook)):
            target = folder / name
            temporary = folder / f".{os.getpid()}.{name}"
            ready.append((temporary, target))
            write(job, answer, temporary)
            with temporary.open("rb+") as written:
                os.fsync(written.fileno())
        _replace_all(ready)
    except OSError as error:
        raise ProblemsFound([_not_written(folder, error)]) from error
    finally:
        for temporary, _ in ready:
            temporary.unlink(missing_ok=True)
    return tuple(target for _, target in ready)


def _replace_all(ready: Sequence[tuple[Path, Path]]) -> None:
    """Put every file in its place, or none: a workbook beside the plan file of another run would mislead."""
    earlier: list[tuple[Path, Path]] = []
    try:
        for _, target in ready:
            if target.exists():
                kept = target.with_name(f".{os.getpid()}.earlier.{target.name}")
                earlier.append((kept, target))
                shutil.copy2(target, kept)
        try:
            for temporary, target in ready:
                os.replace(temporary, target)
        except BaseException:
            had = {target for _, target in earlier}
            for kept, target in earlier:
                os.replace(kept, target)
            for temporary, target in ready:
                if target not in had and not temporary.exists():
                    target.unlink(missing_ok=True)
            raise
    finally:
        for kept, _ in earlier:
            kept.unlink(missing_ok=True)


def _not_written(folder: Path, error: OSError | ValueError) -> Problem:
    return Problem(
        where=str(folder),
        found=f"a folder that cannot be written ({getattr(error, 'strerror', None) or error})",
        found_is_text=False,
        accepted="a folder that can be written, with no file of it open elsewhere",
        hint="close the workbook if it is open, or name another folder with --out",
    )


@contextmanager
def _reserved(folder: Path) -> Iterator[None]:
    """Keep a folder to this run by a lock file that only one run can make; tidy up after a failure."""
    lock = folder / LOCK_FILE
    made: list[Path] = []
    try:
        made = [path for path in (folder, *folder.parents) if not path.exists()]
        folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY)
    except FileExistsError as error:
        _remove_empty(made)
        if not lock.exists():
            raise ProblemsFound([_not_written(folder, error)]) from None
        raise ProblemsFound([_in_use(folder, lock)]) from None
    except (OSError, ValueError) as error:  # ValueError: a name that no folder can have
        _remove_empty(made)
        raise ProblemsFound([_not_written(folder, error)]) from error
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(f"process {os.getpid()}\n")
        _refuse_open_workbook(folder)
        yield
    finally:
        lock.unlink(missing_ok=True)
        _remove_empty(made)


def _remove_empty(made: Sequence[Path]) -> None:
    """Folders that this run made, inmost first, go again while they are still empty."""
    for path in made:
        with suppress(OSError, ValueError):
            path.rmdir()


def _in_use(folder: Path, lock: Path) -> Problem:
    try:
        holder = lock.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        holder = ""
    return Problem(
        where=str(folder),
        found=f"another run writing here ({holder or 'process not named'})",
        found_is_text=False,
        accepted="one run at a time in one folder",
        hint=f"wait for it, or name another folder with --out; if no run is going on, one was cut short: delete {lock}",
    )


def _refuse_open_workbook(folder: Path) -> None:
    """Spreadsheet programs leave an owner file beside a workbook while it is open; a plan under it would mislead."""
    for owner in (folder / f".~lock.{WORKBOOK}#", folder / f"~${WORKBOOK}"):
        if owner.exists():
            raise ProblemsFound(
                [
                    Problem(
                        where=str(folder / WORKBOOK),
                        found="a workbook that is open in a spreadsheet program",
                        found_is_text=False,
                        accepted="a workbook that is closed, so that the new plan can take its place",
                        hint=f"close it and run again; if it is not open anywhere, delete {owner}",
                    )
                ]
            )
