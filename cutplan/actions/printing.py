"""Printing again from a plan made earlier, and opening what was printed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from cutplan.actions.checked import read_plan
from cutplan.actions.files import LABELS, fingerprint, reserved
from cutplan.actions.publishing import staged
from cutplan.problems import Problem, ProblemsFound


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A file of labels: how many it holds, the first of them, and how many the plan has; both counted from 1."""

    path: Path
    labels: int
    first: int
    of: int

    @property
    def following(self) -> int:
        """The first label that would go on after these; 0 where none is left."""
        return self.first + self.labels if self.first + self.labels <= self.of else 0


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
            raise ProblemsFound([Problem(where="--size", found=size, accepted=", ".join(SIZES))])
        sheet = labels.SHEETS[chosen or job.workshop.labels]
        if not 1 <= start <= sheet.columns * sheet.rows:
            accepted = f"a place on the sheet, 1 to {sheet.columns * sheet.rows}"
            raise ProblemsFound([Problem(where="--start", found=str(start), accepted=accepted)])
        of = extent.labels_counted(plan)
        if not 1 <= first <= of:
            raise ProblemsFound([Problem(where="--from", found=str(first), accepted=f"a label of the plan, 1 to {of}")])
        mark = fingerprint(path)
        try:
            with staged(path.parent) as new:
                labels.write_labels_pdf(job, plan, new / LABELS, mark, size=chosen, start=start, first=first)
        except OSError as error:
            found = f"a file that cannot be written ({error.strerror or error})"
            accepted = "a file that can be written and is not open elsewhere"
            raise ProblemsFound(
                [Problem(where=str(target), found=found, accepted=accepted, found_is_text=False)]
            ) from error
    return Printed(path=target, labels=min(extent.MOST_LABELS, of - first + 1), first=first, of=of)


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
