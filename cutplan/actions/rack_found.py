"""The rack of a workshop: where its ledger lies, and who does what is done."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.typed_values import printable
from cutplan.problems import plain

if TYPE_CHECKING:
    from cutplan.costing.cost_figures import CostFigures
    from cutplan.model import Workshop
    from cutplan.rack.pieces import Doing
    from cutplan.rack.store import Ledger
    from cutplan.reading.workshop.rack_rules import RackRules


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """A workshop and the place of its ledger, which may not be there yet. ``who`` does what is done.

    ``costs`` are its figures for costs and quotes, ``rack_file`` the list of pieces that it names; ``said`` is false
    where there is no workshop file, and all are defaults.
    """

    path: Path
    workshop: Workshop
    rules: RackRules
    costs: CostFigures
    who: str
    rack_file: Path | None = None
    said: bool = True

    def open(self, *, create: bool = False, read_only: bool = False) -> Ledger:
        """The ledger, opened; see :func:`cutplan.rack.store.open_ledger`."""
        from cutplan.rack import store

        return store.open_ledger(self.path, create=create, read_only=read_only)

    def doing(self, what: str, *, job: str = "", plan: str = "", reason: str = "") -> Doing:
        """An action of now.

        Raises
        ------
        ProblemsFound
            When the reason cannot be printed.
        """
        from cutplan.rack.pieces import Doing

        why = printable("--reason", reason)
        return Doing(at=now(), who=self.who, what=what, job=job, plan=plan, reason=why)

    def hold_until(self, at: str) -> str:
        """The last day of a hold that begins now."""
        from datetime import date, timedelta

        return (date.fromisoformat(at[:10]) + timedelta(days=self.rules.hold_days)).isoformat()


def ledger_written() -> int:
    """How many actions this process has written into a ledger."""
    import sys

    store = sys.modules.get("cutplan.rack.store")
    return 0 if store is None else int(store.Ledger.written)


def wait_at_most(milliseconds: int) -> None:
    """Let this process wait no longer than that for a ledger that another one holds."""
    from cutplan.rack import store

    store.wait_at_most(milliseconds)


def now() -> str:
    """The time in UTC, to the second, as the ledger writes it."""
    from datetime import UTC, datetime

    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def find_rack(
    *,
    near: Path | str | None = None,
    workshop: Path | str | None = None,
    ledger: Path | str | None = None,
    who: str | None = None,
) -> Rack:
    """The rack of a workshop.

    Parameters
    ----------
    near
        A file from whose folder upwards the workshop file is looked for; the current folder when not said.
    workshop
        The workshop file.
    ledger
        The ledger, in place of the one the workshop file names.
    who
        Who does what is done; the name one is logged in by when not said.

    Raises
    ------
    ProblemsFound
        When the workshop file is not sound, or a name cannot be printed.
    """
    from cutplan import reading

    beside = Path(near) if near is not None else Path("any")  # the file itself need not be there
    shop = reading.workshop_of(beside, Path(workshop) if workshop else None)
    return Rack(
        path=Path(ledger) if ledger is not None else shop.ledger,
        workshop=shop.workshop,
        rules=shop.rules,
        costs=shop.costs,
        who=plain(_login()) if who is None else printable("--who", who),
        rack_file=shop.rack,
        said=bool(shop.name),
    )


def _login() -> str:
    from getpass import getuser

    try:
        return getuser()
    except (OSError, KeyError, ImportError):  # no such name on this computer
        return ""
