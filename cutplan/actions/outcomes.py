"""What jobs came to: minutes reported of them, and every job of the ledger held against its quote."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.costing_jobs import cost
from cutplan.actions.table_files import with_ending, write_as
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.costing.quote import Quote
    from cutplan.model import Job, Plan, Workshop
    from cutplan.rack.entry import Entry
    from cutplan.rack.job_events import JobStory
    from cutplan.rack.job_money import JobMoney
    from cutplan.rack.quotes import QuoteNote
    from cutplan.rack.store import Ledger
    from cutplan.units import Money
    from cutplan.words.outcome_words import Outcome, Year

_FORMS = "minutes, all together such as 520, or by kind such as saw 180, drill 40, weld 300, coat 60"


def told_minutes(text: str) -> dict[str, int]:
    """Minutes as typed, by kind of work, in thousandths.

    Raises
    ------
    ProblemsFound
        When they cannot be read.
    """
    from cutplan.costing.after import ALL, WORDS
    from cutplan.units import parse_decimal

    found: dict[str, int] = {}
    for part in (part.strip() for part in text.replace(";", ",").split(",") if text.strip()):
        word, _, number = part.rpartition(" ")
        word = word.strip().lower()
        try:
            value = Fraction(parse_decimal(number, _FORMS)) * 1000
        except Refused as refused:
            raise ProblemsFound([Problem.at("--minutes", refused)]) from None
        if word not in (*WORDS, ALL) or value.denominator != 1 or value > 10**9 or (word == ALL and "," in text):
            raise ProblemsFound([Problem(where="--minutes", found=part, accepted=_FORMS, code="minutes.unreadable")])
        if value <= 0:
            accepted = "more than 0; kinds of work that are left out stand as quoted"
            raise ProblemsFound([Problem(where="--minutes", found=part, accepted=accepted, code="minutes.none")])
        if word in found:
            raise ProblemsFound(
                [Problem(where="--minutes", found=part, accepted="each kind once", code="minutes.twice")]
            )
        found[word] = int(value)
    return found


def note_outcome(writing: Entry, job: Job, plan: Plan, rack: Rack, minutes: Mapping[str, int] | None = None) -> None:
    """Keep, with a plan that is recorded, what its work took, what was expected of it, and whose it was.

    Parameters
    ----------
    minutes
        As they were reported. None is a plan of which the rest is planned again: they are reported with that one.
        Where none are reported of the plan of a job that is not quoted, nothing is kept.
    """
    from cutplan.costing.after import ALL, expected_of, noted_figures
    from cutplan.rack.job_events import plans_beside
    from cutplan.rack.job_money import made_in
    from cutplan.rack.quotes import Share, Spent, note_shares, note_spent, quoted

    digest = writing.doing.plan
    if minutes == {} and not quoted(writing.db, plans_beside(writing.db, digest)):
        return
    found = cost(job, plan, rack.costs)
    # Of a plan that was cut in part, so much was worked as there are parts of it.
    cut = sum(good + spoiled for good, spoiled in made_in(writing.db, [digest]).values())
    pieces = sum(len(bar.cuts) for bar in plan.bars)
    expected = expected_of(line.done for line in found.work)
    expected[ALL] = sum(expected.values())
    told, figures = minutes or {}, noted_figures(rack.costs.hours)
    note_spent(
        writing,
        [
            Spent(
                work=word,
                minutes=told.get(word, 0),
                expected=whole * cut // pieces,
                figures=figures.get(word, ""),
            )
            for word, whole in expected.items()
            if whole or told.get(word)
        ],
    )
    note_shares(
        writing,
        [
            Share(assembly=each.assembly, materials=each.steel + each.things, minutes=each.minutes * cut // pieces)
            for each in found.assemblies
        ],
    )


def jobs_of_year(rack: Rack, *, year: int | None = None, out: Path | None = None) -> Year:
    """Every job of the ledger, held against its quote where it has one.

    Parameters
    ----------
    year
        Only jobs of which the last thing was done in it.
    out
        A file to write them into as well: .csv, .xlsx or .svg.

    Raises
    ------
    ProblemsFound
        When there is no ledger, or the file cannot be written.
    """
    from cutplan.costing.after import noted_figures, suggested
    from cutplan.costing.cost_figures import HourFigures
    from cutplan.rack.job_events import stories
    from cutplan.rack.learned import learned
    from cutplan.rack.measuring import bars_measured, lengths_delivered
    from cutplan.rack.quotes import jobs_measured
    from cutplan.words.outcome_words import Year

    if out is not None:
        with_ending(out, (".csv", ".xlsx", ".svg"))
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        found = tuple(outcome_of(ledger, story, rack.workshop) for story in stories(db))
        hours = rack.costs.hours
        told = jobs_measured(db, noted_figures(hours), noted_figures(HourFigures()))
        suggestions = suggested(hours, told)
        measured = learned(*bars_measured(db), lengths_delivered(db), rack.workshop)
    listed = tuple(one for one in found if year is None or one.day.startswith(f"{year:04d}-"))
    files = [_written(out, listed, rack.workshop)] if out is not None else []
    return Year(outcomes=listed, suggestions=suggestions, measured=measured, files=tuple(files))


def outcome_of(ledger: Ledger, story: JobStory, workshop: Workshop) -> Outcome:
    """A job held against its quote, where it has one."""
    from cutplan.costing.after import after_of
    from cutplan.rack.job_money import money_of
    from cutplan.rack.quotes import quoted, shares_in, spent_on
    from cutplan.rack.stages import Stage
    from cutplan.words.outcome_words import Outcome

    db = ledger.db
    plans = [plan.note.plan for plan in story.plans]
    materials = _without_tax(money_of(db, story, workshop), workshop)
    spent = spent_on(db, plans)
    quotes = quoted(db, plans)
    quote = _quote(quotes[-1]) if quotes else None
    after = None
    # Before that not all is bought, nor is the work done: what it comes to is not known.
    if quote is not None and story.stage in (Stage.RECORDED, Stage.CLOSED):
        shares = {each.assembly: (each.materials, each.minutes) for each in shares_in(db, plans)}
        took = {each.work: (each.minutes, each.expected) for each in spent}
        after = after_of(quote, materials, took, shares)
    minutes = after.minutes if after is not None else sum(each.minutes for each in spent) or None
    return Outcome(story=story, materials=materials, minutes=minutes, quote=quote, after=after)


def _without_tax(money: JobMoney, workshop: Workshop) -> Money:
    """What materials came to: what was paid had the tax in it, pieces of the rack where their values have it."""
    from cutplan.units import rounded_to_cents

    rate = 1 + Fraction(workshop.tax_millionths, 1_000_000)
    paid = Fraction(money.paid + money.bought_again - money.returned_value) / rate
    rack = Fraction(money.from_rack - money.kept) / (rate if workshop.prices_include_tax else 1)
    return rounded_to_cents(paid + rack)


def _quote(note: QuoteNote) -> Quote:
    from cutplan.costing.quote import Quote, QuotedItem

    return Quote(
        number=note.number,
        customer=note.customer,
        day=note.day,
        valid_until=note.valid_until,
        included=(),
        items=tuple(
            QuotedItem(
                assembly=each.assembly,
                made=1,
                pieces=0,
                materials=each.materials,
                work=each.work,
                minutes=each.minutes,
                cost=each.cost,
                price=each.price,
            )
            for each in note.assemblies
        ),
        price=note.price,
        tax=note.to_pay - note.price,
        rate=0,
        materials=note.materials,
        work=note.work,
        minutes=note.minutes,
        cost=note.cost,
        hour_rate=note.hour_rate,
    )


def _written(out: Path, listed: tuple[Outcome, ...], workshop: Workshop) -> Path:
    from cutplan.reports.workbook.year_xlsx import year_book
    from cutplan.reports.year_table import year_csv, year_picture
    from cutplan.words.outcome_words import year_rows

    rows = year_rows(listed)
    forms = {".csv": year_csv, ".xlsx": year_book, ".svg": year_picture}
    return write_as(out, {ending: partial(made, rows, workshop) for ending, made in forms.items()})
