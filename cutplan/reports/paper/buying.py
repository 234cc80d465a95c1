"""The sheets before and beside the saw: to fetch from the rack, to buy, weight and cost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutplan.model.order_totals import MerchantOrder
from cutplan.model.section_totals import SectionTotal
from cutplan.model.totals import Totals
from cutplan.reports.other_rows import NO_PRICE, TITLE, no_price
from cutplan.reports.paper.listing import BLANK, TICK, Cell, Column, Part, lesser, sheet, strong
from cutplan.reports.rows import OrderRow, Rows
from cutplan.units import Mass, Money, Printing, length_text, mass_figure, mass_text, money_text, stock_text
from cutplan.words.buying_words import (
    LEFT_OUT,
    TO_PAY,
    all_charge_lines,
    carry_cuts_text,
    comes_text,
    cuts_text,
    tax_lines,
    tolerance_text,
)
from cutplan.words.naming import names_text, percent_text
from cutplan.words.order_words import order_number
from cutplan.words.share_words import RULE


def fetch_sheet(rows: Rows) -> dict[str, Any]:
    """Offcuts to take off the rack."""
    how = rows.workshop.printing
    columns = (
        Column("fetched", 14),
        Column("mark", 34, snug=True),
        Column("section"),
        Column(f"length, {how.unit}", 26, "right", snug=True),
        Column("place", 40, snug=True),
        Column(how.mass_unit, 16, "right", snug=True),
        Column("for bar", 16, "right", snug=True),
    )
    table = [
        [
            TICK,
            strong(row.mark, 13),
            f"{row.section}, {row.grade}, {row.finish}{f'; {row.slanted}' if row.slanted else ''}",
            strong(length_text(row.length, how, with_unit=False), 12),
            row.place,
            mass_figure(row.mass, how),
            str(row.bar),
        ]
        for row in rows.fetch
    ]
    lines = ["Measure each: a piece that is shorter than it says spoils its bar."]
    return sheet("Fetch from the rack", lines, [Part(columns=columns, rows=table)])


def buy_sheet(rows: Rows, fingerprint: str) -> dict[str, Any]:
    """What to order from whom, what it costs, and room for what was received.

    ``fingerprint`` is that of the plan, after which orders are numbered.
    """
    shop = rows.workshop
    tax = "without tax" if not shop.prices_include_tax else "with tax in them"
    lines = [f"Prices in {shop.currency}, {tax}." if shop.tax_millionths else f"Prices in {shop.currency}."]
    lines += [f"Address for deliveries: {shop.address}"] if shop.address else []
    lines += rows.forgone
    parts = [
        _merchant(rows, order, ordered, order_number(fingerprint, place))
        for place, (order, ordered) in enumerate(zip(rows.totals.orders, rows.orders, strict=True), 1)
    ]
    if rows.others:
        columns = (Column("ordered", 15), Column("what"), Column("amount", 26, "right"))
        table: list[list[Cell]] = [
            [TICK, row.text, NO_PRICE if row.line.money is None else money_text(row.line.money)] for row in rows.others
        ]
        parts.append(Part(title=TITLE, columns=columns, rows=table))
    if rows.orders or rows.others:
        parts.append(_to_pay(rows))
    return sheet("Buy", lines, parts)


def _merchant(rows: Rows, order: MerchantOrder, ordered: Sequence[OrderRow], number: str) -> Part:
    how = rows.workshop.printing
    terms = rows.workshop.merchant(order.merchant)
    carried = comes_text(order, terms, rows.workshop.currency)
    carried = carried[0].upper() + carried[1:]
    longest = stock_text(max(row.line.longest for row in ordered), how)
    within = f" Of lengths cut to be carried {tolerance_text(terms, how)}." if order.carry_cuts else ""
    wanted = [cuts_text(order.cuts)] * bool(order.cuts) + [carry_cuts_text(order)] * bool(order.carry_cuts)
    cuts = f"cuts wanted: {', '.join(wanted)}" if wanted else "no cuts wanted, whole lengths"
    columns = (
        Column("ordered", 14),
        Column("order"),
        Column(how.mass_unit, 16, "right", snug=True),
        Column("price", 20, "right", snug=True),
        Column("amount", 20, "right", snug=True),
        Column("mill certificate", 17),
        Column("lengths received", 15),
        Column("wall measured", 16),
        Column("heat number", 25),
    )
    table: list[list[Cell]] = [
        [
            TICK,
            strong(": ".join(filter(None, (row.text, row.cut))), 9),
            mass_figure(row.line.mass, how),
            NO_PRICE if row.line.price_each is None else money_text(row.line.price_each),
            LEFT_OUT if row.line.money is None else money_text(row.line.money),
            TICK,
            BLANK,
            BLANK,
            BLANK,
        ]
        for row in ordered
    ]
    nothing: list[Cell] = ["", "", "", ""]
    charges = all_charge_lines(order, terms)
    table += [["", text, "", "", money_text(money), *nothing] for text, money in charges]
    if len(table) > 1:
        total = [strong("Total"), strong(mass_figure(order.mass, how)), "", strong(money_text(order.money))]
        table.append(["", *total, *nothing])
    return Part(
        title=f"{order.merchant or 'No merchant named'}, order {number}",
        columns=columns,
        rows=table,
        before=[f"{carried}. Longest piece {longest}, {mass_text(order.mass, how)} in total; {cuts}.{within}"],
    )


def money_lines(rows: Rows) -> list[tuple[str, Money]]:
    """The sums down to what is to be paid, each with its name; one alone where it is all."""
    money = rows.totals.money
    parts = [
        ("lengths", money.bars),
        ("delivery", money.delivery),
        ("to make up minimum orders", money.shortfall),
        ("cuts made by merchants", money.cut_charges),
        ("other things", money.others),
    ]
    lines = [parts[0], *((name, amount) for name, amount in parts[1:] if amount)]
    if len(lines) > 1:
        lines.append(("total", money.subtotal))
    return lines + tax_lines(rows.workshop, money.subtotal)


def _to_pay(rows: Rows) -> Part:
    columns = (Column("to pay"), Column(rows.workshop.currency, 34, "right"))
    table: list[list[Cell]] = []
    for name, amount in money_lines(rows):
        text = money_text(amount) if rows.money_known else "not known"
        table.append([strong(name, 12), strong(text, 12)] if name.startswith(TO_PAY) else [name, text])
    without_price = (*rows.left_out, *no_price(rows.others))
    after = [f"Not in the amounts, because a price is missing: {names_text(without_price)}."] if without_price else []
    after += [f"Not in the amounts: {text}." for text in rows.not_counted]
    return Part(columns=columns, rows=table, after=after)


def cost_sheet(rows: Rows) -> dict[str, Any]:
    """Mass and cost by section and by assembly."""
    how = rows.workshop.printing
    columns = (
        Column("section"),
        Column("parts", 26, "right", snug=True),
        Column("length of parts", 34, "right", snug=True),
        Column(f"parts, {how.mass_unit}", 26, "right", snug=True),
        Column("lengths to buy", 26, "right", snug=True),
        Column(f"to buy, {how.mass_unit}", 26, "right", snug=True),
        Column(f"kept, {how.mass_unit}", 26, "right", snug=True),
        Column(f"scrap and kerf, {how.mass_unit}", 30, "right", snug=True),
        Column("material used", 26, "right", snug=True),
        Column("amount", 26, "right", snug=True),
    )
    table: list[list[Cell]] = [
        [
            lesser(name),
            *_sums(total, how),
            LEFT_OUT if total.money is None else money_text(total.money),
        ]
        for name, total in zip(rows.groups, rows.totals.sections, strict=True)
    ]
    whole = money_text(rows.totals.money.bars) if rows.money_known else "not known"
    table.append([strong(text, 9.5) for text in ("Total", *_sums(rows.totals, how), whole)])
    money = rows.totals.money
    lines = [f"Amounts in {rows.workshop.currency}; that of a section is shared out by the length of its parts."]
    if money.offcuts_used_value or money.offcuts_kept_value:
        lines.append(
            f"Not in the amount to pay: value of offcuts cut, {money_text(money.offcuts_used_value)}; "
            f"of those kept, {money_text(money.offcuts_kept_value)}."
        )
    parts = [
        Part(columns=columns, rows=table, looked_up=True),
        _by_assembly(rows),
        *([_by_job(rows)] if rows.jobs else []),
    ]
    return sheet("Mass and cost", [" ".join((*lines, "Masses follow from nominal sizes."))], parts)


def _by_assembly(rows: Rows) -> Part:
    """Every assembly's share of the lengths to buy and, where there are any, its things that are not cut."""
    how, others = rows.workshop.printing, bool(rows.others)
    things = (Column("other things", 20, "right", snug=True), Column("amount of things", 24, "right", snug=True))
    columns = (
        Column("assembly"),
        Column("parts", 14, "right", snug=True),
        Column("length of parts", 26, "right", snug=True),
        *([Column("amount of lengths", 24, "right", snug=True), *things] if others else []),
        Column(how.mass_unit if others else f"parts, {how.mass_unit}", 20, "right", snug=True),
        Column("amount", 28, "right", snug=True),
    )
    table: list[list[Cell]] = []
    for total in rows.totals.assemblies:
        name = f"{total.assembly or 'no assembly named'}{f' ({total.made} made)' if total.made > 1 else ''}"
        of_lengths, whole = (
            money_text(money) if rows.money_known else "not known"
            for money in (total.money, total.money + total.others_money)
        )
        row: list[Cell] = [name, str(total.pieces), stock_text(total.part_length, how)]
        row += [of_lengths, str(total.others), money_text(total.others_money)] if others else []
        table.append([*row, mass_figure(total.part_mass + total.others_mass, how), whole])
    return Part(columns=columns, rows=table, looked_up=True)


def _by_job(rows: Rows) -> Part:
    """What each of several jobs bears: every column adds up to that of the whole."""
    how, totals = rows.workshop.printing, rows.totals
    columns = (
        Column("job"),
        Column("parts", 14, "right", snug=True),
        Column(f"parts, {how.mass_unit}", 20, "right", snug=True),
        Column(f"to buy, {how.mass_unit}", 20, "right", snug=True),
        Column("lengths", 24, "right", snug=True),
        Column("charges", 24, "right", snug=True),
        Column("other things", 24, "right", snug=True),
        Column("to pay", 28, "right", snug=True),
    )

    def row(name: str, own: Sequence[int], masses: Sequence[Mass], amounts: Sequence[Money]) -> list[Cell]:
        shown = [money_text(amount) if rows.money_known else "not known" for amount in amounts]
        return [name, *map(str, own), *(mass_figure(mass, how) for mass in masses), *shown]

    table = [
        row(
            own.name,
            [own.total.pieces],
            [own.total.part_mass, own.bought_mass],
            [own.total.bars, own.total.charges, own.total.others_money, own.to_pay],
        )
        for own in rows.jobs
    ]
    money = totals.money
    charges = money.delivery + money.shortfall + money.cut_charges
    amounts = [money.bars, charges, money.others, money.to_pay]
    whole = row("Total", [totals.pieces], [totals.part_mass, totals.bought_mass], amounts)
    table.append([strong(str(text), 9.5) for text in whole])
    return Part(columns=columns, rows=table, looked_up=True, after=[RULE])


def _sums(total: SectionTotal | Totals, how: Printing) -> list[str]:
    return [
        str(total.pieces),
        stock_text(total.part_length, how),
        mass_figure(total.part_mass, how),
        str(total.bars_bought),
        mass_figure(total.bought_mass, how),
        mass_figure(total.kept_mass, how),
        mass_figure(total.scrap_mass + total.kerf_and_trim_mass, how),
        f"{percent_text(total.part_length - total.nested_length, total.drawn_length)} %",
    ]
