"""Keeping what merchants quoted, with its day, beside the rack's ledger."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.kept_prices import add_prices, past_prices_file
from cutplan.actions.ordering import day_typed
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.words.quoted_words import Kept


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
    from cutplan.reading.forms.past_prices import drifts, quoted_on, read_past_prices
    from cutplan.words.quoted_words import Kept

    typed, now = day_typed(day), today or date.today()
    when = date.fromisoformat(typed) if typed else now
    if when > now:
        accepted = f"the day it was quoted, {now} at the latest"
        raise ProblemsFound([Problem(where="--date", found=typed, accepted=accepted, code="price.day")])
    answers = read_answers(Path(prices), rack.workshop)
    quoted = quoted_on(when, answers.offers, rack.workshop)
    path = past_prices_file(rack.path)
    kept = read_past_prices(path)
    new = add_prices(path, quoted, kept)
    merchants = {price.merchant.casefold() for price in quoted}
    return Kept(
        path=path,
        day=when,
        noted=len(new),
        before=len(quoted) - len(new),
        unsold=answers.unsold,
        unpriced=answers.unanswered + len(answers.offers) - len(quoted),
        drifts=tuple(each for each in drifts([*kept, *new]) if each.merchant.casefold() in merchants),
    )
