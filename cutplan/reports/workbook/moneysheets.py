"""The sheets that hold money: what to buy, and weight and cost.

The price cells of the sheet to buy from may be changed; every sum of both sheets
follows by formula. What it comes to now is stored beside each formula.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.model import Goal, Group, Job, Merchant, Plan, SourceKind, groups_of
from cutplan.model.order_totals import MerchantOrder
from cutplan.model.section_totals import SectionTotal
from cutplan.model.totals import Totals, list_of_assembly
from cutplan.reports.other_rows import no_price
from cutplan.reports.rows import OrderRow, Rows
from cutplan.reports.workbook.cells import MONEY, Book, Formula, Look, mass_number, money_number, reference
from cutplan.reports.workbook.othersheet import write_others
from cutplan.reports.workbook.page import (
    BOLD_CELL,
    BUY,
    COST,
    COUNT_CELL,
    FETCH,
    MASS_CELL,
    MONEY_CELL,
    NOTES,
    TEXT_CELL,
    TICK_CELL,
    Field,
    Page,
    total_head,
    total_length,
    widths_of,
)
from cutplan.reports.workbook.sharesheet import ShareCells, share_formula, write_lists
from cutplan.units import MM, Money, Printing, mass_text, money_text, rounded_to_cents, stock_text
from cutplan.words.buying_words import carry_cuts_text, comes_text, cuts_text, delivery_text
from cutplan.words.naming import names_text, per_mille

_LEFT_OUT = f'{MONEY};-{MONEY};"left out"'
"""Form of an amount that stays out of the money until a price is filled in."""
_NOT_KNOWN = f'{MONEY};-{MONEY};"not known"'
"""Form of a sum in which every amount is left out."""

# --- to buy from ------------------------------------------------------------------------------------------------

_TICK_AT, _ORDER_AT, _COUNT_AT, _MASS_AT, _LISTED_AT, _PRICE_AT, _MONEY_AT, _PLANNED_AT = range(1, 9)
"""The last is no column of the table: it is hidden and holds the prices that the plan was made with."""
_CHANGED = "prices changed since planning; plan again"
_BUY_FIELDS = (
    Field(head="ordered", width=8, look=TICK_CELL),
    Field(head="order", width=52, look=BOLD_CELL),
    Field(head="lengths", width=8, look=COUNT_CELL),
    Field(head="total mass", width=9, look=MASS_CELL),
    Field(head="price as listed", width=15, look=replace(TEXT_CELL, align="right")),
    Field(head="price of a length", width=10, look=replace(MONEY_CELL, border="ltrb", open=True)),
    Field(head="amount", width=11, look=MONEY_CELL),
)


def _buy_fields(how: Printing) -> tuple[Field, ...]:
    """The columns, the one of masses headed by their unit."""
    fields = list(_BUY_FIELDS)
    fields[_MASS_AT - 1] = replace(fields[_MASS_AT - 1], head=f"{how.mass_unit}, total")
    return tuple(fields)


@dataclass(frozen=True, slots=True)
class Amount:
    """A cell that holds money, as other cells refer to it, and its amount now."""

    cell: str
    money: Money


@dataclass(slots=True)
class Amounts:
    """The money of the sheet to buy from: by offer, by merchant, and the totals with their words."""

    lines: dict[str, Amount] = field(default_factory=dict)
    bars: list[Amount] = field(default_factory=list)
    delivery: list[Amount] = field(default_factory=list)
    shortfall: list[Amount] = field(default_factory=list)
    cuts: list[Amount] = field(default_factory=list)
    others: list[Amount] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    totals: list[tuple[str, Amount]] = field(default_factory=list)

    @property
    def to_pay(self) -> tuple[str, Amount] | None:
        """The total that is paid, with its words; None where nothing is."""
        return next((total for total in self.totals if total[0].startswith("to pay")), None)


def write_buy_sheet(book: Book, rows: Rows, paper: int) -> Amounts:
    page = Page(book, rows, BUY, widths_of(_BUY_FIELDS))
    proof_from = page.row
    for text in rows.proof:
        page.line(text, _PROOF, 17)
    for text in rows.forgone:
        page.line(text)
    rack = "nothing comes from the rack"
    if rows.fetch:
        rack = (
            f"{len(rows.fetch)} {'piece comes' if len(rows.fetch) == 1 else 'pieces come'} from the rack: see {FETCH}"
        )
    page.line(f"What was assumed is on the sheet {NOTES}: read it first. Besides this order, {rack}.")
    amounts = Amounts()
    for order, lines in zip(rows.totals.orders, rows.orders, strict=True):
        page.gap()
        _merchant(page, order, lines, amounts)
    if rows.others:
        amounts.others.append(Amount(*write_others(page, rows.others, _buy_fields(rows.workshop.printing))))
    if rows.orders or rows.others:
        page.gap()
        _money_totals(page, rows, amounts)
    else:
        page.line("Nothing to buy.", Look(size=12, bold=True), 18)
    without_price = (*rows.left_out, *no_price(rows.others))
    if without_price:
        page.gap()
        left_out = names_text(without_price)
        page.line(f"Not in the amounts, because a price is missing: {left_out}.", Look(bold=True))
    for text in rows.not_counted:
        page.line(f"Not in the amounts: {text}.", Look(bold=True))
    _status(page, proof_from, amounts)
    page.finish(paper, landscape=False)
    page.sheet.freeze_panes = "A3"
    return amounts


_PROOF = Look(size=11, bold=True)


def _status(page: Page, first: int, amounts: Amounts) -> None:
    """Let the lines on the proof say so when a price is no longer the one that the plan was made with."""
    page.sheet.column_dimensions[get_column_letter(_PLANNED_AT)].hidden = True
    for place, text in enumerate(page.rows.proof):
        head, colon, _ = text.partition(": ")
        if colon and amounts.changed and text.startswith("Cheapest"):
            same = "&".join(f'"{text[at : at + 200].replace(chr(34), chr(34) * 2)}"' for at in range(0, len(text), 200))
            formula = f'IF({"+".join(amounts.changed)}>0,"{head}{colon}{_CHANGED}",{same})'
            page.book.put(page.sheet, first + place, 1, Formula(formula, text), replace(_PROOF, wrap=True))


def _merchant(page: Page, order: MerchantOrder, lines: Sequence[OrderRow], amounts: Amounts) -> None:
    shop = page.rows.workshop
    terms = shop.merchant(order.merchant)
    longest = stock_text(max(row.line.longest for row in lines), shop.printing)
    who = f"{order.merchant}: {comes_text(order, terms, shop.currency)}" if order.merchant else "No merchant named"
    heading = f"{who}, longest {longest}, {mass_text(order.mass, shop.printing)} in total"
    page.line(heading, Look(size=12, bold=True), 18)
    page.heads(_buy_fields(shop.printing))
    first = page.row
    for row in lines:
        amounts.lines[row.line.offer] = _order_line(page, row)
    prices, planned = (
        f"{letter}{first}:{letter}{page.row - 1}" for letter in map(get_column_letter, (_PRICE_AT, _PLANNED_AT))
    )
    amounts.changed.append(f"SUMPRODUCT(--({prices}<>{planned}))")
    money_column = get_column_letter(_MONEY_AT)
    priced = any(row.line.money is not None for row in lines)
    form = MONEY if priced else _NOT_KNOWN
    bars = _total(page, "lengths", f"SUM({money_column}{first}:{money_column}{page.row - 1})", order.bars, form=form)
    amounts.bars.append(bars)
    own = [bars]
    if terms.delivery and priced:
        own.append(_total(page, delivery_text(terms), _delivery(terms, bars.cell), order.delivery))
        amounts.delivery.append(own[-1])
    if terms.minimum_order and priced:
        least = money_number(rounded_to_cents(terms.minimum_order))
        text = f"to make up the minimum order of {money_text(terms.minimum_order)}"
        own.append(_total(page, text, f"ROUND(MAX(0,{least!r}-{bars.cell}),2)", order.shortfall))
        amounts.shortfall.append(own[-1])
    if order.cuts:
        charge = money_number(terms.cut_charge)
        formula = f"ROUND({order.cuts_charged}*{charge!r},2)"
        own.append(_total(page, cuts_text(order.cuts), formula, order.cut_charges))
        amounts.cuts.append(own[-1])
    if order.carry_cuts:
        formula = f"ROUND({order.carry_cuts_charged}*{money_number(terms.carry_cut_charge)!r},2)"
        own.append(_total(page, carry_cuts_text(order), formula, order.carry_charges))
        amounts.cuts.append(own[-1])
    if len(own) > 1:
        _total(page, "total", _sum_of(own), order.money, bold=True)


def _delivery(terms: Merchant, bars: str) -> str:
    """The formula of the delivery, by what the bars in a cell come to."""
    # Where nothing is weighed, it is not said that such an order could be fetched as well.
    first, *others = (bill for bill in terms.bills() if not bill.fetched)
    formula = repr(money_number(rounded_to_cents(first.delivery)))
    for bill in others:
        amount = repr(money_number(rounded_to_cents(bill.delivery)))
        formula = f"IF({bars}>={money_number(bill.spend_from)!r},{amount},{formula})"
    return formula


def _order_line(page: Page, row: OrderRow) -> Amount:
    """A line whose money follows its price cell; the cell is blank where the line is left out of the money."""
    line = row.line
    money = line.money or 0
    product = f"{get_column_letter(_COUNT_AT)}{page.row}*{get_column_letter(_PRICE_AT)}{page.row}"
    counted = line.money is not None and line.price_each is not None
    price = money_number(line.price_each or 0) if counted else None
    come_to = (Formula(f"ROUND({product},2)", money_number(money)), MONEY if counted else _LEFT_OUT)
    values = [
        None,
        ": ".join(filter(None, (row.text, row.cut))),
        line.count,
        mass_number(line.mass, page.rows.workshop.printing),
        row.price_typed,
        price,
        come_to,
    ]
    number = page.cells(_BUY_FIELDS, values)
    page.book.put(page.sheet, number, _PLANNED_AT, price, Look(form=MONEY))
    return Amount(reference(BUY, number, _MONEY_AT), money)


def _total(page: Page, text: str, formula: str, money: Money, *, bold: bool = False, form: str = MONEY) -> Amount:
    """A line below a table, its amount in the money column."""
    look = Look(bold=bold, border="b", indent=1)
    values: list[Any] = [None] * len(_BUY_FIELDS)
    values[_ORDER_AT - 1] = text
    values[_MONEY_AT - 1] = Formula(formula, money_number(money))
    plain = [replace(each, look=look) for each in _BUY_FIELDS]
    plain[_MONEY_AT - 1] = replace(_BUY_FIELDS[_MONEY_AT - 1], look=replace(MONEY_CELL, bold=bold, form=form))
    return Amount(reference(BUY, page.cells(plain, values), _MONEY_AT), money)


def _sum_of(amounts: Sequence[Amount]) -> str:
    return "+".join(amount.cell for amount in amounts)


def _money_totals(page: Page, rows: Rows, amounts: Amounts) -> None:
    money, shop = rows.totals.money, rows.workshop
    page.line("Amount to pay", Look(size=12, bold=True), 18)

    form = _sum_form(rows)

    def add(text: str, formula: str, value: Money, *, bold: bool = False) -> Amount:
        amounts.totals.append((text, _total(page, text, formula, value, bold=bold, form=form)))
        return amounts.totals[-1][1]

    together = [add("lengths", _sum_of(amounts.bars) or "0", money.bars)]
    if amounts.delivery:
        together.append(add("delivery", _sum_of(amounts.delivery), money.delivery))
    if amounts.shortfall:
        together.append(add("to make up minimum orders", _sum_of(amounts.shortfall), money.shortfall))
    if amounts.cuts:
        together.append(add("cuts made by merchants", _sum_of(amounts.cuts), money.cut_charges))
    if amounts.others:
        together.append(add("other things", _sum_of(amounts.others), money.others))
    if len(together) > 1:
        together = [add("total", _sum_of(together), money.subtotal)]
    subtotal = together[0].cell
    if not shop.tax_millionths:
        add("to pay", f"ROUND({subtotal},2)", money.to_pay, bold=True)
        return
    rate = shop.tax_millionths / 1_000_000
    percent = f"{rate * 100:.6f}".rstrip("0").rstrip(".")
    if money.tax_was_included:
        add(f"to pay, tax of {percent} % included", f"ROUND({subtotal},2)", money.to_pay, bold=True)
        add("tax in it", f"ROUND({subtotal}-ROUND({subtotal}/(1+{rate!r}),2),2)", money.tax)
        return
    tax = add(f"tax of {percent} %", f"ROUND({subtotal}*{rate!r},2)", money.tax)
    add("to pay, tax included", f"ROUND({subtotal},2)+{tax.cell}", money.to_pay, bold=True)


# --- weight and cost --------------------------------------------------------------------------------------------


def write_cost_sheet(book: Book, job: Job, plan: Plan, rows: Rows, amounts: Amounts, paper: int) -> ShareCells | None:
    """Returns where the money of each job stands, of several planned together."""
    how = rows.workshop.printing
    kg = how.mass_unit
    total = replace(COUNT_CELL, form="#,##0.00")
    fields = (
        Field(head="section", width=44, look=BOLD_CELL),
        Field(head="parts", width=8, look=COUNT_CELL),
        Field(head=total_head("parts", how), width=11, look=total),
        Field(head=f"parts, {kg}", width=10, look=MASS_CELL),
        Field(head="lengths to buy", width=9, look=COUNT_CELL),
        Field(head=f"to buy, {kg}", width=10, look=MASS_CELL),
        Field(head=total_head("bars used", how), width=11, look=total),
        Field(head=f"bars used, {kg}", width=10, look=MASS_CELL),
        Field(head=f"left over to keep, {kg}", width=10, look=MASS_CELL),
        Field(head=f"scrap, kerf and trim, {kg}", width=11, look=MASS_CELL),
        Field(head="material used", width=10, look=replace(COUNT_CELL, form="0.0%")),
        Field(head="amount", width=12, look=MONEY_CELL),
    )
    page = Page(book, rows, COST, widths_of(fields))
    money = rows.totals.money
    page.line(f"Amounts follow the price cells of the sheet {BUY}. Material used: length of parts over length of bars.")
    page.gap()
    page.line("By section", Look(size=12, bold=True), 18)
    page.heads(fields)
    first = page.row
    groups = groups_of(job)
    bought = [
        list(dict.fromkeys(bar.source for bar in planned.bars if bar.kind is SourceKind.BOUGHT))
        for planned in plan.groups
    ]
    group_cells = []
    for name, section, sources in zip(rows.groups, rows.totals.sections, bought, strict=True):
        formula = "+".join(amounts.lines[source].cell for source in sources) or "0"
        come_to = (Formula(formula, money_number(section.money or 0)), _money_form(section.goal))
        number = page.cells(fields, [name, *_sums(section, how), come_to])
        group_cells.append(f"${get_column_letter(len(fields))}${number}")
    whole = ["total", *_sums(rows.totals, how)]
    column = get_column_letter(len(fields))
    whole.append((Formula(f"SUM({column}{first}:{column}{page.row - 1})", money_number(money.bars)), _sum_form(rows)))
    page.cells(fields, whole, bold=True)
    page.gap()
    assembly_cells = _assemblies(page, fields, rows, groups, group_cells)
    page.gap()
    shares = None
    if rows.totals.lists:
        charges = _sum_of([*amounts.delivery, *amounts.shortfall, *amounts.cuts])
        shares = write_lists(page, fields, assembly_cells, list_of_assembly(job), charges)
        page.gap()
    page.line("Amount to pay", Look(size=12, bold=True), 18)
    for text, amount in amounts.totals:
        last = amount is amounts.totals[-1][1]
        come_to = (Formula(amount.cell, money_number(amount.money)), _sum_form(rows))
        _cost_line(page, fields, text, come_to, bold=last or "to pay" in text)
    page.gap()
    page.line("Not in the amount to pay", Look(size=12, bold=True), 18)
    _cost_line(page, fields, "book value of the offcuts used", money_number(money.offcuts_used_value))
    _cost_line(page, fields, "value of the offcuts kept", money_number(money.offcuts_kept_value))
    if money.work:
        _cost_line(page, fields, "what the workshop's own work is counted at", money_number(money.work))
    page.finish(paper, landscape=True)
    return shares


def _sums(total: SectionTotal | Totals, how: Printing) -> list[Any]:
    """Count, lengths and masses of one section or of all."""
    return [
        total.pieces,
        total_length(total.part_length, how),
        mass_number(total.part_mass, how),
        total.bars_bought,
        mass_number(total.bought_mass, how),
        total_length(total.drawn_length, how),
        mass_number(total.drawn_mass, how),
        mass_number(total.kept_mass, how),
        mass_number(total.scrap_mass + total.kerf_and_trim_mass, how),
        per_mille(total.part_length - total.nested_length, total.drawn_length) / 1000,
    ]


def _assemblies(
    page: Page, fields: Sequence[Field], rows: Rows, groups: Sequence[Group], group_cells: Sequence[str]
) -> dict[str, str]:
    """Returns the cell that holds the money of each assembly."""
    cells = {}
    how = rows.workshop.printing
    page.line("By assembly: the amount for a section is shared out by part length", Look(size=12, bold=True), 18)
    texts = {0: "assembly", 1: "parts", 2: total_head("parts", how), 3: f"parts, {how.mass_unit}"}
    if rows.others:
        texts |= {4: "other things", 5: f"other, {how.mass_unit}", len(fields) - 2: "other, amount"}
    heads = [replace(each, head=texts.get(place, "")) for place, each in enumerate(fields)]
    heads[-2] = replace(heads[-2], look=MONEY_CELL)
    heads[-1] = fields[-1]
    page.heads(heads)
    first = page.row
    reached: Counter[str] = Counter()
    for total in rows.totals.assemblies:
        terms = []
        form = MONEY
        for group, section, cell in zip(groups, rows.totals.sections, group_cells, strict=True):
            own = sum(part.length * part.quantity for part in group.parts if part.assembly == total.assembly)
            if own:
                whole = sum(part.length * part.quantity for part in group.parts)
                before = reached[group.title]
                reached[group.title] += own
                running = (f"{length / MM!r}" if length else "" for length in (before, before + own, whole))
                terms.append(share_formula(cell, *running))
                form = form if section.goal is Goal.MONEY else _LEFT_OUT
        name = total.assembly or "no assembly named"
        values: list[Any] = [f"{name} ({total.made} made)" if total.made > 1 else name, total.pieces]
        values += [total_length(total.part_length, how), mass_number(total.part_mass, how)]
        other = [total.others, mass_number(total.others_mass, how)] if total.others else [None, None]
        values += [*other, *[None] * (len(fields) - 8), money_number(total.others_money) if total.others else None]
        number = page.cells(heads, [*values, (Formula("+".join(terms) or "0", money_number(total.money)), form)])
        cells[total.assembly] = f"${get_column_letter(len(fields))}${number}"
    column = get_column_letter(len(fields))
    money = Formula(f"SUM({column}{first}:{column}{page.row - 1})", money_number(rows.totals.money.bars))
    page.cells(fields, ["total", *[None] * (len(fields) - 2), (money, _sum_form(rows))], bold=True)
    if rows.others:
        page.line("Amounts here are those of the lengths; what is not cut is listed apart, at the prices of the list.")
    return cells


def _cost_line(page: Page, fields: Sequence[Field], text: str, value: Any, *, bold: bool = False) -> None:
    page.cells(fields, [text, *[None] * (len(fields) - 2), value], bold=bold)


def _sum_form(rows: Rows) -> str:
    return MONEY if rows.money_known else _NOT_KNOWN


def _money_form(goal: Goal) -> str:
    return MONEY if goal is Goal.MONEY else _LEFT_OUT
