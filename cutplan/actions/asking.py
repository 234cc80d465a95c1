"""Prices later: a blank price list for exactly what a job needs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from cutplan.problems import ProblemsFound


def price_form(
    parts: Path | str,
    target: Path | str | None = None,
    *,
    workshop: Path | str | None = None,
    merchants: Sequence[str] = (),
    stock: Sequence[str] = (),
) -> Path:
    """Write a blank price list for the sections, standards, grades and finishes of a job.

    Filled in, it is a price list like any other.

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

    Raises
    ------
    ProblemsFound
        When the list cannot be read, or the form is there already.
    """
    from cutplan.actions.starting import write_new
    from cutplan.reading.lists.stock import read_stock
    from cutplan.reading.sheets.findings import Findings, in_order
    from cutplan.reading.whole_job import read_wanted
    from cutplan.writing.priceform import asked_of, form_book, form_csv, form_rows

    start = Path(parts)
    path = Path(target) if target else Path(f"{start.stem}-prices.xlsx")
    shop, wanted = read_wanted(start, Path(workshop) if workshop else None)
    findings = Findings()
    entries = read_stock(tuple(stock) or shop.stock, shop.workshop, findings)
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    lengths = {entry.designation: entry.lengths for entry in entries}
    rows = form_rows(asked_of(wanted), merchants, lengths, shop.workshop)
    is_csv = path.suffix.lower() == ".csv"
    write_new(path, form_csv(rows) if is_csv else form_book(rows, start.stem, shop.workshop))
    return path
