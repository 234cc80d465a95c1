"""Printing again from a plan made earlier, and opening what was printed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from cutplan.actions.checked import read_plan
from cutplan.actions.digests import plan_digest
from cutplan.actions.output_folder import LABELS, fingerprint, reserved
from cutplan.actions.publishing import staged
from cutplan.actions.rack_plans import noted_rack
from cutplan.problems import Problem, ProblemsFound, Refused, to_be_written

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan, Workshop
    from cutplan.units import Length


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


def print_labels(
    plan_file: Path | str,
    *,
    size: str = "",
    start: int = 1,
    first: int = 1,
    at_least: str = "",
    address: str = "",
    job: str = "",
) -> Printed:
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
    at_least
        Parts shorter than this length have no label of their own, but are listed on one for their bag.
    address
        Of a server, such as ``https://bench:8321``: the codes then open its pages.
    job
        One of several jobs planned together, whose parts alone have labels, in ``labels-<job>.pdf``.

    Left overs that have no mark in the plan have the one they were recorded under, where they were.

    Raises
    ------
    ProblemsFound
        When the file is no plan file, no such labels or job are known, the length cannot be read, sheet or plan has
        fewer labels, or it cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.reports import extent
    from cutplan.reports.paper import labels

    path = Path(plan_file)
    with reserved(path.parent, workbook=False):
        planned, plan = read_plan(path)
        chosen = label_size(size, start, planned.workshop)
        wanted = labels.Wanted(
            at_least=_least(at_least, planned.workshop),
            marks=_marks_given(path, planned, plan),
            address=_address(address),
            list_name=_one_of(planned, job),
        )
        target = path.with_name(f"labels-{wanted.list_name}.pdf" if wanted.list_name else LABELS)
        mark = fingerprint(path)
        of = sum(1 for _ in labels.labels_of(planned, plan, mark, wanted))
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
        with printing(target) as file:
            labels.write_labels_pdf(planned, plan, file, mark, size=chosen, start=start, first=first, wanted=wanted)
    return Printed(path=target, count=min(extent.MOST_LABELS, of - first + 1), first=first, of=of)


def label_size(size: str, start: int, workshop: Workshop) -> str:
    """The labels named, or the workshop's; refused where there are none such, or a sheet has not so many.

    Parameters
    ----------
    size
        One of :data:`cutplan.model.LABELS`, in any case; blank is the workshop's.
    start
        The first free label of a sheet, counted along its rows from 1.
    """
    from cutplan.model import LABELS as SIZES
    from cutplan.reports.paper.label_sheets import SHEETS

    chosen = next((name for name in SIZES if name.lower() == " ".join(size.lower().split())), "")
    if size and not chosen:
        raise ProblemsFound([Problem(where="--size", found=size, accepted=", ".join(SIZES), code="command.choice")])
    chosen = chosen or workshop.labels
    most = SHEETS[chosen].per_page
    if not 1 <= start <= most:
        accepted = f"a place on the sheet, 1 to {most}"
        raise ProblemsFound([Problem(where="--start", found=str(start), accepted=accepted, code="command.choice")])
    return chosen


def planned_together(job: Job) -> tuple[str, ...]:
    """The names of jobs that were planned together; none of a job by itself."""
    return tuple(dict.fromkeys(part.list_name for part in job.parts if part.list_name))


def _one_of(job: Job, name: str) -> str:
    """The name of one of several jobs planned together, typed in any case."""
    names = planned_together(job)
    found = [each for each in names if each == name] or [each for each in names if each.casefold() == name.casefold()]
    if name and len(found) != 1:
        accepted = (
            f"one of the jobs planned together: {', '.join(names)}" if names else "nothing, as one job is planned"
        )
        raise ProblemsFound([Problem(where="--job", found=name, accepted=accepted, code="command.choice")])
    return found[0] if name else ""


def _least(text: str, workshop: Workshop) -> Length:
    try:
        return workshop.figures.length_or_zero(text) if text else 0
    except Refused as refused:
        raise ProblemsFound([Problem.at("--at-least", refused)]) from None


def _address(text: str) -> str:
    """The address of a server as codes begin with it."""
    try:
        split = urlsplit(text.strip())
        sound = split.scheme in ("http", "https") and bool(split.hostname) and split.path in ("", "/")
        sound = sound and not (split.query or split.fragment or split.username) and split.port != 0
    except ValueError:
        sound = False
    if text and not (sound and text.isascii() and " " not in text.strip()):
        accepted = "the address of a server, such as https://bench:8321"
        raise ProblemsFound([Problem(where="--address", found=text, accepted=accepted, code="command.choice")])
    return text.strip().rstrip("/")


def _marks_given(plan_file: Path, job: Job, plan: Plan) -> dict[int, str]:
    """The marks that left overs of a recorded plan have, by bar, where its ledger is known."""
    from cutplan.rack import store
    from cutplan.rack.cut_bars import marks_given

    where = noted_rack(plan_file)
    if where is None or not where.exists():
        return {}
    with store.open_ledger(where, read_only=True) as ledger:
        return marks_given(ledger, plan_digest(job, plan))


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
        with printing(target) as file:
            file.write_bytes(cut_pdf(rows, fingerprint(path)))
    return Printed(path=target, count=len(rows.blocks), first=first, of=rows.ways)


def print_rack_labels(
    rack: Rack,
    marks: Sequence[str] = (),
    *,
    size: str = "",
    start: int = 1,
    out: Path | None = None,
    address: str = "",
) -> Printed:
    """Print a label for each piece of the rack, or for those of some marks; full lengths have one each.

    Parameters
    ----------
    marks
        Those to print; blank is all that lies on the rack.
    size, start, address
        As for :func:`print_labels`.
    out
        The file; ``rack-labels.pdf`` beside the ledger when not said.

    Raises
    ------
    ProblemsFound
        When there is no ledger, a mark is not on the rack, no such labels are known, the address is none, or the file
        cannot be written.
    """
    from cutplan.rack.handling import all_on_hand
    from cutplan.rack.standing import standing
    from cutplan.reports.paper.label_sheets import write_labels
    from cutplan.reports.paper.labels import RackPiece, rack_label
    from cutplan.words.naming import shop_name
    from cutplan.words.rack_words import ends_text, long_point_text

    chosen, before = label_size(size, start, rack.workshop), _address(address)
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        found = all_on_hand(db, marks) if marks else standing(ledger)
    target = out or rack.path.with_name("rack-labels.pdf")
    made = [
        rack_label(
            RackPiece(
                mark=piece.mark,
                length=piece.state.length,
                section=f"{shop_name(piece.material.designation, rack.workshop.printing)}, {piece.material.standard}",
                grade=piece.state.grade,
                finish=piece.material.finish,
                heat_number=piece.state.heat_number,
                ends=ends_text(piece.state),
                slant=long_point_text(piece.state, rack.workshop.printing),
            ),
            rack.workshop.printing,
            before,
        )
        for piece in found
        for _ in range(piece.quantity)
    ]
    with printing(target) as file:
        write_labels(made, chosen, file, f"rack {rack.path.stem}", start=start)
    return Printed(path=target, count=len(made), first=1, of=len(made))


@contextmanager
def printing(target: Path) -> Iterator[Path]:
    """Where to write a file that takes its place as a whole."""
    with could_write(target), staged(target.parent) as new:
        yield new / target.name


@contextmanager
def could_write(target: Path) -> Iterator[None]:
    """Turn what the system says of a file or folder that cannot be written into a Problem."""
    try:
        yield
    except OSError as error:
        found = f"a file that cannot be written ({error.strerror or error})"
        accepted = to_be_written(error, "a file that can be written and is not open elsewhere")
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
