"""Quotes: a price for the job of a plan, kept in the ledger under a number of the workshop's own, and written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.costing_jobs import COST_BOOK, COST_PDF, cost_now
from cutplan.actions.ordering import day_typed
from cutplan.actions.output_folder import reserved
from cutplan.actions.printing import printing
from cutplan.actions.rack_plans import plan_note
from cutplan.actions.recording import uses_rack
from cutplan.actions.typed_values import number_typed, printable
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.costing.costs import Cost
    from cutplan.costing.quote import Quote
    from cutplan.model import Job, Plan
    from cutplan.rack.quotes import QuoteNote


@dataclass(frozen=True, slots=True, kw_only=True)
class Quoted:
    """A quote that was given, the files that say it, and whether it is kept in the ledger or was kept before; ``notes``
    are what may be a slip in the workshop file, for the workshop alone.
    """

    job: Job
    quote: Quote
    files: tuple[Path, ...]
    kept: bool
    before: bool
    notes: tuple[str, ...] = ()


def quote_plan(
    plan_file: Path | str,
    rack: Rack,
    *,
    number: str = "",
    customer: str = "",
    valid_until: str = "",
    by_assembly: bool = False,
    transport: str = "",
) -> Quoted:
    """Give a quote for the job of a plan.

    Writes ``quote-NUMBER.pdf`` and ``quote-NUMBER.xlsx`` beside the plan.json. The same quote asked for again is
    written again and keeps its number. Where there is no ledger and a number is said, none is begun for it.

    Parameters
    ----------
    number
        The workshop's own; the next of the ledger when not said.
    customer
        For whom, lines with semicolons between.
    valid_until
        The last day on which it holds. [``2031-06-01``]
    by_assembly
        Say what each assembly is offered at too.
    transport
        An amount for this job, in place of the workshop's.

    Raises
    ------
    ProblemsFound
        When a price is missing, a word cannot be read, the last day is over, the number is that of another quote, the
        workshop has another currency by now, or a file cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.reports.paper.quote_pdf import quote_pdf
    from cutplan.reports.rows import rows_of
    from cutplan.reports.workbook.quote_xlsx import quote_book
    from cutplan.words.cost_words import odd_notes

    path = Path(plan_file)
    own, whom, until = number_typed(number), printable("--customer", customer), day_typed(valid_until, "--valid-until")
    with reserved(path.parent, workbook=False):
        job, plan = read_plan(path)
        found = cost_now(job, plan, rack, transport)
        if found.missing:
            raise ProblemsFound([_no_price(job, found)])
        kept = rack.path.exists() or not own
        quote, before = _kept(rack, job, plan, path, found, own, whom, until)
        files = tuple(path.with_name(f"quote-{quote.number}.{kind}") for kind in ("pdf", "xlsx"))
        made = (
            quote_pdf(quote, job.name, job.workshop, by_assembly=by_assembly),
            quote_book(quote, rows_of(job, plan), by_assembly=by_assembly),
        )
        for target, content in zip(files, made, strict=True):
            with printing(target) as file:
                file.write_bytes(content)
    return Quoted(job=job, quote=quote, files=files, kept=kept, before=before, notes=odd_notes(found))


def money_file_names(folder: Path) -> tuple[str, ...]:
    """The files of its cost and its quotes that were written into the folder of a plan."""
    quotes = (path for path in folder.glob("quote-*") if path.suffix in (".pdf", ".xlsx"))
    found = (folder / COST_PDF, folder / COST_BOOK, *sorted(quotes))
    return tuple(path.name for path in found if path.is_file())


def _kept(
    rack: Rack, job: Job, plan: Plan, path: Path, found: Cost, number: str, customer: str, until: str
) -> tuple[Quote, bool]:
    """The quote with its number, in the ledger; and whether it was there before."""
    from cutplan.costing.quote import quote_of
    from cutplan.model.totals import totals_of
    from cutplan.rack.entry import action
    from cutplan.rack.job_events import note_planned
    from cutplan.rack.quotes import next_number, note_quote, quoted

    note = plan_note(rack, job, plan, path.parent)
    pieces = {total.assembly: total.pieces for total in totals_of(job, plan).assemblies}
    doing = rack.doing("quoted", job=job.name, plan=note.plan)

    def quote(numbered: str, day: str) -> Quote:
        return quote_of(
            found,
            number=numbered,
            customer=customer,
            day=day,
            valid_until=until,
            rate=job.workshop.tax_millionths,
            pieces=pieces,
        )

    if not rack.path.exists():
        if number:
            _not_over(until, doing.at[:10])
            return quote(number, doing.at[:10]), False
        if uses_rack(plan):
            raise ProblemsFound([_no_ledger(rack.path)])
    with rack.open(create=not uses_rack(plan)) as ledger, ledger.changing() as db:
        for earlier in quoted(db, [note.plan]):
            again = quote(earlier.number, earlier.day)
            if number in ("", earlier.number) and _note(note.plan, again) == earlier:
                return again, True
        _not_over(until, doing.at[:10])
        given = quote(number or next_number(db), doing.at[:10])
        with action(db, doing) as writing:
            note_planned(writing, note)
            note_quote(writing, _note(note.plan, given))
    return given, False


def _not_over(until: str, today: str) -> None:
    """Refuse a quote that holds no more on the day it is given."""
    if until and until < today:
        accepted = f"{today}, the day of the quote, or a later one"
        raise ProblemsFound([Problem(where="--valid-until", found=until, accepted=accepted, code="quote.over")])


def _no_ledger(path: Path) -> Problem:
    return Problem(
        where=str(path),
        found="no ledger",
        accepted="the ledger of the rack whose pieces the plan uses",
        hint="with --number the job is quoted under a number of your own, without a ledger",
        found_is_text=False,
        code="ledger.missing",
    )


def _note(plan: str, quote: Quote) -> QuoteNote:
    from cutplan.rack.quotes import Expected, QuoteNote

    return QuoteNote(
        plan=plan,
        number=quote.number,
        customer=quote.customer,
        valid_until=quote.valid_until,
        materials=quote.materials,
        work=quote.work,
        minutes=quote.minutes,
        cost=quote.cost,
        price=quote.price,
        to_pay=quote.to_pay,
        hour_rate=quote.hour_rate,
        day=quote.day,
        assemblies=tuple(
            Expected(
                assembly=item.assembly,
                materials=item.materials,
                work=item.work,
                minutes=item.minutes,
                cost=item.cost,
                price=item.price,
            )
            for item in quote.items
        ),
    )


def _no_price(job: Job, found: Cost) -> Problem:
    listed = ", ".join(found.missing[:5])
    return Problem(
        where=job.name,
        found=f"no price for {listed}",
        accepted="a price for everything in a job that is quoted",
        hint="cutplan prices writes a form to ask for them; cutplan cost shows what is known",
        found_is_text=False,
        code="quote.price",
    )
