"""What a job costs and what it is offered at, in words and as values for JSON, which say the same."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cutplan.costing.cost_figures import HOUR, MINUTE, Minutes
from cutplan.costing.costs import AssemblyCost, Cost, Done
from cutplan.costing.handwork import Handwork, Task
from cutplan.costing.surfaces import SQUARE_METRE, Area, Coated, CoatTaken
from cutplan.model import Workshop
from cutplan.units import FOOT, MM, Money, Printing, counted, kg_text, length_text, mass_text, money_text
from cutplan.units.quantities import fixed_text, plain_text
from cutplan.words.cautions import BATH
from cutplan.words.naming import names_text, shop_name

_PERCENT = 10_000
"""Percentages are in millionths."""

SUBTOTAL, COST, PRICE, TO_PAY = "subtotal", "cost", "price without tax", "to pay"
"""The sums of the sheet, each of all that stands above it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """One line of the sheet of costs: of which block it is, what it is, how it was worked out, and what it comes to.

    ``block`` is blank of a sum, which is of all rows above it.
    """

    block: str
    what: str
    how: str
    amount: Money


def cost_rows(cost: Cost, workshop: Workshop) -> tuple[CostRow, ...]:
    """The sheet of costs from the steel down to what is to be paid; blocks with nothing in them are left out."""
    return tuple(_rows(cost, workshop))


def _rows(cost: Cost, workshop: Workshop) -> Iterator[CostRow]:
    how, figures = workshop.printing, cost.figures

    def row(block: str, what: str, told: str, amount: Money) -> CostRow:
        return CostRow(block=block, what=what, how=told, amount=amount)

    for steel in cost.steel:
        lengths = counted(steel.lengths, "length")
        # In inches the name is another, of which the title of a group knows nothing.
        title = steel.title.replace(steel.designation, shop_name(steel.designation, how), 1)
        yield row(
            "Steel", title, f"{lengths}, as far as {'it is' if steel.lengths == 1 else 'they are'} cut up", steel.used
        )
        yield row("Steel", title, "what whole lengths add: what is left of them", steel.whole_lengths_add)
    charges = (
        ("delivery", cost.delivery),
        ("to make up minimum orders", cost.shortfall),
        ("cuts made by merchants", cost.merchants_cuts),
    )
    for what, amount in charges:
        if amount:
            yield row("Merchants' charges", what, "", amount)
    if cost.offcuts_used:
        yield row("Rack", "offcuts used", "at their book value", cost.offcuts_used)
    if cost.offcuts_kept:
        yield row("Rack", "offcuts kept", "what they are worth, taken off", -cost.offcuts_kept)
    for thing in cost.things:
        each = money_text(thing.line.price_each or 0)
        yield row("Other things", thing.line.name, f"{thing.line.quantity} x {each}", thing.amount)
    if cost.consumables:
        told = f"{percent(figures.consumables)} of {money_text(cost.steel_amount)}"
        yield row("Consumables", "wire, gas, discs and blades", told, cost.consumables)
    for coat in cost.coats:
        yield row("Coats", f"{coat.taken.coat.name} on {coat.taken.coat.on}", coat_how(coat.taken, how), coat.amount)
    for work in cost.work:
        yield row("Hours", done_text(work.done, how), _done_how(work.done, how), work.amount)
    if figures.transport:
        yield row("Transport", "transport", "", figures.transport)
    if cost.overhead:
        yield row("", SUBTOTAL, "", cost.direct)
        yield row("Overhead", "overhead", f"{percent(figures.overhead)} of {money_text(cost.direct)}", cost.overhead)
    if cost.margin:
        yield row("", COST, "", cost.cost)
        yield row("Margin", "margin", f"{percent(figures.margin)} of the price", cost.margin)
    yield row("", PRICE, "", cost.price)
    if workshop.tax_millionths:
        yield row("Tax", "tax", f"{percent(workshop.tax_millionths)} of {money_text(cost.price)}", cost.tax)
        yield row("", TO_PAY, "", cost.to_pay)


def percent(millionths: int) -> str:
    """A percentage as it was typed: ``8.875 %``."""
    return f"{plain_text(Fraction(millionths, _PERCENT))} %"


def minutes_text(minutes: Minutes) -> str:
    """A time exactly: ``31.25 min``."""
    return f"{plain_text(Fraction(minutes, MINUTE))} min"


def hours_text(minutes: Minutes) -> str:
    """A time in hours, to a hundredth: ``6.25 h``."""
    return f"{fixed_text(Fraction(minutes, HOUR), 2)} h"


def area_text(area: Area, how: Printing) -> str:
    """A surface: ``12.78 m2``, ``137.56 ft2``."""
    if how.unit == "mm":
        return f"{fixed_text(Fraction(area, SQUARE_METRE), 2)} m2"
    return f"{fixed_text(area / Fraction(FOOT, MM) ** 2, 2)} ft2"


def litres_text(millilitres: int) -> str:
    """Paint, to the millilitre: ``2.84 l``."""
    return f"{plain_text(Fraction(millilitres, 1000))} l"


def done_text(done: Done, how: Printing) -> str:
    """What hours go into: ``strokes of the saw, SHS 40x40x3``."""
    if isinstance(done, CoatTaken):
        return f"putting on {done.coat.name}"
    size = length_text(done.diameter, how) if done.work is Handwork.HOLES else shop_name(done.size, how)
    return f"{done.work.value}, {size}" if size else done.work.value


def _done_how(done: Done, how: Printing) -> str:
    if isinstance(done, Task):
        return f"{done.count} x {minutes_text(done.each)} = {minutes_text(done.minutes)}"
    painted, each = _square_metres(done.area * done.coat.times, how), minutes_text(done.coat.minutes_per_m2)
    return f"{painted} x {each} = {minutes_text(done.minutes)}"


def _square_metres(area: Area, how: Printing) -> str:
    """A surface as prices and what a litre covers are given, fine enough to be multiplied; in inches in ft2 too."""
    in_metres = f"{fixed_text(Fraction(area, SQUARE_METRE), 4)} m2"
    return in_metres if how.unit == "mm" else f"{in_metres} ({area_text(area, how)})"


def coat_how(taken: CoatTaken, how: Printing) -> str:
    """How a coat was worked out, term by term."""
    coat = taken.coat
    times = f" x {coat.times}" if coat.times > 1 else ""
    terms = []
    if coat.per_m2:
        terms.append(f"{_square_metres(taken.area, how)}{times} x {money_text(coat.per_m2)}")
    if coat.per_kg:
        terms.append(f"{kg_text(taken.mass, 3)} kg x {money_text(coat.per_kg)}")
    if coat.litre_covers:
        covers = plain_text(Fraction(coat.litre_covers, SQUARE_METRE))
        painted = f"{_square_metres(taken.area, how)}{times} at {covers} m2 a litre"
        terms.append(f"{painted}: {litres_text(taken.millilitres)} x {money_text(coat.litre)}")
    told = " + ".join(terms) or area_text(taken.area, how)
    return f"{told}, but at least {money_text(coat.least)}" if taken.least_counts else told


def hours_line(cost: Cost) -> str:
    """All hours and the rate, and what of their figures is a guess."""
    rate = cost.figures.hour_rate
    paid = f" at {money_text(rate)}" if rate else "; no hour rate is set, so that they cost nothing here"
    guessed = len(cost.figures.hours.__slots__) - len(cost.figures.measured)
    guess = f" {guessed} of the figures of minutes are guesses: measure yours." if guessed and cost.work else ""
    return f"Hours: {minutes_text(cost.minutes)}, {hours_text(cost.minutes)}{paid}.{guess}"


def notes_of(cost: Cost) -> tuple[str, ...]:
    """What has to be known beside the figures."""
    notes = [hours_line(cost)]
    if any(isinstance(line.done, Task) and line.done.work is Handwork.WELDS for line in cost.work):
        notes.append("Both ends of every part are counted as welded on.")
    notes += odd_notes(cost)
    if cost.missing:
        notes.append(f"Not in the amounts, because a price is missing: {names_text(list(cost.missing))}.")
    if any(coat.taken.hollow for coat in cost.coats):
        notes.append(BATH)
    return tuple(notes)


def odd_notes(cost: Cost) -> tuple[str, ...]:
    """What may be a slip: no workshop file, a coat that no part gets, another tax than the plan's."""
    finishes = list(dict.fromkeys(each.finish for each in cost.surfaces))
    notes = [
        f'No part of this job gets the coat {coat.name}, on "{coat.on}"; finishes here: {names_text(finishes)}.'
        for coat in cost.figures.coats
        if coat.on not in finishes
    ]
    if cost.unsaid:
        notes.append("No workshop file was found, so that all figures are defaults; --workshop names one.")
    if cost.tax_differs is not None:
        planned, now = cost.tax_differs
        notes.append(f"Tax is {percent(planned)}, as in the plan; the workshop as it is now has {percent(now)}.")
    return tuple(notes)


def surface_text(each: Coated, how: Printing) -> str:
    """Parts of one finish in one assembly: pieces, area, mass."""
    return f"{counted(each.pieces, 'piece')}, {area_text(each.area, how)}, {mass_text(each.mass, how)}"


def assembly_name(each: AssemblyCost | Coated) -> str:
    """An assembly by its name."""
    return each.assembly or "no assembly named"


def cost_text(cost: Cost, job_name: str, workshop: Workshop) -> str:
    """The sheet of costs on screen."""
    how = workshop.printing
    rows = cost_rows(cost, workshop)
    wide = max(len(money_text(row.amount)) for row in rows)
    named = max(len(row.what) for row in rows if row.block)
    lines = [f"{job_name}: costs in {workshop.currency}, without tax"]
    block = None
    for row in rows:
        if row.block and row.block != block:
            lines.append(f"{row.block}:")
        block = row.block
        what = f"  {row.what:<{named}}" if row.block else f"{row.what.capitalize():<{named + 2}}"
        lines.append(f"{what}  {money_text(row.amount):>{wide}}  {row.how}".rstrip())
    return "\n".join([*lines, *lines_below(cost, how)])


def lines_below(cost: Cost, how: Printing) -> tuple[str, ...]:
    """What stands below the rows of costs."""
    lines = ["Surface and mass, by finish and assembly:"]
    lines += [f"  {each.finish}, {assembly_name(each)}: {surface_text(each, how)}" for each in cost.surfaces]
    for title, shares in (("by assembly", cost.assemblies), ("by job", cost.jobs)):
        lines += [f"Price without tax, {title}:"] if shares else []
        lines += [
            f"  {assembly_name(each)}{made_text(each.made)}: {money_text(each.price)}, {hours_text(each.minutes)}"
            for each in shares
        ]
    return (*lines, *notes_of(cost))


def made_text(made: int) -> str:
    """How often an assembly is made, where that is more than once."""
    return f" ({made} made)" if made > 1 else ""


def cost_values(cost: Cost, job_name: str, workshop: Workshop) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "job": job_name,
        "currency": workshop.currency,
        "rows": [
            {"block": row.block, "what": row.what, "how": row.how, "amount": money_text(row.amount)}
            for row in cost_rows(cost, workshop)
        ],
        "minutes": plain_text(Fraction(cost.minutes, MINUTE)),
        "cost": money_text(cost.cost),
        "price": money_text(cost.price),
        "tax": money_text(cost.tax),
        "to_pay": money_text(cost.to_pay),
        "surfaces": [
            {
                "finish": each.finish,
                "assembly": each.assembly,
                "pieces": each.pieces,
                "area_m2": plain_text(Fraction(each.area, SQUARE_METRE)),
                "mass_kg": kg_text(each.mass, 3),
            }
            for each in cost.surfaces
        ],
        "assemblies": [
            {"assembly": each.assembly, "made": each.made} | _share_values(each) for each in cost.assemblies
        ],
        "jobs": [{"job": each.list_name} | _share_values(each) for each in cost.jobs],
        "without_price": list(cost.missing),
        "notes": list(notes_of(cost)),
    }


def _share_values(each: AssemblyCost) -> dict[str, Any]:
    heads = ("steel", "things", "coats", "work", "rest", "price")
    amounts = {head: money_text(getattr(each, head)) for head in heads}
    return amounts | {"minutes": plain_text(Fraction(each.minutes, MINUTE))}
