"""The list of past prices beside a ledger, to which lines are only added."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.printing import could_write

if TYPE_CHECKING:
    from cutplan.reading.forms.past_prices import PastPrice


def past_prices_file(ledger: Path) -> Path:
    """Where past prices are kept: beside a ledger, named after it."""
    return ledger.with_name(f"{ledger.stem}-prices.csv")


def add_prices(path: Path, quoted: Sequence[PastPrice], kept: Sequence[PastPrice]) -> list[PastPrice]:
    """Add those prices that are not among the ``kept`` ones, which the list holds already; the new ones.

    Raises
    ------
    ProblemsFound
        When they cannot be written.
    """
    from cutplan.reading.forms.past_prices import added_text

    known = set(kept)
    new = [price for price in dict.fromkeys(quoted) if price not in known]
    if new:
        with could_write(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("ab") as file:
                file.write(added_text(new, begin=file.tell() == 0))
                file.flush()
                os.fsync(file.fileno())
    return new
