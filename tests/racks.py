"""Small ledgers for tests of the rack; no clock is asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cutplan.model import EndState
from cutplan.rack import handling
from cutplan.rack.entry import entry
from cutplan.rack.job_events import PlanNote, note_step
from cutplan.rack.pieces import Doing, Material, Standing, State
from cutplan.rack.stages import Step
from cutplan.rack.store import Ledger, open_ledger
from cutplan.rack.ticks import Tick, tick
from tests.builders import mm

__all__ = ["TUBE", "Standing", "State", "begun", "doing", "full", "new", "put", "state"]

TUBE = Material(designation="SHS 40x40x3", standard="EN 10219-2", finish="black")


def doing(what: str = "add", **other: str) -> Doing:
    """An action of a day long gone."""
    return Doing(at="2031-05-04T09:30:00Z", who="Ines", what=what, **other)


def state(length: float | str = 1240, **other: Any) -> State:
    return State(length=mm(length), **other)


def full(length: float | str = 6000, **other: Any) -> State:
    """A length as it comes from the mill."""
    return state(length, end_a=EndState.MILL, end_b=EndState.MILL, **other)


def new(path: Path) -> Ledger:
    return open_ledger(path, create=True)


def begun(ledger: Ledger, plan: str = "abc", job: str = "gate") -> None:
    """A job that is ordered, with a part ticked as cut, one as spoiled and a tick taken back."""
    note = PlanNote(plan=plan, folder="reports/gate", parts=4, to_pay=40_000_000)
    with entry(ledger, doing("ordered", job=job, plan=plan)) as writing:
        note_step(writing, note, Step.ORDERED, merchant="Yard", number="4711", day="2031-05-04", amount=40_000_000)
    for number, step in enumerate((Step.CUT, Step.SPOILED, Step.CUT), 1):
        with entry(ledger, doing(step.value, job=job, plan=plan)) as writing:
            one = Tick(bar=1, part="A", copy=number, spoiled=step is Step.SPOILED)
            tick(writing, note, step, [one], f"{job}-{number}")
    with entry(ledger, doing("uncut", job=job, plan=plan)) as writing:
        tick(writing, note, Step.UNCUT, [Tick(bar=1, part="A", copy=3)])


def put(ledger: Ledger, *lengths: float | str, **other: Any) -> tuple[str, ...]:
    """Offcuts of the tube, each with a mark of its own."""
    pieces = [handling.NewPiece(material=TUBE, state=state(length, **other)) for length in lengths]
    return handling.add(ledger, doing(), pieces)
