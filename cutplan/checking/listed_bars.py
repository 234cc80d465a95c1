"""Bars that a plan for less than some cost can be made of, listed one by one; all others cost too much for that.

By the duals of a listing every bar of a source costs at least a margin more than its parts are worth, and all bars
together bound every plan. What one bar costs beyond its margin any plan with it costs beyond that bound. So a plan
for less than ``below`` has only sets that cost less than what lies between; beside a list of these, other duals may
show what no duals show over all sets. Where nearly all bars whose left over is kept are of use, a listing leaves them
out: they then have the margin of all that such bars may hold.

References
----------
Reduced-cost fixing: G. Nemhauser, L. Wolsey, Integer and Combinatorial Optimization, Wiley 1988, section II.5.2, cited
from memory.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cutplan.checking.dynamic_program import SAFE, Load, Worths, let_in
from cutplan.checking.margins import MOST_STEPS, margins_of, served_by, whole_parts
from cutplan.checking.problem import Problem
from cutplan.checking.shares import Share, least_sum
from cutplan.model import Leaf, Listing, Split
from cutplan.units import MM, ceil_div

MOST_LISTED = 400_000
"""Sets begun side by side beyond which a list is given up: a hundred bytes each, and as many again."""

Counts = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Listed:
    """Bars of one source, a row each: how many of the parts laid alike, at what cost, with a left over that is kept?

    Kept is what has a value. Costs in 1/denominator of a cost unit.
    """

    alike: tuple[Hashable, ...]
    counts: Counts
    costs: Worths
    kept: npt.NDArray[np.bool_]


def listed(
    problem: Problem, listing: Listing, ranges: Sequence[tuple[int, int]], splits: Sequence[Split]
) -> tuple[Listed, ...] | None:
    """Of every source the bars that may be in a plan for less than ``listing.below``; None where there is no such plan.

    Those whose left over is kept are left out where the listing says so; ``splits`` then say how many of these there
    are.

    Raises
    ------
    OverflowError
        Where parts are mitred or lengths cut for the carry, and where there are too many or numbers are too large.
    """
    if problem.mitred or problem.nesting or any(source.pieces > 1 for source in problem.sources):
        raise OverflowError("sets are listed of whole lengths and square parts alone")
    numbers = _numbers_of_kept(splits)
    shares = [Share(position, kept=False if position in numbers else None) for position in range(len(problem.sources))]
    shares += [Share(position, kept=True) for position in numbers]
    margins = margins_of(problem, listing.duals, listing.keep_dual, shares)
    total = sum(dual * part.quantity for dual, part in zip(listing.duals, problem.parts, strict=True))
    bars = least_sum(ranges, _by_kept(numbers), margins)
    above = problem.denominator * listing.below - total + listing.keep_dual * problem.most_kept - (bars or 0)
    if bars is None or above <= 0:
        return None
    return tuple(
        _of_source(problem, position, listing, (margin or 0) + above)
        for position, margin in enumerate(margins[: len(problem.sources)])
    )


def bound_listed(problem: Problem, lists: Sequence[Listed], leaf: Leaf, *, kept: bool) -> int | None:
    """What the duals of a leaf bound plans by that are made of listed bars, and of others whose left over is kept.

    None where there are no such plans. Each bar costs its margin at least, beyond the worth of its parts and, if it is
    listed, of its place in the shares that it is in. How many are in a share the leaf says, so that at least so much of
    that worth is there in all. With ``kept`` bars whose left over is kept are listed too.
    """
    total = sum(dual * part.quantity for dual, part in zip(leaf.duals, problem.parts, strict=True))
    total -= leaf.keep_dual * problem.most_kept
    _check_sizes(problem, leaf.duals, leaf.keep_dual, leaf.split_duals)
    beyond = [
        rows.costs + leaf.keep_dual * rows.kept - rows.counts @ _worths(problem, rows.alike, leaf.duals)
        for rows in lists
    ]
    shares = [(position, np.ones(len(rows.costs), dtype=bool)) for position, rows in enumerate(lists)]
    numbers = {} if kept else _numbers_of_kept(leaf.splits)
    for split, dual in zip(leaf.splits, leaf.split_duals, strict=True):
        position, within = shares[split.share]
        shares.append((position, within & _taken(problem, lists[position], split)))
        if kept or not split.kept:
            beyond[position] -= dual * shares[-1][1]
            total += dual * (split.low if dual > 0 else split.high)
    margins = [int(each.min()) if len(each) else None for each in beyond]
    bars = least_sum(leaf.ranges, (), margins) if kept else _with_others(problem, leaf, margins, numbers)
    if bars is None:
        return None
    # Every part is cut once, so that a price for that is the same in every plan. What else a plan of these costs is a
    # multiple of what the costs of all of them have in common, so that from a bound up to the next multiple there is
    # none.
    cut = problem.denominator * min(source.per_cut for source in problem.sources)
    common = [
        math.gcd(
            int(np.gcd.reduce(rows.costs - cut * rows.counts.sum(axis=1))),
            0 if kept else _common_of_kept(problem, position, cut),
        )
        for position, (rows, (_, most)) in enumerate(zip(lists, leaf.ranges, strict=True))
        if most
    ]
    step = math.gcd(*common) or 1
    cuts = cut * sum(part.quantity for part in problem.parts)
    return ceil_div(ceil_div(total + bars - cuts, step) * step + cuts, problem.denominator)


def _with_others(
    problem: Problem,
    leaf: Leaf,
    listed: Sequence[int | None],
    numbers: Mapping[int, tuple[int, int]],
) -> int | None:
    """What bars come to at margins of those ``listed``, and of those whose left over is kept, so many of a source."""
    alone = [Share(position, kept=True) for position in range(len(listed))]
    # A left over that is worth nothing is as well not kept.
    kept = [
        margin if source.rate else None
        for margin, source in zip(margins_of(problem, leaf.duals, leaf.keep_dual, alone), problem.sources, strict=True)
    ]
    margins = list(listed)
    for position, (one, other) in enumerate(zip(listed, kept, strict=True)):
        if position not in numbers and other is not None:
            margins[position] = other if one is None else min(one, other)
    return least_sum(leaf.ranges, _by_kept(numbers), [*margins, *(kept[position] for position in numbers)])


def _numbers_of_kept(splits: Sequence[Split]) -> dict[int, tuple[int, int]]:
    """Least and most bars of some sources whose left over is kept, by all splits that say so."""
    numbers: dict[int, tuple[int, int]] = {}
    for split in splits:
        if split.kept:
            low, high = numbers.get(split.share, split.bars)
            numbers[split.share] = max(low, split.low), min(high, split.high)
    return numbers


def _by_kept(numbers: Mapping[int, tuple[int, int]]) -> list[Split]:
    """One split of each source that takes so many bars from it."""
    return [
        Split(share=position, part=0, copies=0, low=low, high=high, kept=True)
        for position, (low, high) in numbers.items()
    ]


def _taken(problem: Problem, rows: Listed, split: Split) -> npt.NDArray[np.bool_]:
    """Which listed bars are those that a split is about?"""
    if split.kept:
        return rows.kept
    alike = problem.parts[split.part].laid_alike
    if alike not in rows.alike:
        return np.zeros(len(rows.costs), dtype=bool)
    return np.asarray(rows.counts[:, rows.alike.index(alike)] >= split.copies)


def _common_of_kept(problem: Problem, position: int, cut: int) -> int:
    """What all bars of a source whose left over is kept have in common in what they cost; 0 where there are none.

    So much for the ``cut`` of each part left aside. In 1/denominator of a cost unit.
    """
    source = problem.sources[position]
    if not source.rate:
        return 0
    steps = max(problem.reckoning.room(source) // problem.step, 0)
    left = problem.reckoning.open_length(source) - np.arange(steps + 1, dtype=np.int64) * problem.step
    left = left[left >= max(problem.keep, 1)]
    costs = problem.price(position) - (left // MM * source.rate + left % MM * source.rate // MM)
    # Set-ups may be shared out.
    common = math.gcd(int(np.gcd.reduce(costs)), 1 if source.per_setup else 0)
    return math.gcd(problem.denominator * common, problem.denominator * source.per_cut - cut)


def _worths(problem: Problem, alike: Sequence[Hashable], duals: Sequence[int]) -> Worths:
    worths = [
        max(dual for dual, part in zip(duals, problem.parts, strict=True) if part.laid_alike == one) for one in alike
    ]
    return np.array(worths, dtype=np.int64)


def _check_sizes(problem: Problem, duals: Sequence[int], keep_dual: int, split_duals: Sequence[int] = ()) -> None:
    """Refuse what could overflow 64-bit sums."""
    pieces = sum(part.quantity for part in problem.parts)
    dearest = max(
        source.price + source.length * source.rate // MM + (pieces + 1) * (source.per_cut + source.per_setup)
        for source in problem.sources
    )
    worth = pieces * max(duals, default=0) + keep_dual + sum(map(abs, split_duals))
    if problem.denominator * dearest + worth >= SAFE:
        raise OverflowError("the duals or costs are too large for 64-bit sums")


def _of_source(problem: Problem, position: int, listing: Listing, most: int) -> Listed:
    """Every bar of a source that costs less than ``most`` beyond the worth of its parts. [1/denominator]"""
    _check_sizes(problem, listing.duals, listing.keep_dual)
    source = problem.sources[position]
    alike: dict[Hashable, list[int]] = {}
    for place in served_by(problem, source):
        alike.setdefault(problem.parts[place].laid_alike, []).append(place)
    steps = problem.reckoning.room(source) // problem.step
    if steps > MOST_STEPS:
        raise OverflowError(f"{steps} working steps are too many")
    worths = _worths(problem, tuple(alike), listing.duals)
    loads = [
        Load(
            weight=problem.reckoning.weights[places[0]] // problem.step,
            worth=int(worth) - problem.denominator * source.per_cut * problem.reckoning.strokes[places[0]],
            quantity=sum(problem.parts[place].quantity for place in places),
            holds=problem.hold > 0 and problem.parts[places[0]].grip >= problem.hold,
            entry=problem.set_up(source.per_setup, places[0]),
        )
        for places, worth in zip(alike.values(), worths, strict=True)
    ]
    price = problem.denominator * problem.price(position)
    spared = problem.denominator * source.per_cut if position in problem.flush and problem.told_by_fill else 0
    fills = np.arange(max(steps, 0) + 1, dtype=np.int64)
    left = problem.reckoning.open_length(source) - fills * problem.step
    value = np.where(left >= max(problem.keep, 1), left // MM * source.rate + left % MM * source.rate // MM, 0)
    if not listing.kept:
        value[:] = 0
    can_keep = value > 0
    value = problem.denominator * value
    gain = np.maximum(value - listing.keep_dual, 0)
    counts = _grown(loads if steps >= 0 else [], gain[::-1], price - spared - most, len(loads))
    weights = np.array([load.weight for load in loads], dtype=np.int64)
    fill = counts @ weights
    # What is left, over-estimated, has to be held, or a part has.
    flush = (spared > 0) & (fill == steps) & (problem.reckoning.room(source) % problem.step == 0)
    holds = (counts[:, [load.holds for load in loads]] > 0).any(axis=1)
    safe = holds | (problem.hold == 0) | (left[fill] >= problem.hold) | ~counts.any(axis=1)
    counts, fill, flush = counts[safe], fill[safe], flush[safe]
    own = np.array([int(worth) - load.worth for load, worth in zip(loads, worths, strict=True)], dtype=np.int64)
    entries = np.array([load.entry for load in loads], dtype=np.int64)
    costs = price + counts @ own + (counts > 0) @ entries - np.where(flush, spared, 0)
    worth = counts @ worths
    kept = can_keep[fill] & ~flush & (costs - value[fill] + listing.keep_dual - worth < most)
    scrapped = costs - worth < most
    whole = whole_parts(problem, source, served_by(problem, source))
    uncut = np.zeros((len(whole), len(loads)), dtype=np.int64)
    for row, place in enumerate(whole):
        uncut[row, list(alike).index(problem.parts[place].laid_alike)] = 1
    bare = problem.denominator * source.price + uncut @ entries
    pays = bare - uncut @ worths < most
    return Listed(
        alike=tuple(alike),
        counts=np.concatenate((counts[kept], counts[scrapped], uncut[pays])),
        costs=np.concatenate(((costs - value[fill])[kept], costs[scrapped], bare[pays])),
        kept=np.concatenate((np.ones(kept.sum(), dtype=bool), np.zeros(scrapped.sum() + pays.sum(), dtype=bool))),
    )


def _grown(loads: Sequence[Load], gain: Worths, needed: int, width: int) -> Counts:
    """Every set that with what stays free is worth more than ``needed``; ``gain`` is that by the steps still free."""
    rest = [gain]
    for load in reversed(loads):
        own = rest[-1] - load.entry
        let_in(own, load)
        rest.append(np.maximum(rest[-1], own))
    rest.reverse()
    free, worth = np.array([len(gain) - 1]), np.zeros(1, dtype=np.int64)
    counts = np.zeros((1, width), dtype=np.int64)
    for number, load in enumerate(loads):
        grown = []
        for copies in range(load.quantity + 1):
            fits = free >= copies * load.weight
            if copies and not fits.any():
                break
            room, own = free[fits] - copies * load.weight, worth[fits] + copies * load.worth - load.entry * (copies > 0)
            good = own + rest[number + 1][room] > needed
            more = counts[fits][good]
            more[:, number] = copies
            grown.append((room[good], own[good], more))
        free, worth, counts = (np.concatenate(arrays) for arrays in zip(*grown, strict=True))
        if len(free) > MOST_LISTED:
            raise OverflowError(f"more than {MOST_LISTED} sets are to be listed")
    found: Counts = counts[worth + gain[free] > needed]
    return found
