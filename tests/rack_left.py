"""What the best plan of a tiny group leaves of the rack, by trying every plan: written from the manual's words alone.

Of all plans of the least cost those that leave the fewest pieces lying of what lay there, a left over of one that is
kept counting as a piece; of these, those with the fewest bars.
"""

from __future__ import annotations

from cutplan.model import Group, GroupPlan, Job, SourceKind
from tests.brute_force import Rules, Stock, counts_up_to, lays_of, rules_of, set_up, stocks_of, value_of

Standing = tuple[int, int, int]
"""Cost, by how many pieces the rack grows, bars."""


def best(job: Job, group: Group) -> Standing:
    """The least cost of a group, the fewest pieces left with it, the fewest bars with both."""
    rules = rules_of(job, group)
    marks = {offcut.mark for offcut in group.offcuts}
    full = tuple(part.quantity for part in group.parts)
    states: dict[tuple[int, ...], Standing] = {full: (0, 0, 0)}
    for stock in stocks_of(job, group):
        ways = [
            (counts, min(_bars(group, counts, stock, rules, on_rack=stock.name in marks)))
            for counts in counts_up_to(full)
            if lays_of(group.parts, counts, stock, rules)
        ]
        layer = reached = states
        for _ in range(stock.most):
            grown: dict[tuple[int, ...], Standing] = {}
            for wanted, standing in layer.items():
                for counts, more in ways:
                    rest = tuple(d - c for d, c in zip(wanted, counts, strict=True))
                    if min(rest) >= 0:
                        total = _sum(standing, more)
                        grown[rest] = min(grown.get(rest, total), total)
            layer = grown
            reached = reached | {rest: min(each, reached.get(rest, each)) for rest, each in grown.items()}
        states = reached
    return states[tuple(0 for _ in full)]


def _bars(group: Group, counts: tuple[int, ...], stock: Stock, rules: Rules, *, on_rack: bool) -> list[Standing]:
    bare = stock.price + stock.per_bar + set_up(group.parts, counts, stock)
    return [
        (
            bare + lay.strokes * stock.per_cut - value_of(lay.left, stock, rules),
            (int(lay.left > 0 and lay.left >= rules.keep) - 1) * on_rack,
            1,
        )
        for lay in lays_of(group.parts, counts, stock, rules)
    ]


def _sum(one: Standing, other: Standing) -> Standing:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def of_plan(job: Job, group: Group, planned: GroupPlan) -> Standing:
    """The same of a plan, by what its bars say they leave."""
    rules = rules_of(job, group)
    racked = [bar for bar in planned.bars if bar.kind is SourceKind.OFFCUT]
    kept = sum(bar.drop.length > 0 and bar.drop.length >= rules.keep for bar in racked)
    return sum(bar.cost for bar in planned.bars), kept - len(racked), len(planned.bars)
