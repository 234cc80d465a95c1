"""Keeping what merchants quoted, with its day, beside the rack's ledger."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.ordering import day_typed
from cutplan.actions.printing import could_write
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """How many prices of a list were noted, and how many had been noted before; ``path`` is where.

    Nothing is noted of rows that say ``no``, ``unsold``, and of those without a price, ``unpriced``.
    """

    path: Path
    day: date
    noted: int
    before: int
    unsold: int
    unpriced: int


def past_prices_file(ledger: Path) -> Path:
    """Where past prices are kept: beside a ledger, named after it."""
    return ledger.with_name(f"{ledger.stem}-prices.csv")


def keep_quotes(prices: Path | str, rack: Rack, *, day: str = "", today: date | None = None) -> Kept:
    """Note the prices of a list with their day; said again on one day, nothing is noted twice.

    Parameters
    ----------
    prices
        A price list, or a form as a merchant sent it back.
    day
        When it was quoted, such as ``2031-06-01``; today when not said, and no later.
    today
        The day it is; that of the clock when not said.

    Raises
    ------
    ProblemsFound
        When the day is yet to come, the list, the day or the prices kept before cannot be read, or they cannot be
        written.
    """
    from cutplan.reading import read_answers
    from cutplan.reading.forms.past_prices import added_text, quoted_on, read_past_prices

    typed, now = day_typed(day), today or date.today()
    when = date.fromisoformat(typed) if typed else now
    if when > now:
        accepted = f"the day it was quoted, {now} at the latest"
        raise ProblemsFound([Problem(where="--date", found=typed, accepted=accepted, code="price.day")])
    answers = read_answers(Path(prices), rack.workshop)
    quoted = quoted_on(when, answers.offers, rack.workshop)
    path = past_prices_file(rack.path)
    known = set(read_past_prices(path))
    new = [price for price in quoted if price not in known]
    if new:
        with could_write(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("ab") as file:
                file.write(added_text(new, begin=file.tell() == 0))
                file.flush()
                os.fsync(file.fileno())
    return Kept(
        path=path,
        day=when,
        noted=len(new),
        before=len(quoted) - len(new),
        unsold=answers.unsold,
        unpriced=answers.unanswered + len(answers.offers) - len(quoted),
    )


def kept_text(kept: Kept) -> str:
    """What was noted, in words."""
    from cutplan.units import counted

    before = f"; {kept.before} noted before" if kept.before else ""
    over = [f"{kept.unsold} not sold"] * bool(kept.unsold) + [f"{kept.unpriced} without a price"] * bool(kept.unpriced)
    passed = f" Passed over: {counted(kept.unsold + kept.unpriced, 'row')}, {' and '.join(over)}." if over else ""
    return f"{counted(kept.noted, 'price')} of {kept.day} noted in {kept.path}{before}.{passed}"


def kept_values(kept: Kept) -> dict[str, Any]:
    """What was noted, as values for JSON."""
    counts = {"noted": kept.noted, "before": kept.before, "unsold": kept.unsold, "unpriced": kept.unpriced}
    return {"file": str(kept.path), "day": kept.day.isoformat(), **counts}
