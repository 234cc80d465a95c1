"""The least cost of a tiny job by trying everything, and a leaf's bound by listing every set.

Written from the rules alone, with no thought for speed: it shares no code with
the solver or the checker, so that agreement means something. Lengths in nm,
money in millionths of the currency, mass in mg.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from cutplan.model import EndState, Group, Job, Leaf, Lean, Merchant, Offcut, Part, groups_of, serves, within_carry
from cutplan.sections.section import Family
from cutplan.units import kerf_along, mitre_run, mitre_saving
from tests.turned_solids import PICTURES, Corners, lying_in_every_way


@dataclass(frozen=True)
class Stock:
    """A source as the brute force sees it."""

    name: str
    merchant: str
    grade: str
    length: int
    start_trim: int
    far_trim: int
    price: int
    rate: int
    most: int
    per_bar: int = 0
    per_cut: int = 0
    per_setup: int = 0
    slant: Offcut | None = None


@dataclass(frozen=True)
class Rules:
    """What the workshop and the family say about one group."""

    kerf: int
    hold: int
    keep: int
    rate: int
    most_kept: int | None = None
    share: bool = False


def rules_of(job: Job, group: Group) -> Rules:
    """The rules of a group."""
    family = group.section.family
    rate = job.workshop.offcut_value(family) if group.priced else 0
    saw = job.workshop.saw
    keep = job.workshop.keep_length(family)
    return Rules(saw.kerf, saw.safe_hold, keep, rate, job.workshop.most_kept, saw.share_mitres)


def stocks_of(job: Job, group: Group) -> list[Stock]:
    """Every source that may be used, offers then offcuts."""
    saw = job.workshop.saw
    trim = saw.end_trim if saw.end_trim_includes_cut else saw.end_trim + saw.kerf
    if saw.mill_ends_accepted or not saw.end_trim:
        trim = 0
    pieces = sum(part.quantity for part in group.parts)
    own = job.workshop.work
    in_house = (own.per_bar, own.per_cut, own.per_setup) if group.priced else (0, 0, 0)
    usual = job.workshop.offcut_value(group.section.family) if group.priced else 0
    found = []
    for offer in group.offers:
        if within_carry(offer, job.workshop):
            most = pieces if offer.available is None else min(pieces, offer.available)
            price = offer.bar_price if group.priced else offer.mass
            assert price is not None
            terms = job.workshop.merchant(offer.merchant)
            work = (0, terms.cut_charge, 0) if terms.cuts_to_plan and group.priced else in_house
            rate = no_more_than_paid(usual, price, offer.counted)
            bar = (offer.id, offer.merchant, offer.grade, offer.counted, trim, trim, price, rate, most)
            found.append(Stock(*bar, *work))
    for piece in group.offcuts:
        least, most_trim = sorted(trim if end is EndState.MILL else 0 for end in (piece.end_a, piece.end_b))
        # A slanted end is sawn off to where the whole section begins.
        least += mitre_run(piece.depth, piece.angle_a)
        price = piece.book_value if group.priced else 0
        rate = no_more_than_paid(usual, price, piece.length)
        most = min(pieces, piece.quantity)
        bar = (piece.mark, "", piece.grade, piece.length, least, most_trim, price, rate, most)
        found.append(Stock(*bar, *in_house, slant=piece if piece.angle_a else None))
    return found


def weight(part: Part, kerf: int) -> int:
    """A square part with its kerf."""
    return part.length + kerf_along(kerf, max(part.end_a.angle, part.end_b.angle))


def value_of(left: int, stock: Stock, rules: Rules) -> int:
    """Value of a left over."""
    return left * stock.rate // 1_000_000 if left > 0 and left >= rules.keep else 0


def no_more_than_paid(rate: int, paid: int, length: int) -> int:
    """The offcut value of a bar per mm: that of the workshop, or what a whole mm of the bar cost where that is less."""
    return rate if paid * 1_000_000 >= rate * length else paid * 1_000_000 // length


def counts_up_to(most: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every vector of counts from nothing to ``most``."""
    if not most:
        yield ()
        return
    for rest in counts_up_to(most[1:]):
        for count in range(most[0] + 1):
            yield (count, *rest)


@dataclass(frozen=True)
class Lay:
    """Parts laid in a bar in some order: where the last ends, what is left, and the lines that the saw cuts."""

    order: tuple[Part, ...]
    end: int
    left: int
    strokes: int


ALIKE = {
    *(Family.SHS, Family.RHS, Family.CHS, Family.PIPE, Family.FLAT, Family.SQUARE, Family.ROUND),
    *(Family.HEXAGON, Family.BEAM),
}
"""Sections that look the same after half a turn about any axis."""


class Slant(NamedTuple):
    """A face in the plane of its mitre: which way it leans on the bar; 0 where nothing can share its cut.

    Of a handed section it leans as the cut that makes it lies at each corner.
    """

    angle: int
    depth: int
    way: int | tuple[tuple[tuple[int, int], int], ...]


class Lain(NamedTuple):
    """A part as it lies, drawn in the plane of its mitres, with its faces towards START and away from it."""

    part: Part
    near: Slant
    far: Slant


def lain_in_every_way(part: Part, rules: Rules) -> list[Lain]:
    """As it is listed, and where it may share cuts, mirrored end for end, edge for edge, and both."""
    a, b = part.end_a.angle, part.end_b.angle
    # What fits a bar with end B towards START alone lies as it is listed, and shares nothing.
    always_turned = part.section.family is Family.UA and part.opposite_hand
    if rules.share and part.share_mitres and part.mitred and part.section.family in PICTURES and not always_turned:
        return _turned_about(part)
    if not (rules.share and part.share_mitres and part.mitred and part.section.family in ALIKE):
        return [Lain(part, Slant(a, 0, 0), Slant(b, 0, 0))]
    # Of a frame part the faces lean towards one another, of a brace both the same way.
    ways = (1 if a else 0), (0 if not b else 1 if part.lean is Lean.PARALLEL and a else -1)
    found = set()
    for near, far in ((ways[0], ways[1]), (-ways[0], -ways[1])):
        found.add(Lain(part, Slant(a, part.depth, near), Slant(b, part.depth, far)))
        found.add(Lain(part, Slant(b, part.depth, -far), Slant(a, part.depth, -near)))
    return sorted(found, key=lambda lain: lain[1:])


def _turned_about(part: Part) -> list[Lain]:
    """As solids, wherever the section covers that of the bar."""
    found = []
    for turned, _, solid in lying_in_every_way(part):
        angles = [end.angle for end in (part.end_a, part.end_b)]
        near, far = angles[::-1] if turned else angles
        found.append(
            Lain(
                part,
                Slant(near, part.depth, _cut_line({corner: -back for corner, back in solid.near.items()})),
                Slant(far, part.depth, _cut_line(solid.far)),
            )
        )
    return sorted(set(found), key=lambda lain: lain[1:])


def _cut_line(back: Corners) -> int | tuple[tuple[tuple[int, int], int], ...]:
    """How far a cut lies behind where it comes first, at each corner; 0 where it is square."""
    first = min(back.values())
    return tuple(sorted((corner, at - first) for corner, at in back.items())) if any(back.values()) else 0


def orders_of(parts: Sequence[Part], counts: Sequence[int], rules: Rules) -> Iterator[tuple[Lain, ...]]:
    """Every order of so many parts, each in every way it may lie; those that differ in length alone come as given."""
    lying = [lain_in_every_way(part, rules) for part in parts]
    looks = [
        (tuple(way[1:] for way in ways), p.grip >= rules.hold, p.cut_to_fit)
        for p, ways in zip(parts, lying, strict=True)
    ]

    def grown(left: tuple[int, ...], laid: tuple[Lain, ...]) -> Iterator[tuple[Lain, ...]]:
        if not any(left):
            yield laid
        tried = set()
        for i, n in enumerate(left):
            if n and looks[i] not in tried:
                tried.add(looks[i])
                for way in lying[i]:
                    yield from grown((*left[:i], n - 1, *left[i + 1 :]), (*laid, way))

    yield from grown(tuple(counts), ())


def one_cut(before: Slant, after: Slant) -> bool:
    """Is it one line that parts them?"""
    return before == after and before.way != 0


def may_begin(first: Lain, piece: Offcut | None) -> bool:
    """Is the slanted end of a piece, which is rolled where its section allows, the face of a part towards START?"""
    if piece is None or (first.near.angle, first.near.depth) != (piece.angle_a, piece.depth) or not first.near.way:
        return False
    if isinstance(first.near.way, int):
        return True  # rolled half over it slants the other way, and a quarter more in the other plane of a square one
    # How far back its face lies where a corner is to the side of its long point, across from that, or between.
    x, y = ((0, 1), (1, 0), (0, -1), (-1, 0))[piece.side]
    run = mitre_run(piece.depth, piece.angle_a)
    corners = [corner for corner, _ in first.near.way]
    return first.near.way == _cut_line({(a, b): run * (a * x + b * y - 1) // 2 for a, b in corners})


def laid_out(order: Sequence[Lain], stock: Stock, rules: Rules, *, on_slant: bool = False) -> Lay:
    """Draw every end as a line across the bar, and count lines; on a slanted end the first is there already."""
    lines = set()
    at = 0 if on_slant else stock.start_trim
    if at and not order[0].near.angle:
        lines.add(("trim", at))
    for n, lain in enumerate(order):
        before = order[n - 1].far if n else Slant(0, 0, 0)
        if n and one_cut(before, lain.near):
            # Towards the tip of one the other draws back by as much as it leans.
            at += kerf_along(rules.kerf, before.angle) - mitre_saving(before.depth, before.angle)
        elif n:
            at += max(kerf_along(rules.kerf, before.angle), kerf_along(rules.kerf, lain.near.angle))
            if not before.angle or not lain.near.angle:
                lines.add(("square", n))
        if lain.near.angle and not one_cut(before, lain.near) and (n or not on_slant):
            lines.add(("mitre near", n))
        at += lain.part.length
        if lain.far.angle:
            lines.add(("mitre far", n))
    last = order[-1].far.angle
    if at != stock.length and not last:
        lines.add(("square", len(order)))
    left = max(0, stock.length - at - kerf_along(rules.kerf, last))
    return Lay(tuple(lain.part for lain in order), at, left, len(lines))


def may_lie(lay: Lay, stock: Stock, rules: Rules) -> bool:
    """Does it fit, can the last cut be held, and do parts that are cut to fit come last?"""
    if lay.end > stock.length - stock.far_trim:
        return False
    last, short = lay.order[-1], lay.left < rules.hold
    if short and lay.strokes and last.grip < rules.hold:
        return False
    to_fit = [part for part in lay.order if part.cut_to_fit]
    waiting = list(lay.order)
    if short and last.grip >= rules.hold and all(part.grip < rules.hold for part in to_fit):
        waiting.pop()
    seen = [part.cut_to_fit for part in waiting]
    return seen == sorted(seen)


def lays_of(parts: Sequence[Part], counts: Sequence[int], stock: Stock, rules: Rules) -> list[Lay]:
    """Every way to lay so many parts in one bar that there is."""
    chosen = [part for part, count in zip(parts, counts, strict=True) if count]
    if not chosen or not all(serves(stock.grade, part.grades) for part in chosen):
        return []
    return [
        lay
        for order in orders_of(parts, counts, rules)
        for on_slant in (False, True)[: 1 + may_begin(order[0], stock.slant)]
        for lay in [laid_out(order, stock, rules, on_slant=on_slant)]
        if may_lie(lay, stock, rules)
    ]


def set_up(parts: Sequence[Part], counts: Sequence[int], stock: Stock) -> int:
    """A set-up for each different part."""
    return stock.per_setup * len({part.cut_alike for part, count in zip(parts, counts, strict=True) if count})


def costs_of(parts: Sequence[Part], counts: Sequence[int], stock: Stock, rules: Rules) -> list[tuple[int, int]]:
    """What each way to lay these parts costs with the left over kept, and what it is worth."""
    bare = stock.price + stock.per_bar + set_up(parts, counts, stock)
    values = [
        (bare + lay.strokes * stock.per_cut, value_of(lay.left, stock, rules))
        for lay in lays_of(parts, counts, stock, rules)
    ]
    return [(cost - value, value) for cost, value in values]


def bar_cost(parts: Sequence[Part], counts: Sequence[int], stock: Stock, rules: Rules) -> int | None:
    """Least cost of one bar of ``stock`` holding these parts, its left over kept; None when it cannot be cut."""
    return min((cost for cost, _ in costs_of(parts, counts, stock, rules)), default=None)


def never_cut(parts: Sequence[Part], counts: Sequence[int], stock: Stock) -> bool:
    """One square part that is the whole bar."""
    only = [part for part, count in zip(parts, counts, strict=True) for _ in range(count)]
    if len(only) != 1 or stock.start_trim or stock.far_trim:
        return False
    return only[0].length == stock.length and not only[0].mitred


Spend = tuple[int, ...]
"""Spend at each charging merchant, capped where more of it changes no charge; -1 where nothing is bought."""


def least_cost(job: Job) -> int | None:
    """Least money of all priced groups with every merchant's charges; None when no plan exists."""
    names = sorted({o.merchant for o in job.offers if job.workshop.charges(o.merchant)})
    terms = [job.workshop.merchant(name) for name in names]
    best: dict[Spend, int] = {(-1,) * len(names): 0}
    for group in groups_of(job):
        if group.priced:
            best = _after_group(
                job, group, names, [max(term.minimum_order, term.free_delivery_from) for term in terms], best
            )
    totals = [
        cost + sum(_charged(term, amount) for term, amount in zip(terms, spend, strict=True) if amount >= 0)
        for spend, cost in best.items()
    ]
    return min(totals, default=None)


def _charged(terms: Merchant, spend: int) -> int:
    free = terms.free_delivery_from and spend >= terms.free_delivery_from
    return (0 if free else terms.delivery) + max(0, terms.minimum_order - spend)


def least_group_cost(job: Job, group: Group) -> int | None:
    """Least cost of one group by itself, in money or in mass, merchants' charges left aside."""
    return min(_after_group(job, group, [], [], {(): 0}).values(), default=None)


def _after_group(
    job: Job, group: Group, names: Sequence[str], minimum: Sequence[int], best: dict[Spend, int]
) -> dict[Spend, int]:
    """Cheapest way to every spend once the group is cut, starting from the cheapest ways before it."""
    rules = rules_of(job, group)
    full = tuple(part.quantity for part in group.parts)
    limited = rules.most_kept is not None and rules.rate > 0
    states = {(full, spend, rules.most_kept or 0): cost for spend, cost in best.items()}
    for stock in stocks_of(job, group):
        options = []
        for counts in counts_up_to(full):
            costs = costs_of(group.parts, counts, stock, rules)
            if costs:
                cost, value = min(costs)
                options.append((counts, cost, int(limited and value > 0)))
                if limited:
                    options.append((counts, min(kept + worth for kept, worth in costs), 0))
        layer = reached = states
        for _ in range(stock.most):
            grown: dict[tuple[tuple[int, ...], Spend, int], int] = {}
            for (demand, spend, may_keep), cost in layer.items():
                for counts, more, kept in options:
                    rest = tuple(d - c for d, c in zip(demand, counts, strict=True))
                    if min(rest) >= 0 and kept <= may_keep:
                        key = (rest, _paid(spend, stock, names, minimum), may_keep - kept)
                        grown[key] = min(grown.get(key, cost + more), cost + more)
            if not grown:
                break
            layer = grown
            reached = reached | {key: min(cost, reached.get(key, cost)) for key, cost in grown.items()}
        states = reached
    found: dict[Spend, int] = {}
    for (demand, spend, _), cost in states.items():
        if not any(demand):
            found[spend] = min(cost, found.get(spend, cost))
    return found


def _paid(spend: Spend, stock: Stock, names: Sequence[str], minimum: Sequence[int]) -> Spend:
    return tuple(
        min(max(already, 0) + stock.price, least) if stock.merchant == name else already
        for already, name, least in zip(spend, names, minimum, strict=True)
    )


def leaf_bound(
    job: Job, group: Group, sources: Sequence[str], leaf: Leaf, *, denominator: int, step: int, rounded: bool = True
) -> int:
    """What one leaf of a proof bounds, every set of parts listed one by one."""
    rules = rules_of(job, group)
    by_name = {stock.name: stock for stock in stocks_of(job, group)}
    stocks = [by_name[name] for name in sources]
    total = Fraction(sum(y * part.quantity for y, part in zip(leaf.duals, group.parts, strict=True)))
    total -= leaf.keep_dual * (rules.most_kept or 0)
    margins = {
        share: _margin(group.parts, stocks[share.source], rules, leaf, denominator, step, share)
        for share in _shares(group.parts, len(stocks), leaf)
    }
    if leaf.splits:
        bars = [
            sum((margins[share] or 0) * count for share, count in counted.items())
            for counted in _counted(leaf, list(margins), group.pieces)
            if not any(count and margins[share] is None for share, count in counted.items())
        ]
        # No numbers of bars at all bound as high as one likes.
        total += min(bars, default=10**30)
    else:
        for least, (low, high) in zip(margins.values(), leaf.ranges, strict=True):
            assert least is not None, "an empty bar can be of any source"
            total += least * (high if least < 0 else low)
    bound = math.ceil(total / denominator)
    # A plan makes as many cuts as there are square pieces, at the cheapest cut or a dearer one, and squares its bars.
    loose = any(part.mitred for part in group.parts) or any(may_end_flush(group.parts, s, rules) for s in stocks)
    valued = any(stock.rate for stock in stocks)
    cut = 0 if loose or valued or not rounded else min((stock.per_cut for stock in stocks), default=0)
    base = cut * group.pieces
    money = [
        m for s in stocks for m in (s.price + s.per_bar + s.per_cut * (s.start_trim > 0), s.per_cut - cut, s.per_setup)
    ]
    unit = math.gcd(*money) if rounded and not valued else 1
    return base + math.ceil(Fraction(bound - base, unit or 1)) * (unit or 1)


def may_end_flush(parts: Sequence[Part], stock: Stock, rules: Rules) -> bool:
    """Do some square parts fill a bar to its very end, so that a cut is spared that costs something?"""
    if not stock.per_cut or stock.far_trim:
        return False
    room = stock.length - stock.start_trim + rules.kerf
    served = [part.quantity if serves(stock.grade, part.grades) else 0 for part in parts]
    return any(
        sum(weight(part, rules.kerf) * n for part, n in zip(parts, counts, strict=True)) == room
        for counts in counts_up_to(served)
    )


@dataclass(frozen=True)
class _Share:
    """Bars of a source by the answers to the splits they came to: (number of the split, was it enough of its part).

    Where the split is by what is kept, the answer is whether the left over is.
    """

    source: int
    answers: tuple[tuple[int, bool], ...] = ()

    def has(self, parts: Sequence[Part], counts: Sequence[int], leaf: Leaf) -> bool:
        """Does a bar with these parts give these answers, those about its left over aside?"""
        return all(
            (_alike(parts, counts, leaf.splits[k].part) >= leaf.splits[k].copies) is yes
            for k, yes in self.answers
            if not leaf.splits[k].kept
        )

    def kept(self, leaf: Leaf) -> bool | None:
        """Is the left over of such a bar kept and counted by its value, or not? None is either."""
        return next((yes for k, yes in self.answers if leaf.splits[k].kept), None)


def _alike(parts: Sequence[Part], counts: Sequence[int], place: int) -> int:
    return sum(n for part, n in zip(parts, counts, strict=True) if part.laid_alike == parts[place].laid_alike)


def _shares(parts: Sequence[Part], sources: int, leaf: Leaf) -> list[_Share]:
    shares = [_Share(source) for source in range(sources)]
    for k, split in enumerate(leaf.splits):
        whole = shares[split.share]
        shares[split.share] = _Share(whole.source, (*whole.answers, (k, False)))
        shares.append(_Share(whole.source, (*whole.answers, (k, True))))
    return shares


def _counted(leaf: Leaf, shares: Sequence[_Share], pieces: int) -> Iterator[dict[_Share, int]]:
    """Every number of bars of every share that the ranges and the splits of a leaf allow."""
    for numbers in counts_up_to([pieces] * len(shares)):
        counted = dict(zip(shares, numbers, strict=True))
        of_source = [sum(n for share, n in counted.items() if share.source == s) for s in range(len(leaf.ranges))]
        of_split = [
            sum(n for share, n in counted.items() if (k, True) in share.answers) for k in range(len(leaf.splits))
        ]
        fits = all(low <= n <= high for n, (low, high) in zip(of_source, leaf.ranges, strict=True))
        if fits and all(split.low <= n <= split.high for n, split in zip(of_split, leaf.splits, strict=True)):
            yield counted


def _margin(
    parts: Sequence[Part], stock: Stock, rules: Rules, leaf: Leaf, denominator: int, step: int, share: _Share
) -> int | None:
    """None where no bar can be in a share."""

    told_kept = share.kept(leaf)

    def kept_value(value: int) -> int:
        return max(0, denominator * value - leaf.keep_dual) if told_kept is not False else 0

    def kept(left: int) -> int | None:
        """None where a left over is too short to be kept, and is to be."""
        return None if told_kept and not 0 < left >= rules.keep else kept_value(value_of(left, stock, rules))

    # Where a set-up costs something or the bars are a share, the checker counts parts that are cut alike by the highest
    # dual among them.
    alike = [
        [y for y, other in zip(leaf.duals, parts, strict=True) if other.laid_alike == part.laid_alike] for part in parts
    ]
    by_parts = any(not leaf.splits[k].kept for k, _ in share.answers)
    duals = [max(same) for same in alike] if stock.per_setup or by_parts else list(leaf.duals)
    open_length = stock.length - stock.start_trim
    found: list[int] = []
    # Counted in steps that a part does not fill, every set may seem to end flush: that of no parts too.
    told = any(part.mitred for part in parts) or all(weight(part, rules.kerf) % step == 0 for part in parts)
    squared = stock.per_cut * ((stock.start_trim > 0) - (not told and may_end_flush(parts, stock, rules)))
    untouched = kept(open_length)
    if share.has(parts, [0] * len(parts), leaf) and untouched is not None:
        found.append(denominator * (stock.price + stock.per_bar + squared) - untouched)
    for counts in counts_up_to([part.quantity for part in parts]):
        if not any(counts) or not share.has(parts, counts, leaf):
            continue
        worth = sum(y * count for y, count in zip(duals, counts, strict=True))
        if any(part.mitred for part in parts):
            # As it is: no bound may say more.
            costs = costs_of(parts, counts, stock, rules)
            found += [
                denominator * (cost + value) - kept_value(value) - worth
                for cost, value in costs
                if value or not told_kept
            ]
        else:
            found += _square_margins(parts, counts, stock, rules, denominator, step, kept, worth)
    return min(found, default=None)


def _square_margins(
    parts: Sequence[Part],
    counts: Sequence[int],
    stock: Stock,
    rules: Rules,
    denominator: int,
    step: int,
    kept: Callable[[int], int | None],
    worth: int,
) -> Iterator[int]:
    """What a set of square parts can come to, counted in steps."""
    chosen = [part for part, count in zip(parts, counts, strict=True) if count]
    if not all(serves(stock.grade, part.grades) for part in chosen):
        return
    bare = stock.price + stock.per_bar + set_up(parts, counts, stock)
    if never_cut(parts, counts, stock) and kept(0) is not None:
        yield denominator * bare - worth
    room = stock.length - stock.start_trim - stock.far_trim + rules.kerf
    fill = sum(weight(part, rules.kerf) // step * count for part, count in zip(parts, counts, strict=True))
    left = stock.length - stock.start_trim - fill * step
    # Counted in steps that a part does not fill, any set may seem to leave something, or to end flush.
    if fill > room // step or not (
        not rules.hold or left >= rules.hold or any(part.grip >= rules.hold for part in chosen)
    ):
        return
    told = all(weight(part, rules.kerf) % step == 0 for part in parts)
    flush = may_end_flush(parts, stock, rules) and (fill * step == room or not told)
    cuts = sum(counts) + (stock.start_trim > 0) - flush
    value = kept(left)
    if value is not None:
        yield denominator * (bare + cuts * stock.per_cut) - worth - value
