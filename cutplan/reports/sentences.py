"""The sentences that sheets and terminal share, so that both say the same in the same words."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import groupby

from cutplan.model import (
    CutBar,
    Drop,
    EndState,
    Fate,
    Goal,
    GroupPlan,
    Held,
    Job,
    Merchant,
    Offcut,
    Part,
    Plan,
    Saw,
    SourceKind,
    Status,
    StockLength,
    groups_of,
    within_carry,
)
from cutplan.model.totals import MerchantOrder, Totals
from cutplan.units import (
    CURRENCY,
    KG,
    MASS_UNITS,
    MM,
    Angle,
    Length,
    Mass,
    Money,
    Printing,
    angle_text,
    ceil_div,
    length_text,
    mass_text,
    money_text,
    rounded_down,
    stock_text,
)

LIFTING_FILTERS: tuple[Mass, ...] = (25 * KG, 16 * KG)
"""Filters for loads held close at knuckle height, not safe limits (HSE, manual handling, risk filters)."""

WIDEST_KERF: Length = 10 * MM
"""No saw of a small workshop takes more; beyond it the largest kerf that works is not worth a figure. From memory."""


GENERAL_CAUTIONS = (
    "Clamp the work for every cut; never hand-hold it.",
    "Support the overhang on both sides of the saw, so that neither end drops or pinches the wheel.",
    "Use a wheel or blade rated for the saw and the steel, keep the guards on, clear away what can burn.",
    "This tool plans cuts. It does not check strength: sizes, welds and holes are for whoever designs the thing.",
    "Local codes and law, HSE, SafeWork or OSHA, the road authority and the saw's maker come before this sheet.",
)
"""Printed with every plan. Sawing: WorkSafe guidance as gathered at sitesafe.org.nz, wheels, disks and blades."""


ZINC = (
    "Zinc: grinding, hot cutting or welding galvanised steel gives off harmful fumes. "
    "Coat after welding, or strip the zinc first; draw the fumes off."
)


def money_words(money: Money, currency: str) -> str:
    """An amount with its currency: ``31.50 EUR``."""
    return f"{money_text(money)} {currency}"


def per_mille(part: int, whole: int, *, up: bool = False) -> int:
    """``part`` of ``whole`` in thousandths, rounded down, or up with ``up``; 0 of nothing."""
    if whole <= 0:
        return 0
    return ceil_div(part * 1000, whole) if up else part * 1000 // whole


def percent_text(part: int, whole: int, *, up: bool = False) -> str:
    """``part`` of ``whole`` in percent with one decimal, rounded as :func:`per_mille`."""
    tenths = per_mille(part, whole, up=up)
    return f"{tenths // 10}.{tenths % 10}"


def section_names(job: Job) -> dict[str, str]:
    """The name of every section of the parts list by its key: ``SHS 50.8x50.8x3.175 (HSS 2x2x1/8)``.

    The typed name stands in brackets where its figures are others than those used here: at the saw and at the
    merchant's that is the name the section goes by.
    """
    names: dict[str, str] = {}
    for part in job.parts:
        section, typed = part.section, part.typed_section
        if typed and _figures(typed) != _figures(section.designation):
            names.setdefault(section.key, f"{section.designation} ({typed})")
    return {part.section.key: names.get(part.section.key, part.section.designation) for part in job.parts}


def _figures(text: str) -> list[Fraction]:
    """The numbers in a designation, in order of size: ``2.0`` is 2, and ``6 x 50`` is 50x6."""
    return sorted(Fraction(figure) for figure in re.findall(r"\d+/[1-9]\d*|\d+(?:\.\d+)?|\.\d+", text))


def group_names(job: Job) -> dict[str, str]:
    """The name of every group by its title: the title with the name of :func:`section_names`."""
    names = section_names(job)
    return {
        group.title: group.title.replace(group.section.designation, names[group.section.key], 1)
        for group in groups_of(job)
    }


def grade_text(grade: str, missing: str) -> str:
    """A grade as an order names it: ``S235`` tells what it is, ``B`` and ``350`` do not and become ``grade B``.

    ``missing`` stands where none is stated.
    """
    return f"grade {grade}" if re.fullmatch(r"[A-Z]|\d+", grade) else grade or missing


def source_grade(source: StockLength | Offcut) -> str:
    """The grade of what a bar is cut from; that of a length on sale was not stated, that of an offcut is not known."""
    return grade_text(source.grade, "grade not stated" if isinstance(source, StockLength) else "grade unknown")


def section_words(name: str, standard: str, grade: str, finish: str) -> str:
    """``SHS 40x40x3, EN 10219-2, S235, black``; ``grade`` in words."""
    return ", ".join(word for word in (name, standard, grade, finish) if word)


def order_text(offer: StockLength, count: int, how: Printing, name: str) -> str:
    """``6 lengths x 6.5 m SHS 40x40x3, EN 10219-2, S235, black``; ``name`` is the section's."""
    noun = "length" if count == 1 else "lengths"
    what = section_words(name, offer.section.standard, source_grade(offer), offer.finish)
    return f"{count} {noun} x {stock_text(offer.length, how)} {what}"


def piece_word(piece: Offcut) -> str:
    """What a piece of the rack is: a length as it came from the mill, or an offcut."""
    return "length" if piece.is_full else "offcut"


def from_merchant(length: str, merchant: str) -> str:
    """``6 m from Yard``; the length alone where lengths were given without a merchant."""
    return f"{length} from {merchant}" if merchant else length


def numbers_text(numbers: Sequence[int]) -> str:
    """Bar numbers, runs drawn together: ``3``, ``3 to 5``, ``3, 7 to 9``."""
    runs = []
    for _, run in groupby(enumerate(sorted(numbers)), key=lambda pair: pair[1] - pair[0]):
        members = [number for _, number in run]
        if len(members) > 2:
            runs.append(f"{members[0]} to {members[-1]}")
        else:
            runs.extend(str(number) for number in members)
    return ", ".join(runs)


def names_text(names: Iterable[str], shown: int = 8) -> str:
    """Names in a row; beyond ``shown`` only how many more."""
    listed = list(dict.fromkeys(names))
    more = f" and {len(listed) - shown} more" if len(listed) > shown else ""
    return ", ".join(listed[:shown]) + more


def end_text(angle: Angle) -> str:
    """Saw angle of an end: ``square`` or ``45°``."""
    return f"{angle_text(angle)}°" if angle else "square"


def scale_text(angles: Iterable[Angle], saw: Saw) -> str:
    """What the saw's scale reads at the ends of a part: ``scale 60`` or ``scale 60 | 90``; blank where nothing differs.

    A square cut alone is not told: the name of it is the setting.
    """
    told = tuple(angles)
    if not any(told) or all(saw.reading(angle) == angle for angle in told):
        return ""
    return f"scale {' | '.join(dict.fromkeys(angle_text(saw.reading(angle)) for angle in told))}"


def held_text(held: Held, turn: bool) -> str:
    """Which side is clamped, and whether the bar is turned for it."""
    words = {Held.BAR: "bar side", Held.PART: "part side", Held.NOT_CUT: "no cut: ends flush"}[held]
    return f"{words}, TURN BAR" if turn else words


def left_over_text(drop: Drop, how: Printing) -> str:
    """``left over: keep 1240 mm, far end mill``: a mill end stays on until the offcut is used."""
    if drop.fate is Fate.NONE:
        return "left over: nothing"
    word = "keep" if drop.fate is Fate.KEEP else "scrap"
    text = f"left over: {word} {length_text(drop.length, how)}"
    if drop.fate is Fate.SCRAP:
        return text
    return f"{text}, far end {drop.far_end.value}"


def play_text(slack: Length, kerf: Length | None, how: Printing) -> str:
    """What a bar forgives: its slack, and the largest kerf with which it still works."""
    if kerf is None:
        words = "any kerf works"
    elif kerf > WIDEST_KERF:
        words = f"works beyond a kerf of {rounded_down(WIDEST_KERF, how.fine)}"
    else:
        words = f"works up to a kerf of {rounded_down(kerf, how.fine)}"
    return f"slack {rounded_down(slack, how.fine)}, {words}"


def shared_text(totals: Totals, how: Printing, currency: str) -> str:
    """What mitres save that share a cut; blank where none does."""
    if not totals.cuts_shared:
        return ""
    cuts = "1 cut parts two mitres" if totals.cuts_shared == 1 else f"{totals.cuts_shared} cuts part two mitres each"
    worth = f", {money_words(totals.nested_value, currency)} at the price of the bars" if totals.nested_value else ""
    strokes = "a stroke" if totals.cuts_shared == 1 else f"{totals.cuts_shared} strokes"
    return f"{cuts}: {stock_text(totals.nested_length, how)} of steel{worth} and {strokes} saved"


def strokes_text(totals: Totals) -> str:
    """How many strokes of the saw a plan takes, and how many of them merchants make."""
    noun = "stroke" if totals.cuts == 1 else "strokes"
    theirs = sum(order.cuts for order in totals.orders)
    made = ", all made by merchants" if theirs == totals.cuts else f", {theirs} of them made by merchants"
    return f"{totals.cuts} {noun} of the saw, squaring included{made if theirs else ''}"


def trim_text(bar: CutBar, offcut: Offcut | None, how: Printing) -> str:
    """What is done at START before the first part; a mitre there is its only stroke."""
    if bar.start_trim and bar.cuts[0].angle_a:
        return f"START is not squared: the long point of the first mitre lies {length_text(bar.start_trim, how)} in"
    if bar.start_trim:
        return f"square START first: {length_text(bar.start_trim, how)} off, the squaring cut included"
    if offcut is not None and EndState.SAWN in (offcut.end_a, offcut.end_b):
        return "START is the sawn end: nothing off"
    return "START is the mill end as it is: nothing off"


def start_words(bar: CutBar, offcut: Offcut | None, how: Printing) -> str:
    """What :func:`trim_text` says, in as few words as a heading has room for."""
    if bar.start_trim and bar.cuts[0].angle_a:
        return f"first long point {length_text(bar.start_trim, how, with_unit=False)} in"
    if bar.start_trim:
        return f"square START: {length_text(bar.start_trim, how, with_unit=False)} off"
    if offcut is not None and EndState.SAWN in (offcut.end_a, offcut.end_b):
        return "START is the sawn end"
    return "START is the mill end"


def kerf_words(kerf: Length | None, how: Printing) -> str:
    """The largest kerf with which a bar still works; beyond any of a small workshop's saws it is ``any``."""
    return "any" if kerf is None or kerf > WIDEST_KERF else rounded_down(kerf, how.fine)


def proof_lines(job: Job, plan: Plan) -> tuple[str, ...]:
    """How cheapest is known, never more than was shown; one line for the money, one for each group without prices."""
    lines = []
    if any(group.goal is Goal.MONEY for group in plan.groups):
        lines.append(f"Cheapest: {_money_proof(job, plan)}")
    names = group_names(job)
    for group in plan.groups:
        if group.goal is Goal.MASS:
            proof = _mass_proof(group, job.workshop.printing)
            lines.append(f"Least bought mass, as a price is missing, {names[group.title]}: {proof}")
    return (*lines, *_rack_used_up(plan))


def _rack_used_up(plan: Plan) -> list[str]:
    """The second goal, where pieces of the rack are cut: it is sought and never proven."""
    cut = [bar for bar in plan.bars if bar.kind is SourceKind.OFFCUT]
    gone = sum(bar.drop.fate is not Fate.KEEP for bar in cut)
    return [f"The rack shrinks at equal cost (sought, not proven): {gone} of {len(cut)} cut used up"] if cut else []


def _money_proof(job: Job, plan: Plan) -> str:
    if plan.status is Status.RECHECKED:
        return "proven, rechecked"
    if plan.status is Status.BY_SEARCH:
        return "proven by search"
    # Rounded up to a cent and a tenth of a percent: what is not excluded is never made to look smaller.
    cent = CURRENCY // 100
    if plan.possible_saving < cent:
        saving = f"less than {money_words(cent, job.workshop.currency)}"
    else:
        percent = percent_text(plan.possible_saving, plan.cost, up=True)
        saving = f"at most {money_words(ceil_div(plan.possible_saving, cent) * cent, job.workshop.currency)}"
        saving = f"{saving} ({percent} %)"
    limits = dict.fromkeys(case.stopped_by for case in plan.cases if case.bound < plan.cost and case.stopped_by)
    return f"not proven: {saving} could be saved{_stopped(plan.stopped_by or ', '.join(limits))}"


def _mass_proof(group: GroupPlan, how: Printing) -> str:
    proof = group.proof
    if proof.status is Status.RECHECKED:
        return "proven, rechecked"
    if proof.status is Status.BY_SEARCH:
        return "proven by search"
    saving = sum(bar.cost for bar in group.bars) - proof.bound
    tenth = MASS_UNITS[how.mass_unit] / 10
    saving = math.ceil(math.ceil(saving / tenth) * tenth)
    return f"not proven: at most {mass_text(saving, how)} could be saved{_stopped(proof.stopped_by)}"


def _stopped(by: str) -> str:
    return f"; stopped by {by}" if by else ""


def charge_lines(order: MerchantOrder, terms: Merchant) -> list[tuple[str, Money]]:
    """What a merchant charges on top of bars, as lines of an order; what is not charged has none."""
    priced = any(line.money is not None for line in order.lines)
    lines = [("to make up the minimum order", order.shortfall)] if order.shortfall else []
    return [(delivery_text(terms), order.delivery), *lines] if terms.delivery and priced else lines


def delivery_text(terms: Merchant) -> str:
    """Its delivery, as a line of an order."""
    free = terms.delivery and terms.free_delivery_from
    return f"delivery, free from {money_text(free)}" if free else "delivery"


def cuts_text(cuts: int) -> str:
    """Cuts that a merchant makes, as a line of an order."""
    return f"{cuts} {'cut' if cuts == 1 else 'cuts'} made to plan"


def spares_text(part: Part) -> str:
    """``1 bought, 2 free``: spares in the quantity, and those beyond it; blank when there are none."""
    counts = ((part.spares_bought, "bought"), (part.spares, "free"))
    return ", ".join(f"{count} {word}" for count, word in counts if count)


def spare_lines(job: Job, plan: Plan) -> tuple[str, ...]:
    """Which of the spares wanted came free, and which found no left over."""
    made = Counter(cut.mark for bar in plan.bars for cut in bar.cuts)
    return tuple(
        f"{part.mark}: {made[part.mark] - part.quantity} of {part.spares} spare "
        f"{'come' if part.spares > 1 else 'comes'} free from left overs"
        for part in job.parts
        if part.spares
    )


def forgone_lines(job: Job, plan: Plan) -> tuple[str, ...]:
    """What stock lengths that are too long to carry would save, where it is proven."""
    other, shop = plan.if_delivered, job.workshop
    if other is None:
        return ()
    offers = {offer.id: offer for offer in job.offers}
    names = group_names(job)
    used: dict[str, str] = {}
    for group in other.groups:
        bought = (offers[bar.source] for bar in group.bars if bar.kind is SourceKind.BOUGHT)
        long = [offer for offer in bought if not within_carry(offer, shop)]
        lengths = names_text(from_merchant(stock_text(offer.length, shop.printing), offer.merchant) for offer in long)
        if long:
            used[group.title] = f"{names[group.title]}: {lengths}"
    savings = []
    by_money = [used[group.title] for group in other.groups if group.goal is Goal.MONEY and group.title in used]
    if plan.money_forgone:
        savings.append(("; ".join(by_money), money_words(plan.money_forgone, shop.currency)))
    for title, mass in plan.mass_forgone.items():
        savings.append((used.get(title, names[title]), f"{mass_text(mass, shop.printing)} of steel"))
    return tuple(
        f"{bars} would save {saving} if delivered or cut by the merchant, whose charge for that is not counted; "
        f"longer than the longest carry of {stock_text(shop.longest_carry, shop.printing)}"
        for bars, saving in savings
    )


def cautions(job: Job, plan: Plan) -> tuple[str, ...]:
    """Cautions this plan triggers, then the general set."""
    return (*_triggered(job, plan), *GENERAL_CAUTIONS)


def _triggered(job: Job, plan: Plan) -> list[str]:
    shop = job.workshop
    how = shop.printing
    offers = {offer.id: offer for offer in job.offers}
    offcuts = {offcut.mark: offcut for offcut in job.offcuts}
    lines = []
    heavy = [(bar, mass) for bar in plan.bars if (mass := bar_mass(bar, offers, offcuts)) > shop.heavy]
    if heavy:
        bars = names_text([numbers_text([bar.number for bar, _ in heavy])])
        lines.append(
            f"Heavy: {_counted(heavy, 'bar')} {bars} above {mass_text(shop.heavy, how, 0)}, "
            f"the heaviest {mass_text(max(mass for _, mass in heavy), how)}. {lifting_text(how)}"
        )
    short = [part.mark for part in job.parts if part.grip < shop.saw.safe_hold]
    if short:
        lines.append(
            f"Shorter than the shortest safe hold of {length_text(shop.saw.safe_hold, how)}: "
            f"{_counted(short, 'part')} {names_text(short)}. "
            "Keep to the order of cuts shown, hold the side it names, never the short piece."
        )
    if any(is_zinc(part.finish) for part in job.parts):
        lines.append(ZINC)
    unknown = [bar for bar in plan.bars if bar.kind is SourceKind.OFFCUT and not offcuts[bar.source].grade]
    if unknown:
        marks = names_text(cut.mark for bar in unknown for cut in bar.cuts)
        lines.append(
            f"Grade unknown: {_counted(unknown, 'offcut')} {names_text(bar.source for bar in unknown)}, "
            f"to be cut into parts whose grade is not specified: {marks}. "
            "Whoever designs the thing decides whether that will do."
        )
    turned = [bar.number for bar in plan.bars if any(cut.turn for cut in bar.cuts)]
    if turned:
        lines.append(
            f"TURN BAR: on {_counted(turned, 'bar')} {numbers_text(turned)} the last cut is held on the "
            "part side: turn what is left of the bar end for end in the vice before it."
        )
    return lines


def lifting_text(how: Printing) -> str:
    """What there is to say of a heavy bar; no weight is called safe."""
    filters = [f"{mass // KG} kg" for mass in LIFTING_FILTERS]
    if how.mass_unit != "kg":
        filters = [f"{text} ({mass_text(mass, how, 0)})" for text, mass in zip(filters, LIFTING_FILTERS, strict=True)]
    return (
        f"The law sets no weight limit; {' and '.join(filters)} are filters for loads held close to the body at "
        "knuckle height, not safe limits (HSE, manual handling risk filters)."
    )


def _counted(members: Sequence[object], noun: str) -> str:
    """A noun for one or for more."""
    return noun if len(members) == 1 else f"{noun}s"


def is_zinc(finish: str) -> bool:
    """Is it coated with zinc?"""
    return any(word in finish.lower() for word in ("galv", "zinc"))


def bar_mass(bar: CutBar, offers: dict[str, StockLength], offcuts: dict[str, Offcut]) -> Mass:
    """What a whole bar weighs before it is cut: the nominal length of one bought. [mg]"""
    if bar.kind is SourceKind.BOUGHT:
        return offers[bar.source].mass
    offcut = offcuts[bar.source]
    return offcut.section.mass_of(offcut.length)
