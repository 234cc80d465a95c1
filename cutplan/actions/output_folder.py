"""The output folder: kept to one run, its files replaced together or not at all."""

from __future__ import annotations

import hashlib
import os.path
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.locking import LOCK_FILE, Held, acquire, release
from cutplan.actions.publishing import settle, staged, unsettled
from cutplan.problems import Problem, ProblemsFound, disk_full, to_be_written
from cutplan.unfinished import PLAN_FILE

if TYPE_CHECKING:
    from cutplan.model import Job, Plan


WORKBOOK = "plan.xlsx"

PRINTED = "plan.pdf"

PAGE = "plan.html"

LABELS = "labels.pdf"

FILES = (PLAN_FILE, WORKBOOK, PRINTED, PAGE, LABELS)
"""What every plan is written as."""


@contextmanager
def reserved(folder: Path, *, workbook: bool = True) -> Iterator[None]:
    """Keep a folder to this run, and tidy up after a run that was killed there; a folder made goes again while empty.

    Parameters
    ----------
    workbook
        The workbook will be replaced, so that it must not be open elsewhere.

    Raises
    ------
    ProblemsFound
        When another run has it, or it cannot be written.
    """
    lock = folder / LOCK_FILE
    made: list[Path] = []
    try:
        made = [path for path in (folder, *folder.parents) if not path.exists()]
        folder.mkdir(parents=True, exist_ok=True)
        handle = acquire(lock)
    except Held as held:
        raise ProblemsFound([_in_use(folder, held.owner)]) from None
    except (OSError, ValueError) as error:  # ValueError: a name that no folder can have
        _remove_empty(made)
        raise ProblemsFound([_not_written(folder, error)]) from error
    try:
        try:
            settle(folder)
        except OSError as error:
            raise ProblemsFound([_not_written(folder, error)]) from error
        if workbook:
            _refuse_open_workbook(folder)
        yield
    finally:
        release(lock, handle)
        _remove_empty(made)


def settled(folder: Path) -> None:
    """Let no file of a folder be read while it may belong to another plan than the file beside it.

    Raises
    ------
    ProblemsFound
        When a run is putting its files in place, or one was killed at it and this one cannot finish its work.
    """
    if unsettled(folder):
        with reserved(folder, workbook=False):
            pass


def write_files(
    job: Job,
    answer: Plan,
    folder: Path,
    notes: Mapping[str, str] | None = None,
    taking_place: AbstractContextManager[object] | None = None,
    progress: Callable[[str], None] | None = None,
) -> tuple[Path, ...]:
    """All files of a plan, which take their places together; a failure leaves the folder as it was.

    ``notes`` are small texts to put beside the plan, by the name of their file; ``taking_place`` is entered around the
    moment when all take their places, and ``progress`` is called with the name of each file that takes long.
    """
    from cutplan import planfile
    from cutplan.reports.browser import plan_html
    from cutplan.reports.paper import labels, plan_pdf
    from cutplan.reports.workbook import plan_xlsx

    try:
        with staged(folder, taking_place) as new:
            plan_file = new / PLAN_FILE
            planfile.write(job, answer, plan_file)
            mark = fingerprint(plan_file)
            # Bars that stay have their labels already.
            wanted = labels.Wanted(skip=job.earlier.stay if job.earlier else ())
            writers: Mapping[str, Callable[[Path], None]] = {
                WORKBOOK: lambda path: plan_xlsx.write_workbook(job, answer, path, mark),
                PRINTED: lambda path: plan_pdf.write_plan_pdf(job, answer, path, mark),
                PAGE: lambda path: plan_html.write_plan_html(job, answer, path, mark),
                LABELS: lambda path: labels.write_labels_pdf(job, answer, path, mark, wanted=wanted),
            }
            for name, write in writers.items():
                if progress is not None:
                    progress(f"writing {name}")
                write(new / name)
            for name, text in (notes or {}).items():
                (new / name).write_text(text, encoding="utf-8")
    except OSError as error:
        raise ProblemsFound([_not_written(folder, error)]) from error
    return tuple(folder / name for name in FILES)


def fingerprint(plan_file: Path) -> str:
    """What stands on every sheet of a plan: the first eight figures of the SHA-256 of its plan.json."""
    return hashlib.sha256(plan_file.read_bytes()).hexdigest()[:8]


def _not_written(folder: Path, error: OSError | ValueError) -> Problem:
    if disk_full(error):
        hint = "make room on that disk, or name a folder on another with --out"
    elif isinstance(error, PermissionError):  # what Windows says of a file that is open
        hint = "close the workbook if it is open, or name another folder with --out"
    else:
        hint = "name another folder with --out"
    reason = "a file has that name" if os.path.isfile(folder) else getattr(error, "strerror", None) or error
    return Problem(
        where=str(folder),
        found=f"a folder that cannot be written ({reason})",
        found_is_text=False,
        accepted=to_be_written(error, "a folder that can be written, with no file of it open elsewhere"),
        hint=hint,
        code="file.unwritable",
    )


def _remove_empty(made: Sequence[Path]) -> None:
    """Folders that this run made, inmost first, go again while they are still empty."""
    for path in made:
        with suppress(OSError, ValueError):
            path.rmdir()


def _in_use(folder: Path, owner: str) -> Problem:
    return Problem(
        where=str(folder),
        found=f"another run writing here ({owner or 'process not named'})",
        found_is_text=False,
        accepted="one run at a time in one folder",
        hint="wait for it, or name another folder with --out",
        code="file.in_use",
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
                        code="file.open",
                    )
                ]
            )
