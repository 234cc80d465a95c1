"""Every kind of file that cutplan reads: a sound one to begin with, and what reads it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from cutplan import actions, planfile
from cutplan.actions import receiving, recording, stocktaking
from cutplan.model import Job, Plan
from cutplan.rack.job_events import stories
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import open_ledger
from cutplan.reading import read_job
from cutplan.reading.forms.stocktake import read_count, read_delivery
from tests import racks

INPUTS = Path(__file__).parent.parent.parent / "inputs"
FILES = {
    "garden-trailer.csv": "parts.csv",
    "garden-trailer-holes.csv": "parts-holes.csv",
    "prices.csv": "prices.csv",
    "rack.csv": "rack.csv",
    "workshop.toml": "workshop.toml",
}
"""The sample whose files are changed, by the names they get."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: its name in the folder of the job, and what reads it there."""

    file: str
    read: Callable[[Path], object]


def _job(folder: Path) -> Job:
    return read_job(folder / "parts.csv", prices=folder / "prices.csv")


def _ledger(folder: Path) -> object:
    with open_ledger(folder / "shed.ledger") as ledger:
        return contradictions(ledger), standing(ledger), stories(ledger.db), racks.put(ledger, 700)


def _actual(folder: Path) -> object:
    return recording.read_actual(folder / "plan.json", folder / "cut.xlsx")


def _delivery(folder: Path) -> object:
    job = _job(folder)
    return read_delivery(folder / "delivery.xlsx", job.workshop, job.offers)


def _count(folder: Path) -> object:
    return read_count(folder / "count.xlsx", _job(folder).workshop)


def _plan(folder: Path) -> object:
    return actions.verify(folder / "plan.json"), recording.cut_record_sheet(folder / "plan.json", folder / "out.xlsx")


KINDS: dict[str, Kind] = {
    "parts, csv": Kind("parts.csv", _job),
    "prices, csv": Kind("prices.csv", _job),
    "holes, csv": Kind("parts-holes.csv", _job),
    "rack, csv": Kind("rack.csv", lambda folder: read_job(folder / "parts.csv", rack=folder / "rack.csv")),
    "workbook of a job": Kind("job.xlsx", lambda folder: read_job(folder / "job.xlsx")),
    "workshop": Kind("workshop.toml", _job),
    "cut record": Kind("cut.xlsx", _actual),
    "delivery": Kind("delivery.xlsx", _delivery),
    "stock-take": Kind("count.xlsx", _count),
    "plan.json": Kind("plan.json", _plan),
    "ledger": Kind("shed.ledger", _ledger),
}


def sound_folder(folder: Path, plan: Callable[[Job], Plan] = actions.plan) -> Path:
    """A folder with a sound file of every kind, its plan made in a way of one's choice."""
    folder.mkdir(parents=True)
    for name, copy in FILES.items():
        shutil.copy(INPUTS / name, folder / copy)
    actions.convert(folder / "parts.csv", target=folder / "job.xlsx")
    job = _job(folder)
    planfile.write(job, plan(job), folder / "plan.json")
    recording.cut_record_sheet(folder / "plan.json", folder / "cut.xlsx")
    receiving.delivery_sheet(folder / "plan.json", folder / "delivery.xlsx")
    rack = actions.find_rack(near=folder / "parts.csv", ledger=folder / "count.ledger", who="Ines")
    with racks.new(folder / "count.ledger") as ledger:
        racks.put(ledger, 500, 1240, "755.5", place="B2")
        racks.begun(ledger)
    stocktaking.count_sheet(rack, "B2", folder / "count.xlsx")
    (folder / "count.ledger").rename(folder / "shed.ledger")
    _fill(folder / "cut.xlsx", "Cut", "yes")
    _fill(folder / "count.xlsx", "Found", 1)
    return folder


def _fill(path: Path, heading: str, value: str | int) -> None:
    """Write a value into every row below a heading."""
    from openpyxl import load_workbook

    book = load_workbook(path)
    head = next(cell for row in book.active.iter_rows() for cell in row if cell.value == heading)
    for row in range(head.row + 1, book.active.max_row + 1):
        if book.active.cell(row, 1).value is not None:
            book.active.cell(row, head.column, value)
    book.save(path)
