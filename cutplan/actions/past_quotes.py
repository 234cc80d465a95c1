"""Keeping what merchants quoted, with its day, beside the rack's ledger."""

from __future__ import annotations

from datetime import date
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.kept_prices import add_prices, past_prices_file
from cutplan.actions.ordering import day_typed
from cutplan.actions.printing import could_write
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Workshop
    from cutplan.reading.lists.prices import PricesRead
    from cutplan.words.quoted_words import Kept


def keep_quotes(
    prices: Path | str, rack: Rack, *, day: str = "", today: date | None = None, charges: bool = False
) -> Kept:
    """Note the prices of a list with their day; said again on one day, nothing is noted twice.

    Parameters
    ----------
    prices
        A price list, or a form as a merchant sent it back.
    day
        When it was quoted, such as ``2031-06-01``; today when not said, and no later.
    today
        The day it is; that of the clock when not said.
    charges
        Is it to say what merchants charge, too?

    Raises
    ------
    ProblemsFound
        When the day is yet to come, the list, the day or the prices kept before cannot be read, charges are wanted and
        not there or cannot be so, or it cannot be written.
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
    if charges:
        _check_charges(answers, rack.workshop)
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
        charges=tuple(answers.charges),
        workshop=rack.workshop,
        # Rows without an answer are counted among those passed over.
        warnings=tuple(warning for warning in answers.warnings if warning.code != "price.unanswered"),
        drifts=tuple(each for each in drifts([*kept, *new]) if each.merchant.casefold() in merchants),
    )


def _check_charges(answers: PricesRead, workshop: Workshop) -> None:
    """Refuse what could not be put into the workshop file, before anything is noted."""
    from cutplan.reading.lists.merchant_charges import unlisted
    from cutplan.reading.merchant_terms import with_charges
    from cutplan.reading.sheets.findings import Findings, in_order

    if not answers.charges:
        accepted = "a form of cutplan prices with its sheet Charges filled in"
        raise ProblemsFound([Problem.statement("--charges", "no charges", accepted, code="merchant.no_charges")])
    findings = Findings()
    with_charges(workshop, answers.charges, findings)
    problems = [*in_order(findings.problems), *unlisted(answers.charges, answers.merchants)]
    if problems:
        raise ProblemsFound(problems)
    try:
        import_module("tomlkit")
    except ImportError:
        accepted = 'first: pip install "cutplan[web]"'
        found = "no tomlkit, which changes a file and leaves its comments"
        raise ProblemsFound([Problem.statement("--charges", found, accepted, code="merchant.library")]) from None


def put_charges(kept: Kept, workshop: Path | str | None = None) -> Path:
    """Put what merchants say of their charges into the workshop file, of which everything else stays; that file.

    Parameters
    ----------
    kept
        As :func:`keep_quotes` gives it where charges are wanted.
    workshop
        The workshop file; the nearest one from here upwards when not said, one to begin where there is none.

    Raises
    ------
    ProblemsFound
        When the file would not be sound, or cannot be written; it then stays as it is.
    """
    from cutplan.actions.workshop_form import put_text, workshop_document, workshop_here
    from cutplan.reading.merchant_terms import blocks_with
    from cutplan.writing.toml_edit import blocks_edited

    path = Path(workshop) if workshop else workshop_here()
    blocks = workshop_document(path).get("merchant", [])
    changes = blocks_with(blocks, kept.charges, kept.workshop)
    with could_write(path):
        put_text(path, lambda text: blocks_edited(text, "merchant", changes))
    return path
