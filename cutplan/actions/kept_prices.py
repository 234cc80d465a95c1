"""The list of past prices beside a ledger, to which lines are only added."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.printing import could_write

if TYPE_CHECKING:
    from cutplan.reading.forms.past_prices import PastPrice


def past_prices_file(ledger: Path) -> Path:
    """Where past prices are kept: beside a ledger, named after it."""
    return ledger.with_name(f"{ledger.stem}-prices.csv")


def add_prices(path: Path, quoted: Sequence[PastPrice], kept: Sequence[PastPrice]) -> list[PastPrice]:
    """Add prices to the ``kept`` ones, which the list holds already; the new ones.

    What was noted last of an offer on a day, and is said again, is not new. One that was noted before another is: who
    mends a price twice a day may come back to the first.

    Raises
    ------
    ProblemsFound
        When they cannot be written.
    """
    from cutplan.reading.forms.past_prices import added_text

    before, said = _by_offer(kept), _by_offer(dict.fromkeys(quoted))
    new = [price for key, prices in said.items() for price in prices[_said_last(before.get(key, []), prices) :]]
    if new:
        with could_write(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("ab") as file:
                file.write(added_text(new, begin=file.tell() == 0))
                file.flush()
                os.fsync(file.fileno())
    return new


def _by_offer(prices: Iterable[PastPrice]) -> dict[tuple[object, ...], list[PastPrice]]:
    """Prices of an offer on a day, in their order: a list may have several, of lengths that are few."""
    found: dict[tuple[object, ...], list[PastPrice]] = {}
    for price in prices:
        found.setdefault((price.day, *price.offer), []).append(price)
    return found


def _said_last(before: Sequence[PastPrice], said: Sequence[PastPrice]) -> int:
    """How many of those said are the last that were noted, in the same order."""
    most = min(len(before), len(said))
    return next((count for count in range(most, 0, -1) if list(before[-count:]) == list(said[:count])), 0)
