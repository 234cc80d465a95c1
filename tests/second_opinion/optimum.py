"""The least cost of a job: every pattern of every bar listed, and an integer program over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ortools.sat.python import cp_model

from tests.second_opinion.cutting import set_ups, short_point, ways
from tests.second_opinion.shop import METRE, Group, Part, Shop, Supply

TIME = 30.0
"""Limit of one integer program, in CP-SAT's own deterministic time."""


@dataclass(frozen=True)
class Choice:
    """One way to cut a bar: how many of each part, what it costs beside its price, and whether it keeps an offcut."""

    counts: tuple[int, ...]
    extra: int
    keeps: bool


@dataclass(frozen=True)
class Least:
    """Between which figures the optimum lies, nearly always one figure twice."""

    low: int
    high: int


def bar_extra(shop: Shop, supply: Supply, chosen: Sequence[Part], strokes: int) -> int:
    """Handling, cuts and set-ups of one bar, by the workshop or by the merchant that cuts it."""
    terms = shop.terms_of(supply.merchant)
    if supply.bought and terms.cuts:
        return terms.per_cut * strokes
    per_bar, per_cut, per_setup = shop.work
    return per_bar + per_cut * strokes + per_setup * set_ups(chosen)


def choices(shop: Shop, group: Group, supply: Supply) -> Iterator[Choice]:
    """The best way to cut every set of parts from this bar, with its left over as scrap and as an offcut of value."""
    start, far = shop.trims(supply)
    for counts in _counts(shop, group.parts, supply.length - start - far):
        if not any(counts):
            continue
        chosen = [(part, count) for part, count in zip(group.parts, counts, strict=True) if count]
        plain: int | None = None
        kept: int | None = None
        for laid in ways(shop, supply, chosen):
            extra = 0 if group.by_mass else bar_extra(shop, supply, [part for part, _ in chosen], laid.strokes)
            plain = extra if plain is None else min(plain, extra)
            worth = 0 if group.by_mass else shop.value(supply, laid.left)
            if worth and laid.left >= shop.keep_length(group.section):
                kept = extra - worth if kept is None else min(kept, extra - worth)
        if plain is not None:
            yield Choice(counts, plain, False)
        if kept is not None:
            yield Choice(counts, kept, True)


def _counts(shop: Shop, parts: Sequence[Part], room: int) -> Iterator[tuple[int, ...]]:
    """Every number of each part whose lengths alone fit a room; where mitres share cuts, from middle to middle."""
    if not parts:
        yield ()
        return
    first = parts[0]
    length = (first.length + short_point(first)) // 2 if shop.share else first.length
    for count in range(min(first.quantity, room // length) + 1):
        for rest in _counts(shop, parts[1:], room - count * length):
            yield (count, *rest)


def value_is_refused(shop: Shop) -> bool:
    """Would an offcut value have bars bought to lay them by?

    Where, of the bars on sale that a part could be cut from, one costs no more a
    metre than the value, or a longer and dearer one no more for what it adds.
    """
    for group in shop.groups():
        rate = shop.rate(group.section)
        if group.by_mass or not rate:
            continue
        for part in group.parts:
            bars = [
                supply
                for supply in group.supplies
                if supply.bought and supply.available != 0 and shop.can_be_had(supply)
                if any(True for _ in ways(replace(shop, hold=0), supply, [(part, 1)]))
            ]
            prices = [(bar.price or 0, bar.length) for bar in bars]
            if any(price * METRE <= rate * length for price, length in prices):
                return True
            if any(
                0 < price - other <= Fraction(rate * (length - shorter), METRE)
                for price, length in prices
                for other, shorter in prices
                if length > shorter
            ):
                return True
    return False


def least_money(shop: Shop) -> Least | None:
    """Of all groups with prices, every merchant's charges included; None when there is no plan."""
    return _solve(shop, [group for group in shop.groups() if not group.by_mass])


def least_length(shop: Shop, group: Group) -> Least | None:
    """The least nominal length bought for a group planned by mass. [nm]"""
    return _solve(shop, [group])


def _solve(shop: Shop, groups: Sequence[Group]) -> Least | None:
    model = cp_model.CpModel()
    cost: list[cp_model.LinearExprT] = []
    spend: dict[str, list[cp_model.LinearExprT]] = {}
    bars: dict[str, list[cp_model.LinearExprT]] = {}
    for group in groups:
        made: list[list[cp_model.LinearExprT]] = [[] for _ in group.parts]
        pieces = sum(part.quantity for part in group.parts)
        keeping: list[cp_model.LinearExprT] = []
        for supply in group.supplies:
            if not shop.can_be_had(supply) or supply.available == 0:
                continue
            price = (supply.nominal if supply.bought else 0) if group.by_mass else supply.price
            assert price is not None
            most = pieces if supply.available is None else min(pieces, supply.available)
            used: list[cp_model.LinearExprT] = []
            for choice in choices(shop, group, supply):
                limits = [part.quantity // n for part, n in zip(group.parts, choice.counts, strict=True) if n]
                number = model.new_int_var(0, min(most, *limits), "")
                used.append(number)
                cost.append((price + choice.extra) * number)
                for row, n in zip(made, choice.counts, strict=True):
                    if n:
                        row.append(n * number)
                if choice.keeps:
                    keeping.append(number)
            if supply.bought:
                spend.setdefault(supply.merchant, []).extend(price * number for number in used)
                bars.setdefault(supply.merchant, []).extend(used)
            if used:
                model.add(sum(used) <= most)
        for part, row in zip(group.parts, made, strict=True):
            if not row:
                return None
            model.add(sum(row) == part.quantity)
        if shop.keep_at_most is not None and keeping:
            model.add(sum(keeping) <= shop.keep_at_most)
    for merchant, numbers in bars.items():
        terms = shop.terms_of(merchant)
        if not numbers or not (terms.delivery or terms.minimum) or any(group.by_mass for group in groups):
            continue
        buys = model.new_bool_var("")
        model.add(sum(numbers) == 0).only_enforce_if(~buys)
        shortfall = model.new_int_var(0, terms.minimum, "")
        model.add(sum([shortfall, *spend[merchant]]) >= terms.minimum).only_enforce_if(buys)
        free = model.new_bool_var("") if terms.free_from else 0
        if terms.free_from:
            model.add_implication(free, buys)
            model.add(sum(spend[merchant]) >= terms.free_from).only_enforce_if(free)
        cost += [terms.delivery * (buys - free), shortfall]
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = TIME
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
    found = round(solver.objective_value)
    return Least(found if status == cp_model.OPTIMAL else int(solver.best_objective_bound), found)
