"""Printing again from a plan made earlier, and opening what was printed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from cutplan.actions.checked import read_plan
from cutplan.actions.output_folder import LABELS, fingerprint, reserved
from cutplan.actions.publishing import staged
from cutplan.problems import Problem, ProblemsFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A file of labels, or of ways to cut a bar: how many it holds, from which one on, and how many the plan has."""

    path: Path
    count: int
    first: int
    of: int

    @property
    def following(self) -> int:
        """The first that would go on after these; 0 where none is left."""
        return self.first + self.count if self.first + self.count <= self.of else 0


def print_labels(plan_file: Path | str, *, size: str = "", start: int = 1, first: int = 1) -> Printed:
    """Print the labels of a plan into ``labels.pdf`` beside its plan.json.

    Parameters
    ----------
    size
        One of :data:`cutplan.model.LABELS`, in any case; blank is the workshop's.
    start
        The first free label of a sheet that is partly used, counted along the rows from 1.
    first
        The label to begin with, counted from 1 over the whole plan, as one file holds at most
        :data:`cutplan.reports.extent.MOST_LABELS`.

    Raises
    ------
    ProblemsFound
        When the file is no plan file, no such labels are known, sheet or plan has fewer labels, or it cannot be
        written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.model import LABELS as SIZES
    from cutplan.reports import extent
    from cutplan.reports.paper import labels

    path = Path(plan_file)
    target = path.with_name(LABELS)
    with reserved(path.parent, workbook=False):
        job, plan = read_plan(path)
        chosen = next((name for name in SIZES if name.lower() == " ".join(size.lower().split())), "")
        if size and not chosen:
            raise ProblemsFound([Problem(where="--size", found=size, accepted=", ".join(SIZES), code="command.choice")])
        sheet = labels.SHEETS[chosen or job.workshop.labels]
        if not 1 <= start <= sheet.columns * sheet.rows:
            accepted = f"a place on the sheet, 1 to {sheet.columns * sheet.rows}"
            raise ProblemsFound([Problem(where="--start", found=str(start), accepted=accepted, code="command.choice")])
        of = extent.labels_counted(plan)
        if not 1 <= first <= of:
            raise ProblemsFound(
                [
                    Problem(
                        where="--from",
                        found=str(first),
                        accepted=f"a label of the plan, 1 to {of}",
                        code="command.choice",
                    )
                ]
            )
        mark = fingerprint(path)
        with _printing(target) as file:
            labels.write_labels_pdf(job, plan, file, mark, size=chosen, start=start, first=first)
    return Printed(path=target, count=min(extent.MOST_LABELS, of - first + 1), first=first, of=of)


def print_sheets(plan_file: Path | str, *, first: int = 1) -> Printed:
    """Print the sheets to cut from into ``cut-<first>.pdf`` beside a plan.json, from one way to cut a bar on.

    Parameters
    ----------
    first
        The way to begin with, counted from 1 in the order of plan.pdf; one file holds at most
        :data:`cutplan.reports.extent.MOST_WAYS`.

    Raises
    ------
    ProblemsFound
        When the file is no plan file, the plan has fewer ways to cut a bar, or the sheets cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.reports.paper.plan_pdf import cut_pdf
    from cutplan.reports.rows import rows_of

    path = Path(plan_file)
    target = path.with_name(f"cut-{first}.pdf")
    with reserved(path.parent, workbook=False):
        rows = rows_of(*read_plan(path), first=max(first, 1))
        if not 1 <= first <= rows.ways:
            accepted = f"a way to cut a bar, 1 to {rows.ways}"
            raise ProblemsFound([Problem(where="--from", found=str(first), accepted=accepted, code="command.choice")])
        with _printing(target) as file:
            file.write_bytes(cut_pdf(rows, fingerprint(path)))
    return Printed(path=target, count=len(rows.blocks), first=first, of=rows.ways)


@contextmanager
def _printing(target: Path) -> Iterator[Path]:
    """Where to write a file that takes its place as a whole."""
    try:
        with staged(target.parent) as new:
            yield new / target.name
    except OSError as error:
        found = f"a file that cannot be written ({error.strerror or error})"
        accepted = "a file that can be written and is not open elsewhere"
        raise ProblemsFound(
            [Problem(where=str(target), found=found, accepted=accepted, found_is_text=False, code="file.unwritable")]
        ) from error


def open_file(path: Path) -> bool:
    """Show a file in the program the system has for it; False where there is none to ask."""
    import os
    import shutil
    import subprocess
    import sys

    if sys.platform == "win32":
        os.startfile(path)
        return True
    program = shutil.which("open" if sys.platform == "darwin" else "xdg-open")
    if program is None:
        return False
    try:
        subprocess.Popen([program, str(path)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except OSError:
        return False
    return True
