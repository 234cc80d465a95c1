"""Of each group the lengths that a plan takes, how many of a limited number it leaves, and what left overs cost."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from cutplan.costing.costs import steel_costs
from cutplan.model import Job, Plan, SourceKind, groups_of
from cutplan.model.totals import totals_of
from cutplan.units import Length, Money, Printing, exact_money_text, mm_text, money_text, stock_text
from cutplan.words.naming import group_names


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthsTaken:
    """Whole lengths of one kind; ``unused`` is None where as many can be bought as are wanted. [nm]"""

    length: Length
    taken: int
    unused: int | None
    on_rack: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupLengths:
    """The whole lengths of one group, and what they add: what is paid for what is left of them, without tax.

    ``adds`` is 0 where nothing is bought, and None where a price is missing.
    """

    title: str
    lengths: tuple[LengthsTaken, ...]
    adds: Money | None


def lengths_of(job: Job, plan: Plan) -> tuple[GroupLengths, ...]:
    """The whole lengths of every group: those it takes, and those of a limited number that it leaves."""
    totals = totals_of(job, plan)
    adds = {cost.title: cost.whole_lengths_add for cost in steel_costs(job, plan, totals)}
    names = group_names(job)
    found = []
    for group, planned, section in zip(groups_of(job), plan.groups, totals.sections, strict=True):
        taken = Counter(bar.source for bar in planned.bars if bar.buys or bar.kind is SourceKind.OFFCUT)
        had: dict[tuple[bool, Length], tuple[int, int | None]] = {}
        for offer in group.offers:
            _count(had, (False, offer.length), taken[offer.id], offer.available)
        for piece in group.offcuts:
            if piece.is_full:
                _count(had, (True, piece.length), taken[piece.mark], piece.quantity)
        lengths = tuple(
            LengthsTaken(length=length, taken=number, unused=unused, on_rack=on_rack)
            for (on_rack, length), (number, unused) in sorted(had.items())
            if number or unused
        )
        known = section.money is not None or not section.bars_bought
        found.append(
            GroupLengths(title=names[group.title], lengths=lengths, adds=adds.get(group.title, 0) if known else None)
        )
    return tuple(found)


def _count(
    had: dict[tuple[bool, Length], tuple[int, int | None]], key: tuple[bool, Length], taken: int, most: int | None
) -> None:
    """Add what is taken and left of one source; of a length that one merchant has without limit none is left over."""
    before, left = had.get(key, (0, 0))
    had[key] = before + taken, None if most is None or left is None else left + most - taken


def lengths_text(group: GroupLengths, how: Printing) -> str:
    """``SHS 40x40x3, any grade, black: 3 x 6 m, 2 x 8 m and 3 unused; what is left of them adds 12.40``."""
    lengths = []
    for each in group.lengths:
        where = " from the rack" if each.on_rack else ""
        unused = f" and {each.unused} unused" if each.unused else ""
        lengths.append(f"{each.taken} x {stock_text(each.length, how)}{where}{unused}")
    text = f"{group.title}: {', '.join(lengths) or 'no whole lengths'}"
    if group.adds is None:
        return f"{text}; price missing"
    return f"{text}; what is left of them adds {money_text(group.adds)}" if group.adds else text


def lengths_values(group: GroupLengths) -> dict[str, Any]:
    """The same as values: lengths in mm, money as an exact decimal."""
    return {
        "group": group.title,
        "lengths": [
            {"length_mm": mm_text(each.length), "taken": each.taken, "unused": each.unused, "on_rack": each.on_rack}
            for each in group.lengths
        ],
        "whole_lengths_add": None if group.adds is None else exact_money_text(group.adds),
    }
