"""Small ledgers for tests of the rack; no clock is asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cutplan.model import EndState
from cutplan.rack import handling
from cutplan.rack.pieces import Doing, Material, Standing, State
from cutplan.rack.store import Ledger, open_ledger
from tests.builders import mm

__all__ = ["TUBE", "Standing", "State", "doing", "full", "new", "put", "state"]

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


def put(ledger: Ledger, *lengths: float | str, **other: Any) -> tuple[str, ...]:
    """Offcuts of the tube, each with a mark of its own."""
    pieces = [handling.NewPiece(material=TUBE, state=state(length, **other)) for length in lengths]
    return handling.add(ledger, doing(), pieces)
