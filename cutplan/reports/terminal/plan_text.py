"""A plan in plain text, readable without colour: sentences at most 80 columns wide, bars as wide as the terminal."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import groupby
from textwrap import wrap

from cutplan.model import Job, Plan
from cutplan.problems import SHOWN_AT_ONCE
from cutplan.reports.assumed import bearing_on
from cutplan.reports.cut_blocks import Block
from cutplan.reports.other_rows import NO_PRICE, TITLE, no_price
from cutplan.reports.rows import Rows, rows_of
from cutplan.reports.terminal.picture import PLAIN, Ink, picture
from cutplan.units import counted, length_text, mass_text, stock_text
from cutplan.words.buying_words import carry_cuts_text, charge_lines, comes_text, cuts_text, is_said
from cutplan.words.cutting import shared_text, strokes_text
from cutplan.words.load_words import payload_notes
from cutplan.words.naming import from_merchant, money_words, names_text, percent_text

WIDEST = 80
NARROWEST = 40


def summary(
    job: Job, plan: Plan, width: int, ink: Ink = PLAIN, fingerprint: str = "", *, all_assumed: bool = False
) -> str:
    """What a plan comes to: what to buy, its cost and its proof, then every bar, sums, warnings, and what was assumed.

    Parameters
    ----------
    width
        Columns of the terminal, at least 40; sentences use up to 80.
    ink
        The characters that bars are drawn with.
    fingerprint
        That of the printed sheets; blank for a plan that was not written.
    all_assumed
        Show what was assumed and changes nothing in this plan too, of which there is only a count else.
    """
    rows = rows_of(job, plan)
    bar_width = max(width, NARROWEST)
    width = min(bar_width, WIDEST)
    parts, bars = counted(rows.totals.pieces, "part"), counted(sum(len(group.bars) for group in plan.groups), "bar")
    plan_words = f", plan {fingerprint}" if fingerprint else ""
    lines = _wrapped(f"{rows.job_name}: {parts} from {bars}{plan_words}", width, "  ")
    lines += _buy(rows, width)
    lines += _fetch(rows, width)
    lines += _named(_payment(rows), width)
    lines += [line for text in rows.proof for line in _wrapped(text, width, "  ")]
    lines.append("Cut")
    for what, blocks in groupby(rows.blocks, key=lambda block: block.what):
        lines += wrap(what, width, initial_indent="  ", subsequent_indent="    ")
        lines += [line for block in blocks for line in _block(block, width, bar_width, ink)]
    holes = any(stretch.holes for block in rows.blocks for stretch in block.drawing.stretches)
    lines += [f"  {line}" for line in wrap(ink.key(holes=holes), width - 2)]
    lines += _put_away(rows, width)
    lines += _named(_sums(rows), width)
    shown = rows.warnings[:SHOWN_AT_ONCE]
    if len(rows.warnings) > len(shown):
        shown = (*shown, f"... and {len(rows.warnings) - len(shown)} more, all of them on the sheet Notes")
    lines += _listed(f"To look at: {counted(len(rows.warnings), 'warning')}", shown, width)
    if rows.silenced:
        lines += _wrapped(f"{counted(rows.silenced, 'warning')} not shown, as the list says looked at", width, "  ")
    lines += _listed("Spares", rows.spares, width)
    lines += _listed("Too long to carry", rows.forgone, width)
    lines += _listed("Payload", payload_notes(job, plan), width)
    lines += _listed("Not printed yet", rows.beyond, width)
    lines += _assumed(rows, plan, width, all_of_it=all_assumed)
    return "\n".join(lines)


def _assumed(rows: Rows, plan: Plan, width: int, *, all_of_it: bool) -> list[str]:
    told = [one.text for one in rows.assumptions]
    shown = told if all_of_it else list(bearing_on(plan, rows.assumptions))
    rest = len(told) - len(shown)
    if rest:
        shown.append(
            f"{rest} more {'changes' if rest == 1 else 'change'} nothing in this plan: --assumptions shows all"
        )
    return _listed("Assumed", shown, width)


def _named(figures: Iterable[tuple[str, str]], width: int) -> list[str]:
    """Figures in a column behind their names."""
    return [line for name, text in figures for line in wrap(f"{name:<18} {text}", width, subsequent_indent=" " * 19)]


def _wrapped(text: str, width: int, indent: str) -> list[str]:
    return wrap(text, width, subsequent_indent=indent, break_long_words=True, break_on_hyphens=False)


def _listed(heading: str, texts: Iterable[str], width: int) -> list[str]:
    """A heading with its sentences below; nothing when there are none."""
    lines = [line for text in texts for line in wrap(text, width, initial_indent="  ", subsequent_indent="    ")]
    return [heading, *lines] if lines else []


def _buy(rows: Rows, width: int) -> list[str]:
    lines = [] if rows.orders else ["Buy nothing: the rack holds enough."]
    if rows.others and not rows.orders:
        lines = ["Buy no steel: the rack holds enough."]
    currency = rows.workshop.currency
    for order, ordered in zip(rows.totals.orders, rows.orders, strict=True):
        how = f", {comes_text(order, rows.workshop.merchant(order.merchant), currency)}" if is_said(order) else ""
        lines += _wrapped(from_merchant("Buy", order.merchant) + how, width, "  ")
        for row in ordered:
            money = row.line.money
            amount = "no price" if money is None else money_words(money, currency)
            lines += _with_amount(": ".join(filter(None, (row.text, row.cut))), amount, width)
        for text, charge in charge_lines(order, rows.workshop.merchant(order.merchant)):
            lines += _with_amount(text, money_words(charge, currency), width)
        if order.cuts:
            amount = money_words(order.cut_charges, currency) if order.cuts_charged else "no price"
            lines += _with_amount(cuts_text(order.cuts), amount, width)
        if order.carry_cuts:
            amount = money_words(order.carry_charges, currency) if order.carry_cuts_priced else "no price"
            lines += _with_amount(carry_cuts_text(order), amount, width)
    if rows.others:
        lines.append(TITLE)
    for other in rows.others:
        known = other.line.price_each is not None
        lines += _with_amount(other.text, money_words(other.line.money, currency) if known else NO_PRICE, width)
    return lines


def _with_amount(text: str, amount: str, width: int) -> list[str]:
    """A text with an amount at the right edge of its last line."""
    room = width - len(amount) - 3
    lines = wrap(text, room, initial_indent="  ", subsequent_indent="    ")
    return [*lines[:-1], f"{lines[-1]:<{room}}   {amount}"]


def _fetch(rows: Rows, width: int) -> list[str]:
    marks = names_text((row.mark for row in rows.fetch), 12)
    return _wrapped(f"Fetch from the rack: {marks}", width, "  ") if marks else []


def _put_away(rows: Rows, width: int) -> list[str]:
    """What goes on the rack, pieces alike together, the marks they get behind them."""
    how = rows.workshop.printing
    alike: dict[str, list[str]] = {}
    for row in rows.put_away:
        alike.setdefault(f"{length_text(row.length, how)} {row.section}", []).append(row.mark)
    pieces = names_text((_alike_text(text, marks) for text, marks in alike.items()), 12)
    return _wrapped(f"Put on the rack: {pieces}", width, "  ") if pieces else []


def _alike_text(text: str, marks: list[str]) -> str:
    named = names_text((mark for mark in marks if mark), 12)
    return f"{f'{len(marks)} x ' if len(marks) > 1 else ''}{text}{f' ({named})' if named else ''}"


def _block(block: Block, width: int, bar_width: int, ink: Ink) -> list[str]:
    lines = _wrapped(f"{block.title}: {block.source}; {block.left_over}", width - 2, "  ")
    drawn = picture(block.drawing, bar_width - 4, ink).splitlines()
    drawn += _numbered(block, "\n".join(drawn), width - 4)
    return [f"  {line}" for line in (*lines, *(f"  {line}" for line in drawn))]


def _numbered(block: Block, drawn: str, width: int) -> list[str]:
    """Which parts stand in a picture as numbers, because their marks have no room there."""
    marks = [stretch.label for stretch in block.drawing.stretches if stretch.number]
    meant: dict[str, list[str]] = {}
    for found in re.finditer(r"\((\d+)(?:-(\d+))?\)", drawn):
        first, last = int(found[1]), int(found[2] or found[1])
        names = names_text(marks[first - 1 : last], 12)
        if names and not any(found[0] in mark for mark in marks):  # a mark may read like a number
            meant.setdefault(names, []).append(found[0])
    return [line for names, at in meant.items() for line in _wrapped(f"{', '.join(at)}: {names}", width, "  ")]


def _payment(rows: Rows) -> list[tuple[str, str]]:
    """What there is to pay, of which lists, and what of it has no price."""
    totals, money = rows.totals, rows.totals.money
    how, currency = rows.workshop.printing, rows.workshop.currency
    without_price = (*rows.left_out, *no_price(rows.others))
    to_pay = money_words(money.to_pay, currency)
    if money.tax:
        to_pay += f", {'of which' if money.tax_was_included else 'with'} {money_words(money.tax, currency)} tax"
    if not rows.money_known:
        to_pay = "not known: nothing has a price"
    elif without_price:
        to_pay += "; what has no price is left out"
    figures = [("To pay", to_pay)]
    for total in totals.lists:
        worth = money_words(total.money, currency) if rows.money_known else "amount not known"
        weight = mass_text(total.part_mass + total.others_mass, how)
        figures.append((f"  of it {total.name}", f"{counted(total.pieces, 'part')}, {weight}, {worth} before tax"))
    if without_price:
        figures.append(("No price", names_text(without_price, 4)))
    figures += [("Not counted", text) for text in rows.not_counted]
    return figures


def _sums(rows: Rows) -> list[tuple[str, str]]:
    """The sums that no other line gives, each with its name."""
    totals, money = rows.totals, rows.totals.money
    how, currency = rows.workshop.printing, rows.workshop.currency
    used = percent_text(totals.part_length - totals.nested_length, totals.drawn_length)
    bought, parts, drawn = (mass_text(mass, how) for mass in (totals.bought_mass, totals.part_mass, totals.drawn_mass))
    lengths = counted(totals.bars_bought, "length")
    figures = [
        (
            "To buy",
            f"{lengths}, {stock_text(totals.bought_length, how)}, {bought}" if totals.bars_bought else "nothing",
        ),
        ("Material used", f"{used} % of the length; parts {parts} of {drawn}"),
        ("Left over to keep", f"{counted(totals.offcuts_kept, 'offcut')}, {mass_text(totals.kept_mass, how)}"),
        ("Scrap", f"{mass_text(totals.scrap_mass + totals.kerf_and_trim_mass, how)}, kerf and end trim included"),
        ("Cuts", strokes_text(totals)),
    ]
    if totals.cuts_shared:
        figures.append(("Shared mitres", shared_text(totals, how, currency)))
    if totals.others_mass:
        figures.append(("Other things", f"{mass_text(totals.others_mass, how)}, where the list says what they weigh"))
    if money.offcuts_used_value or money.offcuts_kept_value:
        used_up = money_words(money.offcuts_used_value, currency)
        kept = money_words(money.offcuts_kept_value, currency)
        figures.append(("Value of offcuts", f"{used_up} of those cut, {kept} of those kept"))
    if money.trips:
        figures.append(("Fetching", f"counted at {money_words(money.trips, currency)}, not paid to any merchant"))
    if money.work:
        figures.append(("Own work", f"counted at {money_words(money.work, currency)}, not paid to anybody"))
    return figures
