"""The output folder: kept to one run, its files replaced together or not at all."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.model import Job, Plan

PLAN_FILE = "plan.json"

WORKBOOK = "plan.xlsx"

PRINTED = "plan.pdf"

PAGE = "plan.html"

LABELS = "labels.pdf"

LOCK_FILE = "cutplan.lock"


@contextmanager
def reserved(folder: Path) -> Iterator[None]:
    """Keep a folder to this run by a lock file that only one run can make; tidy up after a failure."""
    lock = folder / LOCK_FILE
    made: list[Path] = []
    try:
        made = [path for path in (folder, *folder.parents) if not path.exists()]
        folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666)
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


def write_files(job: Job, answer: Plan, folder: Path, reserved: Mapping[int, str] | None = None) -> tuple[Path, ...]:
    """All files under temporary names first, so that a failure in one leaves the folder as it was.

    ``reserved`` holds the marks promised to left overs to keep, by bar number.
    """
    from cutplan import planfile
    from cutplan.reports import html, workbook
    from cutplan.reports.paper import labels, plan_pdf

    plan_file = folder / f".{os.getpid()}.{PLAN_FILE}"
    writers: dict[str, Callable[[Path], None]] = {
        PLAN_FILE: lambda path: planfile.write(job, answer, path),
        WORKBOOK: lambda path: workbook.write_workbook(job, answer, path, fingerprint(plan_file)),
        PRINTED: lambda path: plan_pdf.write_plan_pdf(job, answer, path, fingerprint(plan_file), reserved),
        PAGE: lambda path: html.write_plan_html(job, answer, path, fingerprint(plan_file), reserved),
        LABELS: lambda path: labels.write_labels_pdf(job, answer, path, fingerprint(plan_file), reserved=reserved),
    }
    ready: list[tuple[Path, Path]] = []
    try:
        for name, write in writers.items():
            target = folder / name
            temporary = folder / f".{os.getpid()}.{name}"
            ready.append((temporary, target))
            write(temporary)
            with temporary.open("rb+") as written:
                os.fsync(written.fileno())
        _replace_all(ready)
    except OSError as error:
        raise ProblemsFound([_not_written(folder, error)]) from error
    finally:
        for temporary, _ in ready:
            temporary.unlink(missing_ok=True)
    return tuple(target for _, target in ready)


def fingerprint(plan_file: Path) -> str:
    """What stands on every sheet of a plan: the first eight figures of the SHA-256 of its plan.json."""
    return hashlib.sha256(plan_file.read_bytes()).hexdigest()[:8]


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
    reason = "a file has that name" if folder.is_file() else getattr(error, "strerror", None) or error
    return Problem(
        where=str(folder),
        found=f"a folder that cannot be written ({reason})",
        found_is_text=False,
        accepted="a folder that can be written, with no file of it open elsewhere",
        hint="close the workbook if it is open, or name another folder with --out",
    )


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
