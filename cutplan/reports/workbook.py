"""plan.xlsx: the sheets in the order of the day, to print and to keep.

To buy from, to fetch from the rack, to cut from, to put away, weight and cost,
the parts list as it was understood, assumptions and cautions. The price cells
of the sheet to buy from may be changed; every sum of money follows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.model import Goal, Group, Job, Plan, SourceKind, groups_of
from cutplan.model.totals import MerchantOrder, SectionTotal, Totals
from cutplan.reports.cells import (
    A4,
    COLUMN_UNIT_MM,
    LETTER,
    MONEY,
    WEIGHT,
    Book,
    Formula,
    Look,
    kg_number,
    length_cell,
    length_form,
    lines_needed,
    money_number,
    reference,
    set_up_page,
    text_mm,
)
from cutplan.reports.cutsheet import write_cut_sheet
from cutplan.reports.rows import FetchRow, OrderRow, PartRow, PutAwayRow, Rows, rows_of
from cutplan.reports.sentences import end_text, names_text, per_mille, stock_text
from cutplan.units import FOOT, METRE, MM, Length, Money, kg_text, money_text

BUY, FETCH, PUT_AWAY, COST, PARTS, NOTES = "Buy", "Fetch", "Put away", "Weight and cost", "Parts", "Notes"

_PLAIN = Look()
_TEXT = Look(border="b", wrap=True, indent=1)
_BOLD = Look(border="b", wrap=True, bold=True, indent=1)
_COUNT = Look(border="b", align="right", form="0")
_KG = Look(border="b", align="right", form=WEIGHT)
_MONEY = Look(border="b", align="right", form=MONEY)
_TICK = Look(border="ltrb", indent=1)
_HEAD = Look(size=9, bold=True, shade=True, border="tb", wrap=True)
_LINE_POINTS = 13.5
_LEFT_OUT = f'{MONEY};-{MONEY};"left out"'
"""Form of an amount that stays out of the money until a price is filled in."""
_NOT_KNOWN = f'{MONEY};-{MONEY};"not known"'
"""Form of a sum in which every amount is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A column of a table: heading, width in column units, look of its cells."""

    head: str
    width: float
    look: Look = _TEXT


def write_workbook(job: Job, plan: Plan, path: Path) -> None:
    """Write the workbook; the caller sees to it that an older one is replaced as a whole.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    path.write_bytes(workbook_bytes(job, plan))


def workbook_bytes(job: Job, plan: Plan) -> bytes:
    """The workbook as a file's content; the same for the same plan."""
    rows = rows_of(job, plan)
    book = Book()
    paper = A4 if job.workshop.unit == "mm" else LETTER
    amounts = _buy(book, rows, paper)
    if rows.fetch:
        _fetch(book, rows, paper)
    write_cut_sheet(book, rows, paper)
    if rows.put_away:
        _put_away(book, rows, paper)
    _weight_and_cost(book, job, plan, rows, amounts, paper)
    _parts(book, rows, paper)
    _notes(book, rows, paper)
    return book.to_bytes()


class _Page:
    """One sheet filled from the top: its title, then lines and tables."""

    def __init__(self, book: Book, rows: Rows, name: str, widths: Sequence[float]) -> None:
        self.book, self.rows, self.widths = book, rows, tuple(widths)
        self.sheet: Any = book.sheet(name)
        for column, width in enumerate(widths, 1):
            self.sheet.column_dimensions[get_column_letter(column)].width = width
        self.row = 1
        shop = f"{rows.workshop.name}, " if rows.workshop.name else ""
        self.line(f"{name}: {rows.job_name}", Look(size=16, bold=True), 24)
        self.line(f"{shop}money in {rows.workshop.currency}{_tax_words(rows)}", Look(size=9), 14)

    def line(self, text: str, look: Look = _PLAIN, height: float = 15) -> None:
        """A sentence over the whole width, wrapped where it must be."""
        room = sum(self.widths) * COLUMN_UNIT_MM - 4
        lines = lines_needed(text, room, look.size, bold=look.bold)
        self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=1, end_column=len(self.widths))
        self.book.put(self.sheet, self.row, 1, text, replace(look, wrap=True))
        self.sheet.row_dimensions[self.row].height = height + (lines - 1) * (look.size * 1.35)
        self.row += 1

    def gap(self) -> None:
        self.sheet.row_dimensions[self.row].height = 8
        self.row += 1

    def heads(self, fields: Sequence[Field]) -> None:
        """The headings of a table."""
        lines = 1
        for column, each in enumerate(fields, 1):
            self.book.put(
                self.sheet, self.row, column, each.head, replace(_HEAD, align=each.look.align, indent=each.look.indent)
            )
            lines = max(lines, lines_needed(each.head, _room(each), _HEAD.size, bold=True))
        self.sheet.row_dimensions[self.row].height = 4 + 12 * lines
        self.row += 1

    def cells(self, fields: Sequence[Field], values: Sequence[Any], *, bold: bool = False) -> int:
        """One row of a table, as high as its texts need; returns its number. A pair is a value with its own form."""
        lines = 1
        for column, (each, value) in enumerate(zip(fields, values, strict=True), 1):
            look = replace(each.look, bold=True) if bold else each.look
            if isinstance(value, tuple):
                value, form = value
                look = replace(look, form=form)
            if isinstance(value, str):
                lines = max(lines, lines_needed(value, _room(each), look.size, bold=look.bold))
            self.book.put(self.sheet, self.row, column, value, look)
        self.sheet.row_dimensions[self.row].height = max(18.0, 4.5 + _LINE_POINTS * lines)
        self.row += 1
        return self.row - 1

    def finish(self, paper: int, *, landscape: bool, title_rows: int = 2) -> None:
        set_up_page(
            self.sheet,
            job=self.rows.job_name,
            paper=paper,
            landscape=landscape,
            last_row=self.row - 1,
            columns=len(self.widths),
            title_rows=title_rows,
        )


def _tax_words(rows: Rows) -> str:
    shop = rows.workshop
    if not shop.tax_millionths:
        return ""
    return ", tax included in prices" if shop.prices_include_tax else ", prices without tax"


def _room(column: Field) -> float:
    """Width that a text finds in a column, its indent and the cell's own margins taken off. [mm]"""
    return column.width * COLUMN_UNIT_MM - 2 - 2.5 * column.look.indent


def _widths(fields: Sequence[Field]) -> list[float]:
    return [each.width for each in fields]


def _total_length(length: Length, unit: str) -> float:
    """A length summed up, in metres or feet."""
    return length / (METRE if unit == "mm" else FOOT)


def _total_head(text: str, unit: str) -> str:
    return f"{text}, {'m' if unit == 'mm' else 'ft'}"


def _length(length: Length | None, unit: str) -> Any:
    value = length_cell(length, unit)
    return (value, length_form(length)) if unit == "mm" and value is not None else value


# --- to buy from ------------------------------------------------------------------------------------------------

_TICK_AT, _ORDER_AT, _COUNT_AT, _KG_AT, _LISTED_AT, _PRICE_AT, _MONEY_AT = range(1, 8)
_BUY_FIELDS = (
    Field(head="bought", width=8, look=_TICK),
    Field(head="order", width=52, look=_BOLD),
    Field(head="lengths", width=8, look=_COUNT),
    Field(head="kg in all", width=9, look=_KG),
    Field(head="price as listed", width=15, look=replace(_TEXT, align="right")),
    Field(head="price of a length", width=10, look=replace(_MONEY, border="ltrb")),
    Field(head="money", width=11, look=_MONEY),
)


@dataclass(frozen=True, slots=True)
class _Amount:
    """A cell that holds money, as other cells refer to it, and its amount now."""

    cell: str
    money: Money


@dataclass(slots=True)
class _Amounts:
    """The money of the sheet to buy from: by offer, by merchant, and the totals with their words."""

    lines: dict[str, _Amount] = field(default_factory=dict)
    bars: list[_Amount] = field(default_factory=list)
    delivery: list[_Amount] = field(default_factory=list)
    shortfall: list[_Amount] = field(default_factory=list)
    totals: list[tuple[str, _Amount]] = field(default_factory=list)


def _buy(book: Book, rows: Rows, paper: int) -> _Amounts:
    page = _Page(book, rows, BUY, _widths(_BUY_FIELDS))
    for text in rows.proof:
        page.line(text, Look(size=11, bold=True), 17)
    for text in rows.forgone:
        page.line(f"Too long to carry: {text}")
    rack = "nothing comes from the rack"
    if rows.fetch:
        rack = (
            f"{len(rows.fetch)} {'offcut comes' if len(rows.fetch) == 1 else 'offcuts come'} from the rack: see {FETCH}"
        )
    page.line(f"The assumptions are on the sheet {NOTES}: read them first. Beside this order, {rack}.")
    amounts = _Amounts()
    for order, lines in zip(rows.totals.orders, rows.orders, strict=True):
        page.gap()
        _merchant(page, order, lines, amounts)
    if rows.orders:
        page.gap()
        _money_totals(page, rows, amounts)
    else:
        page.line("Nothing to buy.", Look(size=12, bold=True), 18)
    if rows.left_out:
        page.gap()
        left_out = names_text(rows.left_out)
        page.line(f"Left out of the money, because a price is missing: {left_out}.", Look(bold=True))
    page.finish(paper, landscape=False)
    page.sheet.freeze_panes = "A3"
    return amounts


def _merchant(page: _Page, order: MerchantOrder, lines: Sequence[OrderRow], amounts: _Amounts) -> None:
    shop = page.rows.workshop
    terms = shop.merchant(order.merchant)
    longest = stock_text(max(row.line.length for row in lines), shop.unit)
    carried = "delivered" if terms.delivers else "to be fetched"
    who = f"{order.merchant}: {carried}" if order.merchant else "No merchant named"
    heading = f"{who}, longest {longest}, {kg_text(order.mass)} kg in all"
    page.line(heading, Look(size=12, bold=True), 18)
    page.heads(_BUY_FIELDS)
    first = page.row
    for row in lines:
        amounts.lines[row.line.offer] = _order_line(page, row)
    money_column = get_column_letter(_MONEY_AT)
    form = MONEY if any(row.line.money is not None for row in lines) else _NOT_KNOWN
    bars = _total(page, "lengths", f"SUM({money_column}{first}:{money_column}{page.row - 1})", order.bars, form=form)
    amounts.bars.append(bars)
    own = [bars]
    if order.delivery:
        own.append(_total(page, "delivery", repr(money_number(order.delivery)), order.delivery))
        amounts.delivery.append(own[-1])
    if terms.minimum_order and any(row.line.money is not None for row in lines):
        least = money_number(terms.minimum_order)
        text = f"to make up the minimum order of {money_text(terms.minimum_order)}"
        own.append(_total(page, text, f"MAX(0,{least!r}-{bars.cell})", order.shortfall))
        amounts.shortfall.append(own[-1])
    if len(own) > 1:
        _total(page, "together", _sum_of(own), order.money, bold=True)


def _order_line(page: _Page, row: OrderRow) -> _Amount:
    """A line whose money follows its price cell; the cell is blank where the line is left out of the money."""
    line = row.line
    money = line.money or 0
    product = f"{get_column_letter(_COUNT_AT)}{page.row}*{get_column_letter(_PRICE_AT)}{page.row}"
    counted = line.money is not None and line.price_each is not None
    price = money_number(line.price_each or 0) if counted else None
    come_to = (Formula(product, money_number(money)), MONEY if counted else _LEFT_OUT)
    values = [None, row.text, line.count, kg_number(line.mass), row.price_typed, price, come_to]
    return _Amount(reference(BUY, page.cells(_BUY_FIELDS, values), _MONEY_AT), money)


def _total(page: _Page, text: str, formula: str, money: Money, *, bold: bool = False, form: str = MONEY) -> _Amount:
    """A line below a table, its amount in the money column."""
    look = Look(bold=bold, border="b", indent=1)
    values: list[Any] = [None] * len(_BUY_FIELDS)
    values[_ORDER_AT - 1] = text
    values[_MONEY_AT - 1] = Formula(formula, money_number(money))
    plain = [replace(each, look=look) for each in _BUY_FIELDS]
    plain[_MONEY_AT - 1] = replace(_BUY_FIELDS[_MONEY_AT - 1], look=replace(_MONEY, bold=bold, form=form))
    return _Amount(reference(BUY, page.cells(plain, values), _MONEY_AT), money)


def _sum_of(amounts: Sequence[_Amount]) -> str:
    return "+".join(amount.cell for amount in amounts)


def _money_totals(page: _Page, rows: Rows, amounts: _Amounts) -> None:
    money, shop = rows.totals.money, rows.workshop
    page.line("Money to pay", Look(size=12, bold=True), 18)

    form = _sum_form(rows)

    def add(text: str, formula: str, value: Money, *, bold: bool = False) -> _Amount:
        amounts.totals.append((text, _total(page, text, formula, value, bold=bold, form=form)))
        return amounts.totals[-1][1]

    together = [add("lengths", _sum_of(amounts.bars), money.bars)]
    if amounts.delivery:
        together.append(add("delivery", _sum_of(amounts.delivery), money.delivery))
    if amounts.shortfall:
        together.append(add("to make up minimum orders", _sum_of(amounts.shortfall), money.shortfall))
    if len(together) > 1:
        together = [add("together", _sum_of(together), money.subtotal)]
    subtotal = together[0].cell
    if not shop.tax_millionths:
        add("to pay", f"ROUND({subtotal},2)", money.to_pay, bold=True)
        return
    rate = shop.tax_millionths / 1_000_000
    percent = f"{rate * 100:.6f}".rstrip("0").rstrip(".")
    if money.tax_was_included:
        add(f"to pay, tax of {percent} % included", f"ROUND({subtotal},2)", money.to_pay, bold=True)
        add("tax in it", f"ROUND({subtotal}*{rate!r}/(1+{rate!r}),2)", money.tax)
        return
    tax = add(f"tax of {percent} %", f"ROUND({subtotal}*{rate!r},2)", money.tax)
    add("to pay, tax included", f"ROUND({subtotal},2)+{tax.cell}", money.to_pay, bold=True)


def _kind(row: FetchRow | PutAwayRow | PartRow) -> str:
    """What stands under "standard, grade, finish"."""
    return f"{row.standard}, {row.grade}, {row.finish}"


# --- to fetch, to put away --------------------------------------------------------------------------------------


def _fetch(book: Book, rows: Rows, paper: int) -> None:
    unit = rows.workshop.unit
    fields = (
        Field(head="fetched", width=8, look=_TICK),
        Field(head="offcut", width=14, look=replace(_BOLD, size=12)),
        Field(head="place", width=18),
        _section_field([row.section for row in rows.fetch]),
        Field(head=f"length, {unit}", width=13, look=replace(_COUNT, size=12, bold=True)),
        Field(head="standard, grade, finish", width=36),
        Field(head="heat number", width=14),
        Field(head="kg", width=8, look=_KG),
        Field(head="for bar", width=8, look=_COUNT),
    )
    page = _Page(book, rows, FETCH, _widths(fields))
    page.heads(fields)
    for row in rows.fetch:
        values = [None, row.mark, row.place, row.section, _length(row.length, unit), _kind(row), row.heat_number]
        page.cells(fields, [*values, kg_number(row.mass), row.bar])
    page.finish(paper, landscape=True, title_rows=3)


def _put_away(book: Book, rows: Rows, paper: int) -> None:
    unit = rows.workshop.unit
    fields = (
        Field(head="put away", width=8, look=_TICK),
        Field(head="from bar", width=8, look=replace(_COUNT, bold=True)),
        _section_field([row.section for row in rows.put_away]),
        Field(head=f"length, {unit}", width=13, look=replace(_COUNT, size=12, bold=True)),
        Field(head="measured", width=12, look=_TICK),
        Field(head="mark given", width=14, look=_TICK),
        Field(head="place", width=16, look=_TICK),
        Field(head="standard, grade, finish", width=36),
        Field(head="far end", width=8),
        Field(head="heat number", width=14, look=_TICK),
        Field(head="kg", width=8, look=_KG),
        Field(head="value", width=9, look=_MONEY),
    )
    page = _Page(book, rows, PUT_AWAY, _widths(fields))
    page.line("Write mark, length and heat number on each piece before it goes on the rack. The rest is scrap.")
    page.heads(fields)
    for row in rows.put_away:
        values = [None, row.bar, row.section, _length(row.length, unit), None, None, None]
        values += [_kind(row), row.far_end, row.heat_number, kg_number(row.mass), money_number(row.value)]
        page.cells(fields, values)
    page.finish(paper, landscape=True, title_rows=4)


# --- weight and cost --------------------------------------------------------------------------------------------


def _weight_and_cost(book: Book, job: Job, plan: Plan, rows: Rows, amounts: _Amounts, paper: int) -> None:
    unit = rows.workshop.unit
    total = replace(_COUNT, form="#,##0.00")
    fields = (
        Field(head="section", width=44, look=_BOLD),
        Field(head="parts", width=8, look=_COUNT),
        Field(head=_total_head("parts", unit), width=11, look=total),
        Field(head="parts, kg", width=10, look=_KG),
        Field(head="lengths bought", width=9, look=_COUNT),
        Field(head="bought, kg", width=10, look=_KG),
        Field(head=_total_head("bars used", unit), width=11, look=total),
        Field(head="bars used, kg", width=10, look=_KG),
        Field(head="left over to keep, kg", width=10, look=_KG),
        Field(head="scrap, kerf and trim, kg", width=11, look=_KG),
        Field(head="material used", width=10, look=replace(_COUNT, form="0.0%")),
        Field(head="money", width=12, look=_MONEY),
    )
    page = _Page(book, rows, COST, _widths(fields))
    money = rows.totals.money
    page.line(f"Money follows the price cells of the sheet {BUY}. Material used: part length over bar length drawn.")
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
        number = page.cells(fields, [name, *_sums(section, unit), come_to])
        group_cells.append(f"${get_column_letter(len(fields))}${number}")
    whole = ["together", *_sums(rows.totals, unit)]
    column = get_column_letter(len(fields))
    whole.append((Formula(f"SUM({column}{first}:{column}{page.row - 1})", money_number(money.bars)), _sum_form(rows)))
    page.cells(fields, whole, bold=True)
    page.gap()
    _assemblies(page, fields, rows, groups, group_cells)
    page.gap()
    page.line("Money to pay", Look(size=12, bold=True), 18)
    for text, amount in amounts.totals:
        last = amount is amounts.totals[-1][1]
        come_to = (Formula(amount.cell, money_number(amount.money)), _sum_form(rows))
        _cost_line(page, fields, text, come_to, bold=last or "to pay" in text)
    page.gap()
    page.line("Beside the money to pay", Look(size=12, bold=True), 18)
    _cost_line(page, fields, "book value of the offcuts used", money_number(money.offcuts_used_value))
    _cost_line(page, fields, "value of the offcuts kept", money_number(money.offcuts_kept_value))
    page.finish(paper, landscape=True)


def _sums(total: SectionTotal | Totals, unit: str) -> list[Any]:
    """Count, lengths and masses of one section or of all."""
    return [
        total.pieces,
        _total_length(total.part_length, unit),
        kg_number(total.part_mass),
        total.bars_bought,
        kg_number(total.bought_mass),
        _total_length(total.drawn_length, unit),
        kg_number(total.drawn_mass),
        kg_number(total.kept_mass),
        kg_number(total.scrap_mass + total.kerf_and_trim_mass),
        per_mille(total.part_length, total.drawn_length) / 1000,
    ]


def _assemblies(
    page: _Page, fields: Sequence[Field], rows: Rows, groups: Sequence[Group], group_cells: Sequence[str]
) -> None:
    unit = rows.workshop.unit
    page.line("By assembly: money of a section shared by part length", Look(size=12, bold=True), 18)
    heads = [replace(each, head="") for each in fields]
    for place, text in ((0, "assembly"), (1, "parts"), (2, _total_head("parts", unit)), (3, "parts, kg")):
        heads[place] = replace(fields[place], head=text)
    heads[-1] = fields[-1]
    page.heads(heads)
    first = page.row
    for total in rows.totals.assemblies:
        terms = []
        form = MONEY
        for group, section, cell in zip(groups, rows.totals.sections, group_cells, strict=True):
            own = sum(part.length * part.quantity for part in group.parts if part.assembly == total.assembly)
            if own:
                whole = sum(part.length * part.quantity for part in group.parts)
                terms.append(f"{cell}*{own / MM!r}/{whole / MM!r}")
                form = form if section.goal is Goal.MONEY else _LEFT_OUT
        values: list[Any] = [total.assembly or "no assembly named", total.pieces]
        values += [_total_length(total.part_length, unit), kg_number(total.part_mass), *[None] * (len(fields) - 5)]
        page.cells(fields, [*values, (Formula("+".join(terms), money_number(total.money)), form)])
    column = get_column_letter(len(fields))
    money = Formula(f"SUM({column}{first}:{column}{page.row - 1})", money_number(rows.totals.money.bars))
    page.cells(fields, ["together", *[None] * (len(fields) - 2), (money, _sum_form(rows))], bold=True)


def _cost_line(page: _Page, fields: Sequence[Field], text: str, value: Any, *, bold: bool = False) -> None:
    page.cells(fields, [text, *[None] * (len(fields) - 2), value], bold=bold)


def _sum_form(rows: Rows) -> str:
    return MONEY if rows.money_known else _NOT_KNOWN


def _money_form(goal: Goal) -> str:
    return MONEY if goal is Goal.MONEY else _LEFT_OUT


# --- parts list, notes ------------------------------------------------------------------------------------------


def _parts(book: Book, rows: Rows, paper: int) -> None:
    """The parts list as understood; columns that say nothing for any part are left out."""
    unit = rows.workshop.unit
    typed = replace(_TEXT, align="right", indent=0)
    listed: tuple[tuple[str, Look, list[Any]], ...] = (
        ("mark", _BOLD, [row.mark for row in rows.parts]),
        ("quantity", _COUNT, [row.quantity for row in rows.parts]),
        ("section", _BOLD, [row.section for row in rows.parts]),
        ("section as typed", _TEXT, [row.typed_section for row in rows.parts]),
        ("length, mm", _COUNT, [_length(row.length, "mm") for row in rows.parts]),
        ("length, in", typed, [_length(row.length, "in") for row in rows.parts]),
        ("length as typed", typed, [row.typed_length for row in rows.parts]),
        ("typed length is", _TEXT, [row.length_meant for row in rows.parts]),
        (f"short point, {unit}", _COUNT, [_length(row.short_point, unit) for row in rows.parts]),
        ("cut A", _TEXT, _ends(rows, "angle_a")),
        ("cut B", _TEXT, _ends(rows, "angle_b")),
        ("standard, grade, finish", _TEXT, [_kind(row) for row in rows.parts]),
        ("assembly", _TEXT, [row.assembly for row in rows.parts]),
        ("kg each", _KG, [kg_number(row.mass_each) for row in rows.parts]),
        ("kg", _KG, [kg_number(row.mass) for row in rows.parts]),
        ("note", _TEXT, [row.note for row in rows.parts]),
    )
    shown = [each for each in listed if any(value not in ("", None) for value in each[2])]
    fields = [Field(head=head, width=_fitting(head, look, values), look=look) for head, look, values in shown]
    page = _Page(book, rows, PARTS, _widths(fields))
    page.line("As understood. Lengths are long point to long point.")
    page.heads(fields)
    for values in zip(*(values for _, _, values in shown), strict=True):
        page.cells(fields, values)
    page.finish(paper, landscape=True, title_rows=4)
    page.sheet.freeze_panes = "B5"


_NARROWEST, _WIDEST = 7.0, 36.0


def _fitting(head: str, look: Look, values: Sequence[Any]) -> float:
    """Column width that suits what stands in it; longer texts are wrapped."""
    texts = [value for value in values if isinstance(value, str)] or ["00000.0"]
    widest = max(text_mm(text, look.size, bold=look.bold) for text in texts)
    word = max(text_mm(word, _HEAD.size, bold=True) for word in head.split(" "))
    return min(_WIDEST, max(_NARROWEST, (max(widest, word) + 2.5 + 2.5 * look.indent) / COLUMN_UNIT_MM))


def _section_field(names: Sequence[str]) -> Field:
    """A column of section names, one line each unless they are long."""
    return Field(head="section", width=max(18.0, _fitting("section", _BOLD, names)), look=_BOLD)


def _ends(rows: Rows, name: str) -> list[str]:
    """Saw angles of one end, blank for all when every part is square at both ends."""
    if all(row.short_point is None for row in rows.parts):
        return ["" for _ in rows.parts]
    return [end_text(getattr(row, name)) for row in rows.parts]


def _notes(book: Book, rows: Rows, paper: int) -> None:
    page = _Page(book, rows, NOTES, (96,))
    for heading, sentences in (
        ("Assumptions", rows.assumptions),
        ("Warnings", rows.warnings),
        ("How cheapest is known", rows.proof),
        ("What was too long to carry", rows.forgone),
        ("Cautions", rows.cautions),
    ):
        if sentences:
            page.gap()
            page.line(heading, Look(size=12, bold=True), 18)
        for text in sentences:
            page.line(f"\N{BULLET} {text}")
    page.finish(paper, landscape=False)
