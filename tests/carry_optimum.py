"""The least that tiny jobs with a carry cost, by trying every way to share parts out among bars and pieces.

Written from the rules as the manual has them, in millimetres as fractions; it shares nothing with solver or checker.
Mitred parts are laid in every order, each either way about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import combinations, pairwise, permutations, product
from typing import NamedTuple

Number = Fraction | int


@dataclass(frozen=True)
class Yard:
    """A merchant's terms and the carry; ``lengths`` are (length, price). [mm]"""

    lengths: tuple[tuple[Number, Number], ...]
    carry: Number
    charge: Number = 0
    kerf: Number = 0
    tolerance: Number = 0
    squared: bool = True


@dataclass(frozen=True)
class Bench:
    """What the workshop's saw takes. [mm]

    ``slanted`` is what its blade takes along the bar at 45 degrees, 0 where nothing is mitred, and ``saved`` what lies
    beyond the short point of a mitre that shares its cut, 0 where none does.
    """

    kerf: Number = 0
    trim: Number = 0
    hold: Number = 0
    slanted: Number = 0
    saved: Number = 0


class Mitred(NamedTuple):
    """A part by its long point, and which of its ends are at 45 degrees. [mm]"""

    length: Number
    a: bool
    b: bool


@cache
def row_of(parts: tuple[Mitred, ...], bench: Bench) -> Number:
    """What mitred parts of a section alike from all sides take from the first long point to the last, laid best. [mm]

    Any two mitres of one angle can be brought together, for which a part may be rolled.
    """

    def gap(one: bool, other: bool) -> Number:
        return bench.slanted - bench.saved if one and other else bench.slanted if one or other else bench.kerf

    turned = ([(part.a, part.b), (part.b, part.a)] for part in parts)
    least = min(
        sum(gap(one[1], other[0]) for one, other in pairwise(row))
        for lying in product(*turned)
        for row in permutations(lying)
    )
    return sum(part.length for part in parts) + least


def partitions(parts: Sequence[int]) -> Iterator[list[list[int]]]:
    """Every way to share some out among heaps."""
    if not parts:
        yield []
        return
    first, *rest = parts
    for heaps in partitions(rest):
        yield [[first], *heaps]
        for place in range(len(heaps)):
            yield [*heaps[:place], [first, *heaps[place]], *heaps[place + 1 :]]


def needed(parts: Sequence[Number | Mitred], start: Number, far: Number, bench: Bench) -> Number:
    """The shortest bar that some parts are cut from, both ends trimmed and every cut held.

    Mitred parts are all long enough to be held.
    """
    mitred = tuple(part for part in parts if isinstance(part, Mitred))
    if mitred:
        return start + row_of(tuple(sorted(mitred)), bench) + far
    square = [part for part in parts if not isinstance(part, Mitred)]
    ends = start + sum(square) + (len(parts) - 1) * bench.kerf
    if any(part >= bench.hold for part in square):
        return ends + far
    return max(ends + far, ends + bench.kerf + bench.hold)


def bar_price(
    parts: Sequence[Number | Mitred], length: Number, price: Number, yard: Yard, bench: Bench
) -> Number | None:
    """What a bar costs from which just these parts are cut; None where they cannot be."""
    if length <= yard.carry:
        return price if needed(parts, bench.trim, bench.trim, bench) <= length else None
    new = bench.trim if yard.squared else 0
    width = max(yard.kerf, bench.kerf, bench.slanted)
    found = []
    for heaps in partitions(range(len(parts))):
        pieces = len(heaps)
        # As many more pieces as the carry wants are left whole.
        while pieces * yard.carry + (pieces - 1) * width < length:
            pieces += 1
        if pieces == 1:
            continue
        for on_mill_ends in range(min(2, len(heaps)) + 1):
            if len(heaps) - on_mill_ends > pieces - 2:
                continue  # so many do not lie between two cuts
            for outer in combinations(range(len(heaps)), on_mill_ends):
                ends = [sorted((bench.trim, new)) if k in outer else [new, new] for k in range(len(heaps))]
                lengths = [
                    needed([parts[i] for i in heap], start, far, bench) + yard.tolerance
                    for heap, (start, far) in zip(heaps, ends, strict=True)
                ]
                rest = length - (pieces - 1) * width - sum(lengths)
                left_whole = pieces - len(heaps)
                if max(lengths) <= yard.carry and rest >= left_whole * (1 + yard.tolerance):
                    found.append(price + (pieces - 1) * yard.charge)
    return min(found, default=None)


@dataclass(frozen=True)
class Shop:
    """A merchant with its order: how many cuts of it are free, and how it may come."""

    yard: Yard
    free: int = 0
    delivers: bool = False
    delivery: Number = 0
    minimum: Number = 0
    free_from: Number = 0

    def bill(self, spend: Number, cuts: int, *, fetched: bool) -> Number:
        """What an order comes to, of lengths at so much with so many cuts; what is delivered has none."""
        if not spend:
            return 0
        brought = 0 if fetched or (self.free_from and spend >= self.free_from) else self.delivery
        return max(spend, self.minimum) + brought + max(0, cuts - self.free) * self.yard.charge


def least_ordered(parts: Sequence[int], shops: Sequence[Shop], bench: Bench) -> Number | None:
    """The least that all parts cost from some merchants, each order fetched or delivered as a whole."""
    everything = (1 << len(parts)) - 1
    costs = []
    bars: dict[tuple[int, int, bool], list[tuple[Number, int]]] = {}
    for n, shop in enumerate(shops):
        for fetched in (False, True):
            # Each cut counts one, and what is delivered is carried by somebody else.
            terms = replace(shop.yard, charge=1, carry=shop.yard.carry if fetched else 10**9)
            for chosen in range(1, everything + 1):
                own = [part for i, part in enumerate(parts) if chosen >> i & 1]
                known = [(price, bar_price(own, length, price, terms, bench)) for length, price in terms.lengths]
                bars[chosen, n, fetched] = [(p, int(paid - p)) for p, paid in known if paid is not None]
    for ways in product(*((True, False) if shop.delivers else (True,) for shop in shops)):
        # Of every set of parts, all that may have been spent and cut at each merchant.
        orders: list[set[tuple[tuple[Number, int], ...]]] = [{((0, 0),) * len(shops)}]
        for wanted in range(1, everything + 1):
            found = set()
            for chosen in range(1, wanted + 1):
                if chosen & wanted & -wanted and chosen & wanted == chosen:
                    for n, fetched in enumerate(ways):
                        for price, cuts in bars[chosen, n, fetched]:
                            for before in orders[wanted ^ chosen]:
                                spend, made = before[n]
                                found.add((*before[:n], (spend + price, made + cuts), *before[n + 1 :]))
            orders.append(found)
        costs += [
            sum(shop.bill(*of, fetched=way) for shop, of, way in zip(shops, order, ways, strict=True))
            for order in orders[everything]
        ]
    return min(costs, default=None)


def on_rack(parts: Sequence[int], rack: Sequence[tuple[int, Number]], bench: Bench) -> dict[int, Number]:
    """What every set of parts costs that is cut from pieces of the rack, (length, book value) each, both ends sawn."""
    costs: dict[int, Number] = {0: 0}
    for length, book in rack:
        for used, cost in list(costs.items()):
            for chosen in range(1, 1 << len(parts)):
                own = [part for i, part in enumerate(parts) if chosen >> i & 1]
                if chosen & used or (needed(own, 0, 0, bench) > length and own != [length]):
                    continue
                costs[used | chosen] = min(cost + book, costs.get(used | chosen, cost + book))
    return costs


def least_beside_rack(
    parts: Sequence[int], shops: Sequence[Shop], rack: Sequence[tuple[int, Number]], bench: Bench
) -> Number | None:
    """The least that all parts cost, some of them cut from pieces of the rack."""
    costs = []
    for used, cost in on_rack(parts, rack, bench).items():
        rest = [part for i, part in enumerate(parts) if not used >> i & 1]
        bought = least_ordered(rest, shops, bench) if rest else 0
        if bought is not None:
            costs.append(cost + bought)
    return min(costs, default=None)


def least(parts: Sequence[Number | Mitred], yard: Yard, bench: Bench) -> Number | None:
    """The least that all parts cost."""
    everything = range(1, 1 << len(parts))
    of_set: dict[int, Number] = {}
    for chosen in everything:
        own = [part for i, part in enumerate(parts) if chosen >> i & 1]
        prices = [bar_price(own, length, price, yard, bench) for length, price in yard.lengths]
        known = [price for price in prices if price is not None]
        if known:
            of_set[chosen] = min(known)
    best: dict[int, Number] = {0: 0}
    for wanted in everything:
        low = wanted & -wanted
        options = [
            of_set[chosen] + best[wanted ^ chosen]
            for chosen in of_set
            if chosen & low and chosen & wanted == chosen and wanted ^ chosen in best
        ]
        if options:
            best[wanted] = min(options)
    return best.get((1 << len(parts)) - 1)
