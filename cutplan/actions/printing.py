"""Printing again from a plan made earlier, and opening what was printed."""

from __future__ import annotations

from pathlib import Path

from cutplan.actions.checked import read_plan
from cutplan.actions.files import LABELS, fingerprint
from cutplan.problems import Problem, ProblemsFound


def print_labels(plan_file: Path | str, *, size: str = "", start: int = 1) -> tuple[Path, int]:
    """Print the labels of a plan into ``labels.pdf`` beside its plan.json.

    Parameters
    ----------
    size
        One of :data:`cutplan.model.LABELS`, in any case; blank is the workshop's.
    start
        The first free label of a sheet that is partly used, counted along the rows from 1.

    Returns
    -------
    tuple of Path and int
        The file, and how many labels it holds.

    Raises
    ------
    ProblemsFound
        When the file is no plan file, no such labels are known, the sheet has fewer labels, or it cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.model import LABELS as SIZES
    from cutplan.reports.paper import labels

    path = Path(plan_file)
    job, plan = read_plan(path)
    chosen = next((name for name in SIZES if name.lower() == " ".join(size.lower().split())), "")
    if size and not chosen:
        raise ProblemsFound([Problem(where="--size", found=size, accepted=", ".join(SIZES))])
    sheet = labels.SHEETS[chosen or job.workshop.labels]
    if not 1 <= start <= sheet.columns * sheet.rows:
        accepted = f"a place on the sheet, 1 to {sheet.columns * sheet.rows}"
        raise ProblemsFound([Problem(where="--start", found=str(start), accepted=accepted)])
    target = path.with_name(LABELS)
    mark = fingerprint(path)
    try:
        labels.write_labels_pdf(job, plan, target, mark, size=chosen, start=start)
    except OSError as error:
        found = f"a file that cannot be written ({error.strerror or error})"
        accepted = "a file that can be written and is not open elsewhere"
        raise ProblemsFound(
            [Problem(where=str(target), found=found, accepted=accepted, found_is_text=False)]
        ) from error
    return target, len(list(labels.labels_of(job, plan, mark)))


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
