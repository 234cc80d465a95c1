"""Prices later: a blank price list for exactly what a job needs, for all merchants or for each by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.order_files import file_name
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.model import Workshop
    from cutplan.writing.priceform import Asked, FormRow


def price_form(
    parts: Path | str,
    target: Path | str | None = None,
    *,
    workshop: Path | str | None = None,
    merchants: Sequence[str] = (),
    stock: Sequence[str] = (),
    past: Path | None = None,
    today: date | None = None,
) -> Path:
    """Write a blank price list for the sections, standards, grades and finishes of a job; its name.

    Filled in, it is a price list like any other. See :func:`filled_form`, which says how much of it is filled in.

    Parameters
    ----------
    parts
        The parts list; prices and stock lengths need not be known.
    target
        A name ending in ``.xlsx`` or ``.csv``; without it ``<name of the list>-prices.xlsx`` in the folder worked in.
    workshop
        As for :func:`read_job`.
    merchants
        Whom to ask; each gets rows of its own.
    stock
        Lengths to ask for, as for :func:`read_job`; without any, those of the workshop, or blank ones.
    past
        Past prices to fill it with, as :func:`keep_quotes` keeps them; offers that were never quoted stay blank.
    today
        The day from which their age counts; today when not said.

    Raises
    ------
    ProblemsFound
        When the list or past prices cannot be read, or the form is there already.
    """
    return filled_form(parts, target, workshop=workshop, merchants=merchants, stock=stock, past=past, today=today)[0]


def filled_form(
    parts: Path | str,
    target: Path | str | None = None,
    *,
    workshop: Path | str | None = None,
    merchants: Sequence[str] = (),
    stock: Sequence[str] = (),
    past: Path | None = None,
    today: date | None = None,
) -> tuple[Path, int]:
    """As :func:`price_form`, and in how many rows of it a price stands that was quoted before."""
    from cutplan.actions.starting import write_new
    from cutplan.reading.forms.past_prices import latest, read_past_prices
    from cutplan.writing.priceform import form_book, form_csv, form_rows, last_rows

    start = Path(parts)
    path = Path(target) if target else Path(f"{start.stem}-prices.xlsx")
    want = _wanted(start, workshop, stock)
    rows = form_rows(want.asked, merchants, want.lengths, want.workshop)
    if past is not None:
        rows = _with_last(rows, last_rows(want.asked, latest(read_past_prices(past)), merchants, want.workshop))
    is_csv, now = path.suffix.lower() == ".csv", today or date.today()
    book = None if is_csv else form_book(rows, "Prices to ask for", start.stem, want.workshop, now)
    write_new(path, book or form_csv(rows, want.workshop, now))
    return path, sum(row.last is not None for row in rows)


def _with_last(rows: Sequence[FormRow], last: Sequence[FormRow]) -> list[FormRow]:
    """What was quoted before, then what else is asked for; nobody unknown is asked for what somebody has quoted."""
    quoted = {_asked_for(row) for row in last}
    of_somebody = {row.asked.designation for row in last}
    return [
        *last,
        *(
            row
            for row in rows
            if _asked_for(row) not in quoted and (row.merchant or row.asked.designation not in of_somebody)
        ),
    ]


def _asked_for(row: FormRow) -> tuple[object, ...]:
    return row.merchant.casefold(), row.asked.designation, row.asked.standard, row.asked.finish, row.length


def enquiries(
    parts: Path | str,
    folder: Path | str = ".",
    *,
    workshop: Path | str | None = None,
    merchants: Sequence[str] = (),
    stock: Sequence[str] = (),
    prices: Path | str | None = None,
    sold: bool = False,
) -> tuple[Path, ...]:
    """Write an enquiry to each merchant by itself: a form to fill in, and the text of a message.

    A form that was filled in is a price list like any other.

    Parameters
    ----------
    parts, workshop, stock
        As for :func:`price_form`.
    folder
        Where they go, named after list and merchant.
    merchants
        Whom to ask; without any, everybody on the price list.
    prices
        A price list that says who sells what, and in which lengths; without it, the one of the workshop.
    sold
        Ask each merchant only for what the price list says it sells.

    Returns
    -------
    tuple of Path
        The form and the message of each merchant in turn.

    Raises
    ------
    ProblemsFound
        When a list cannot be read, nobody sells anything of it, or one of ``merchants`` does not, or a file is there
        already; then none is written.
    """
    from cutplan.actions.starting import write_new
    from cutplan.reading import read_offers
    from cutplan.units import counted, stock_text
    from cutplan.words.enquiry_words import enquiry_line, enquiry_text
    from cutplan.writing.priceform import form_book, form_rows, section_named, sold_rows

    start = Path(parts)
    want = _wanted(start, workshop, stock)
    shop = want.workshop
    # Before there are prices, the workshop file may name a list that is still to be written.
    listed = Path(prices) if prices else want.prices
    needed = prices or sold or not merchants
    offers = read_offers(listed, shop) if listed and (needed or listed.exists()) else ()
    known = {offer.merchant.casefold(): offer.merchant for offer in reversed(offers)}
    names = [known.get(name.casefold(), name) for name in merchants] or list(dict.fromkeys(o.merchant for o in offers))
    if sold:
        rows = sold_rows(want.asked, offers, shop)
    else:
        of_offers: dict[str, list[int]] = {}
        for offer in offers:
            of_offers.setdefault(offer.section.designation, []).append(offer.length)
        lengths = {**{name: sorted(set(found)) for name, found in of_offers.items()}, **want.lengths}
        rows = form_rows(want.asked, names, lengths, shop)
    of_merchant: dict[str, list[FormRow]] = {name: [] for name in names or [""]}
    for row in rows:
        if row.merchant in of_merchant:
            of_merchant[row.merchant].append(row)
    unknown = [name for name, own in of_merchant.items() if not own]
    if unknown and (merchants or len(unknown) == len(of_merchant)):
        found = f"nothing that {' or '.join(filter(None, unknown)) or 'anybody'} is known to sell"
        accepted = "a price list with sections of the job, or a form for all of them, without --sold"
        raise ProblemsFound([Problem.statement(start.name, found, accepted, code="offer.unsold")])
    files: dict[Path, bytes] = {}
    for name, own in of_merchant.items():
        if not own:
            continue
        stem = "-".join(filter(None, (start.stem, "enquiry", file_name(name))))
        lines = [
            enquiry_line(
                row.count,
                stock_text(row.length, shop.printing) if row.length else "",
                *(section_named(row.asked, shop), row.asked.standard, row.asked.grade, row.asked.finish),
                f"{counted(row.asked.pieces, 'part')}, {stock_text(row.asked.length, shop.printing)}",
                row.serves,
            )
            for row in own
        ]
        title = f"Enquiry to {name}" if name else "Enquiry"
        files[Path(folder) / f"{stem}.xlsx"] = form_book(own, title, start.stem, shop)
        message = enquiry_text(name, start.stem, list(dict.fromkeys(lines)), shop)
        files[Path(folder) / f"{stem}.txt"] = message.encode("utf-8")
    for path in filter(Path.exists, files):
        write_new(path, b"")  # refused, before any is written
    for path, content in files.items():
        write_new(path, content)
    return tuple(files)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    """What a list asks for, the stock lengths by designation (a blank one: of all others), and the price list named."""

    asked: tuple[Asked, ...]
    lengths: dict[str, tuple[int, ...]]
    workshop: Workshop
    prices: Path | None


def _wanted(parts: Path, workshop: Path | str | None, stock: Sequence[str]) -> _Wanted:
    from cutplan.reading.lists.stock import read_stock
    from cutplan.reading.sheets.findings import Findings, in_order
    from cutplan.reading.whole_job import read_wanted
    from cutplan.writing.priceform import asked_of

    shop, wanted = read_wanted(parts, Path(workshop) if workshop else None)
    findings = Findings()
    entries = read_stock(tuple(stock) or shop.stock, shop.workshop, findings)
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    lengths = {entry.designation: entry.lengths for entry in entries}
    return _Wanted(asked=asked_of(wanted), lengths=lengths, workshop=shop.workshop, prices=shop.prices)
