"""The tables of holes and drills: every row has its source, every value is exact."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from cutplan.drilling import size_tables

TABLES = Path(size_tables.__file__).parent / "tables"


@pytest.mark.parametrize("name", ["clearance.csv", "tapped.csv", "drills.csv"])
def test_every_row_names_its_source(name: str) -> None:
    rows = list(csv.DictReader((TABLES / name).read_text(encoding="utf-8").splitlines()))
    assert rows
    assert all(row["source"] and None not in row and None not in row.values() for row in rows)


def test_no_bolt_and_no_thread_twice() -> None:
    bolts = [row.split(",")[1] for row in (TABLES / "clearance.csv").read_text(encoding="utf-8").splitlines()]
    assert len(set(bolts)) == len(bolts) == len(size_tables.clearances()) + 1
    assert len({(thread.bolt, thread.pitch) for thread in size_tables.threads()}) == len(size_tables.threads())


def test_every_bolt_that_can_be_tapped_can_be_cleared() -> None:
    assert {thread.bolt for thread in size_tables.threads()} - {"9/16"} <= set(size_tables.clearances())


def test_a_value_finer_than_a_nanometre_is_a_fault_of_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    row = {"name": "x", "inches": "1/3", "source": "made up"}
    monkeypatch.setattr(size_tables, "_rows", lambda table: [row])
    with pytest.raises(ValueError, match="finer than a nanometre"):
        size_tables.named_drills.__wrapped__()
