"""Correct plans for tests, made by first fit: sound in every figure, rarely the cheapest.

The proof is one leaf for all counts, its duals in proportion to the parts'
lengths unless a test gives better ones, its bound worked out by listing sets.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

from cutplan.checking.proof import review_proof
from cutplan.model import (
    Clamp,
    Cut,
    CutBar,
    Drop,
    EndState,
    Fate,
    Goal,
    Group,
    GroupPlan,
    Held,
    Job,
    Leaf,
    MerchantCase,
    Part,
    Plan,
    Proof,
    SourceKind,
    Status,
    groups_of,
)
from cutplan.units import kerf_along
from tests.brute_force import Rules, Stock, bar_cost, lays_of, leaf_bound, rules_of, stocks_of, value_of, weight

DENOMINATOR = 1000


class DoesNotFit(Exception):
    """First fit found no bar for a piece; another order might."""


@dataclass
class _Open:
    stock: Stock
    counts: list[int]
    pieces: list[tuple[int, int]] = field(default_factory=list)


Duals = Callable[[Group], Sequence[int]]


def first_fit_plan(job: Job, *, step: int = 1, duals: Duals | None = None) -> Plan:
    """Plan a job by first fit, longest part first, offcuts before offers in list order.

    Raises
    ------
    DoesNotFit
        When a piece finds no bar that could be cut safely with it in.
    """
    groups, number, planned = groups_of(job), 1, []
    for group in groups:
        bars = [_cut(job, group, opened, number + place) for place, opened in enumerate(_filled(job, group))]
        number += len(bars)
        goal = Goal.MONEY if group.priced else Goal.MASS
        bars = scrap_beyond(bars, job.workshop.most_kept)
        proof = _proof(job, group, step, duals, sum(bar.cost for bar in bars))
        planned.append(GroupPlan(title=group.title, goal=goal, bars=tuple(bars), proof=proof))
    money = [(group, plan) for group, plan in zip(groups, planned, strict=True) if plan.goal is Goal.MONEY]
    spend: dict[str, int] = {}
    for group, plan in money:
        prices = {offer.id: (offer.merchant, offer.bar_price or 0) for offer in group.offers}
        for bar in plan.bars:
            if bar.kind is SourceKind.BOUGHT:
                merchant, price = prices[bar.source]
                spend[merchant] = spend.get(merchant, 0) + price
    terms = {name: job.workshop.merchant(name) for name in spend}
    cost = sum(bar.cost for _, plan in money for bar in plan.bars)
    cost += sum(t.delivery + max(0, t.minimum_order - spend[name]) for name, t in terms.items())
    cases = _cases(job, tuple(plan.proof for _, plan in money), groups)
    bound = min(case.bound for case in cases)
    return Plan(
        job_name=job.name,
        groups=tuple(planned),
        cases=cases,
        status=Status.RECHECKED if bound == cost else Status.NOT_PROVEN,
        bound=bound,
        cost=cost,
    )


def scrap_beyond(bars: list[CutBar], most_kept: int | None) -> list[CutBar]:
    """Keep only so many left overs, the most valuable ones."""
    kept = sorted((bar for bar in bars if bar.drop.fate is Fate.KEEP), key=lambda bar: -bar.drop.value)
    gone = {bar.number for bar in kept[most_kept:]} if most_kept is not None else set()
    return [
        replace(bar, drop=replace(bar.drop, fate=Fate.SCRAP, value=0), cost=bar.cost + bar.drop.value)
        if bar.number in gone
        else bar
        for bar in bars
    ]


def _apart(job: Job, group: Group) -> Rules:
    """Parts lie as they are listed here, and share no cut."""
    return replace(rules_of(job, group), share=False)


def _filled(job: Job, group: Group) -> list[_Open]:
    rules = _apart(job, group)
    stocks = stocks_of(job, group)
    stocks.sort(key=lambda stock: bool(stock.merchant))
    used: dict[str, int] = {}
    bars: list[_Open] = []
    order = sorted(range(len(group.parts)), key=lambda i: -group.parts[i].length)
    for i in order:
        for copy in range(1, group.parts[i].quantity + 1):
            new = [_Open(stock, [0] * len(group.parts)) for stock in stocks if used.get(stock.name, 0) < stock.most]
            for bar in [*bars, *new]:
                bar.counts[i] += 1
                if bar_cost(group.parts, bar.counts, bar.stock, rules) is not None:
                    break
                bar.counts[i] -= 1
            else:
                raise DoesNotFit(group.parts[i].mark)
            bar.pieces.append((i, copy))
            if bar not in bars:
                bars.append(bar)
                used[bar.stock.name] = used.get(bar.stock.name, 0) + 1
    return bars


def _cut(job: Job, group: Group, opened: _Open, number: int) -> CutBar:
    rules, stock = _apart(job, group), opened.stock
    longest_first = sorted(zip(group.parts, opened.counts, strict=True), key=lambda one: -one[0].length)
    lays = lays_of([part for part, _ in longest_first], [count for _, count in longest_first], stock, rules)
    lay = min(lays, key=lambda lay: (lay.strokes * stock.per_cut - value_of(lay.left, stock, rules), lay.end))
    waiting: dict[str, list[int]] = {}
    for i, copy in opened.pieces:
        waiting.setdefault(group.parts[i].mark, []).append(copy)
    cuts, at = [], stock.start_trim
    for place, part in enumerate(lay.order):
        after = lay.order[place + 1] if place + 1 < len(lay.order) else None
        cuts.append(_one_cut(job, part, waiting[part.mark].pop(0), at, stock, rules, after))
        at = cuts[-1].end + cuts[-1].kerf
    far = EndState.MILL if stock.merchant else _far_end(group, stock)
    fate = Fate.NONE if not lay.left else Fate.KEEP if lay.left >= rules.keep else Fate.SCRAP
    value = value_of(lay.left, stock, rules)
    return CutBar(
        number=number,
        kind=SourceKind.BOUGHT if stock.merchant else SourceKind.OFFCUT,
        source=stock.name,
        length=stock.length,
        start_trim=stock.start_trim,
        far_trim=stock.far_trim,
        cuts=tuple(cuts),
        drop=Drop(start=stock.length - lay.left, end=stock.length, far_end=far, fate=fate, value=value),
        cost=bar_cost(group.parts, opened.counts, stock, rules) or 0,
        slack=stock.length - stock.far_trim - lay.end,
    )


def _one_cut(job: Job, part: Part, copy: int, at: int, stock: Stock, rules: Rules, after: Part | None) -> Cut:
    end = at + part.length
    kerf = kerf_along(rules.kerf, max(part.end_b.angle, after.end_a.angle if after else 0))
    held, turn = Held.BAR, False
    if after is None:
        kerf = min(kerf, stock.length - end)
        if end == stock.length and not part.end_b.angle:
            held = Held.NOT_CUT
        elif stock.length - end - kerf < rules.hold:
            held, turn = Held.PART, job.workshop.saw.clamp is Clamp.BAR_SIDE
    return Cut(
        mark=part.mark,
        copy=copy,
        start=at,
        end=end,
        angle_a=part.end_a.angle,
        angle_b=part.end_b.angle,
        kerf=kerf,
        held=held,
        turn=turn,
    )


def _far_end(group: Group, stock: Stock) -> EndState:
    piece = next(offcut for offcut in group.offcuts if offcut.mark == stock.name)
    return EndState.MILL if EndState.MILL in (piece.end_a, piece.end_b) else EndState.SAWN


def _proof(job: Job, group: Group, step: int, duals: Duals | None, cost: int) -> Proof:
    stocks, kerf = stocks_of(job, group), job.workshop.saw.kerf
    if duals is not None:
        worth = tuple(duals(group))
    else:
        # The dearest price per length that no source undercuts, whole parts aside.
        rate = min(((s.price + s.per_bar) * DENOMINATOR / (s.length + kerf) for s in stocks), default=0)
        worth = tuple(int(rate * weight(part, kerf)) for part in group.parts)
    most = {offer.id: offer.available for offer in group.offers}
    ranges = tuple(
        (0, 1 if not s.merchant else group.pieces if most[s.name] is None else most[s.name] or 0) for s in stocks
    )
    leaf = Leaf(ranges=ranges, duals=worth)
    names = tuple(stock.name for stock in stocks)
    if any(part.mitred for part in group.parts):
        # Listing sets says what is true, which may be more than adding up can show.
        proof = Proof(
            sources=names, status=Status.NOT_PROVEN, denominator=DENOMINATOR, step=step, leaves=(leaf,), bound=0
        )
        bound = review_proof(job, group, proof).bound or 0
    else:
        bound = leaf_bound(job, group, names, leaf, denominator=DENOMINATOR, step=step)
    status = Status.RECHECKED if bound == cost else Status.NOT_PROVEN
    return Proof(
        sources=names, status=status, denominator=DENOMINATOR, step=step, leaves=(leaf,), bound=bound, rounds=1
    )


def _cases(job: Job, proofs: tuple[Proof, ...], groups: Sequence[Group]) -> tuple[MerchantCase, ...]:
    """One case for every set of charging merchants; the proofs allow all of them."""
    sold = {stock.merchant for group in groups if group.priced for stock in stocks_of(job, group)} - {""}
    charging = sorted(name for name in sold if job.workshop.charges(name))
    valued = any(job.workshop.offcut_value(group.section.family) for group in groups if group.priced)
    cases = []
    for size in range(len(charging) + 1):
        for names in combinations(charging, size):
            terms = [job.workshop.merchant(name) for name in names]
            charges = sum(term.delivery for term in terms)
            bound = sum(proof.bound for proof in proofs)
            if not valued:
                bound = max(bound, sum(term.minimum_order for term in terms))
            bound += charges
            cases.append(MerchantCase(merchants=names, proofs=proofs, charges=charges, bound=bound))
    return tuple(cases)
