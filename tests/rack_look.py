"""A ledger as an onlooker sees it, to tell whether something was done, wholly or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutplan import actions
from cutplan.rack.replay import balances


@dataclass(frozen=True)
class Look:
    """What an onlooker sees: what lies there, how much went where, how many rows the ledger has."""

    lying: tuple[tuple[Any, ...], ...] = ()
    balances: tuple[tuple[Any, ...], ...] = ()
    rows: tuple[tuple[str, int], ...] = ()

    @property
    def actions(self) -> int:
        """How many things were done."""
        return dict(self.rows).get("action", 0)


def look(folder: Path) -> Look:
    """The ledger as it is, which must be sound."""
    rack = actions.find_rack(near=folder / "parts.csv", who="")
    if not rack.path.exists() or not rack.path.stat().st_size:
        return Look()
    assert actions.rack_verify(rack) == ((), 0)
    lying = tuple(
        sorted(
            (piece.mark, piece.material.designation, piece.state.length, piece.quantity, piece.state.place,
             piece.state.value, tuple((hold.job, hold.quantity, hold.until) for hold in piece.holds))
            for piece in actions.rack_show(rack)
        )
    )  # fmt: skip
    with rack.open(read_only=True) as ledger:
        sums = tuple((material.designation, repr(one)) for material, one in balances(ledger).items())
        for one in balances(ledger).values():
            assert one.came_in == one.on_hand + one.parts + one.kerf_and_trim + one.scrap
            assert min(one.on_hand, one.parts, one.kerf_and_trim, one.scrap) >= 0
        tables = [row[0] for row in ledger.db.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
        rows = tuple(
            (table, int(ledger.db.execute(f"SELECT count(*) FROM {table}").fetchone()[0])) for table in sorted(tables)
        )
    found = Look(lying, sums, rows)
    return found if found.actions else Look()  # one that was only just made is as good as none
