"""What a bar may be cut from, as the checker derives it from the job: trims, ends, price, number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from cutplan.model import (
    NO_WORK,
    EndState,
    Goal,
    Group,
    Job,
    Multiplier,
    Offcut,
    Saw,
    SourceKind,
    StockLength,
    Work,
    within_carry,
)
from cutplan.units import MM, Length, Money, exact_money_text, mm_text


class InPieces(NamedTuple):
    """A length in so many pieces, and by how much more it costs than in as few as can be. [nm; cost unit]

    ``room`` is what the rows on all pieces may come to; ``one_whole`` the same where one is left whole, which is not
    trimmed, 0 where none is; ``as_one`` what all in one row may, with the widest kerf between those of two pieces.
    """

    number: int
    room: Length
    one_whole: Length
    as_one: Length
    more: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """An offer or an offcut, ready to be cut from.

    ``price`` is what one bar costs by itself, handling included, ``rate`` what a
    millimetre of a left over to keep is worth, and ``per_cut``
    and ``per_setup`` what work on it adds, in cost units: millionths of the
    currency, or milligrams in a group planned by mass. ``most`` is how many bars of it there can be, None
    when there is no limit. ``merchant`` is blank for an offcut. Lengths in nm.
    Where a length is cut for the carry and a bound sees its ``pieces`` as one bar, it has ``more_room`` than one bar,
    ``more_left`` at most, and ``steps`` are further amounts that its cost may differ by. No row of parts on a piece is
    longer than ``piece_room``; each of the ``ways`` is a number of pieces, the last stands for all beyond it.
    """

    kind: SourceKind
    name: str
    merchant: str
    grade: str
    length: Length
    start_trim: Length
    far_trim: Length
    far_end: EndState
    price: int
    rate: int
    per_cut: int
    per_setup: int
    most: int | None
    carried: bool
    pieces: int = 1
    more_room: Length = 0
    more_left: Length = 0
    steps: tuple[int, ...] = ()
    piece_room: Length = 0
    ways: tuple[InPieces, ...] = ()


def mill_end_trim(saw: Saw) -> Length:
    """What a mill end loses before use. [nm]"""
    return 0 if saw.mill_ends_accepted else squaring_trim(saw)


def squaring_trim(saw: Saw) -> Length:
    """What squaring an end takes, its cut included. [nm]"""
    if saw.end_trim == 0:
        return 0
    return saw.end_trim + (0 if saw.end_trim_includes_cut else saw.kerf)


def at_saw_of(job: Job, group: Group) -> Job:
    """The job as it is for the saw that the parts of a group name."""
    names = {part.saw for part in group.parts}
    saws = [saw for saw in job.workshop.saws if saw.name in names]
    return replace(job, workshop=replace(job.workshop, saw=saws[0])) if len(names) == len(saws) == 1 else job


def offer_source(job: Job, offer: StockLength, goal: Goal, multipliers: Sequence[Multiplier] = ()) -> Source:
    """A stock length: both ends are mill ends. Its price in money counts by its merchant's multiplier, rounded down."""
    trim = mill_end_trim(job.workshop.saw)
    work = work_on(job, offer.merchant, goal)
    return Source(
        kind=SourceKind.BOUGHT,
        name=offer.id,
        merchant=offer.merchant,
        grade=offer.grade,
        length=offer.counted,
        start_trim=trim,
        far_trim=trim,
        far_end=EndState.MILL,
        price=offer.mass if goal is Goal.MASS else counted_price(offer, multipliers) + work.per_bar,
        rate=value_rate(job, offer, goal),
        per_cut=work.per_cut,
        per_setup=work.per_setup,
        most=offer.available,
        carried=within_carry(offer, job.workshop),
    )


def offcut_source(job: Job, offcut: Offcut, goal: Goal) -> Source:
    """An offcut: START is a sawn end when one is sawn, so that its trim is cut only where it must be."""
    trim = mill_end_trim(job.workshop.saw)
    work = work_on(job, "", goal)
    ends = (offcut.end_a, offcut.end_b)
    far_end = EndState.MILL if EndState.MILL in ends else EndState.SAWN
    return Source(
        kind=SourceKind.OFFCUT,
        name=offcut.mark,
        merchant="",
        grade=offcut.grade,
        length=offcut.length,
        start_trim=offcut.tip if EndState.SAWN in ends else trim,
        far_trim=trim if far_end is EndState.MILL else 0,
        far_end=far_end,
        price=0 if goal is Goal.MASS else offcut.book_value + work.per_bar,
        rate=value_rate(job, offcut, goal),
        per_cut=work.per_cut,
        per_setup=work.per_setup,
        most=offcut.quantity,
        carried=True,
    )


def counted_price(offer: StockLength, multipliers: Sequence[Multiplier]) -> Money:
    """The price of a bar as a case of merchants counts it."""
    price = offer.bar_price or 0
    for at in multipliers:
        if at.merchant == offer.merchant:
            # Rounded down: with a lower price a bound is lower, never higher.
            return price * at.numerator // at.denominator
    return price


def work_on(job: Job, merchant: str, goal: Goal) -> Work:
    """What work on a bar counts for; nothing where the goal is mass."""
    return NO_WORK if goal is Goal.MASS else job.workshop.work_on(merchant)


def goal_of(group: Group) -> Goal:
    """Money where every offer has a price, else bought mass."""
    return Goal.MONEY if group.priced else Goal.MASS


def keep_length(job: Job, group: Group) -> Length:
    """Shortest left over of the group that is kept. [nm]"""
    return job.workshop.keep_length(group.section.family)


def value_rate(job: Job, bar: StockLength | Offcut, goal: Goal) -> int:
    """What a millimetre of a left over to keep is worth, in whole cost units; 0 in a group planned by mass.

    It is the workshop's value, or price or book value of the bar over its length, rounded down, where that is less.
    """
    if goal is Goal.MASS:
        return 0
    paid, length = (bar.book_value, bar.length) if isinstance(bar, Offcut) else (bar.bar_price or 0, bar.counted)
    return min(job.workshop.offcut_value(bar.section.family), paid * MM // length)


def cost_text(cost: int, goal: Goal, currency: str) -> str:
    """A cost as a sentence quotes it. Both units are millionths, of the currency and of a kilogram."""
    return f"{exact_money_text(cost)} {currency if goal is Goal.MONEY else 'kg'}"


def at_mm(length: Length) -> str:
    """A length as a sentence quotes it, exactly."""
    return f"{mm_text(length)} mm"
