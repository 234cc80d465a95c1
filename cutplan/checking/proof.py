"""Does a proof hold: do its leaves cover every case, and what do their duals really bound?

For a bar of source s filled to j steps, D*c_s(j) less the worth of its parts is
never below m_s. A plan that uses n_s bars of each source, and every part once,
therefore costs at least (sum of duals*quantity + sum of m_s*n_s) / D; the least
over the counts that a leaf allows is the leaf's bound. Where at most K left overs
may be kept, c_s(j) charges a kept one the leaf's keep dual z, and K*z comes off
the sum again. This is weak duality of linear programming, worked in whole numbers.

References
----------
V. Chvatal, Linear Programming, W. H. Freeman 1983, chapters 5 and 13 (duality;
cutting stock), cited from memory.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from cutplan.checking.knapsack import SAFE, Load, Worths, best_worths
from cutplan.checking.sources import (
    Source,
    at_mm,
    goal_of,
    keep_length,
    sources_of,
    taken_by,
    value_rate,
)
from cutplan.model import Goal, Group, Job, Leaf, Part, Proof, SourceKind, serves
from cutplan.units import MM, Length, ceil_div

MOST_STEPS = 4_000_000
"""Longest array of fills that is worked through: five such arrays, as many as are held at once, take 160 MB."""

Range = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofReview:
    """What a proof came to: ``bound`` from its leaves, None when they could not be worked through."""

    failures: tuple[str, ...]
    bound: int | None
    leaves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Problem:
    """A group as a bound sees it; lengths in nm, costs in cost units."""

    parts: tuple[Part, ...]
    sources: tuple[Source, ...]
    kerf: Length
    hold: Length
    keep: Length
    rate: int
    most_kept: int
    step: Length
    denominator: int


def review_proof(job: Job, group: Group, proof: Proof) -> ProofReview:
    """Work through a proof of one group.

    Parameters
    ----------
    job, group
        What is asked for; the group's goal follows from its prices.
    proof
        Any proof of that group, with any of its offers.

    Returns
    -------
    ProofReview
        Failures in sentences without the group's name, and the bound that the leaves give.
    """
    goal = goal_of(group)
    sources, failures = _sources_named(job, group, goal, proof)
    if proof.denominator < 1 or proof.step < 1:
        failures.append("the proof's denominator and working step are at least 1")
    if failures:
        return ProofReview(failures=tuple(failures), bound=None, leaves=0)
    problem = _Problem(
        parts=group.parts,
        sources=sources,
        kerf=job.workshop.saw.kerf,
        hold=job.workshop.saw.safe_hold,
        keep=keep_length(job, group),
        rate=value_rate(job, group, goal),
        most_kept=job.workshop.most_kept or 0,
        step=proof.step,
        denominator=proof.denominator,
    )
    failures = _form_failures(problem, group, proof, limited=job.workshop.most_kept is not None)
    if not failures:
        failures = _cover_failures(problem, group, proof)
    if failures:
        return ProofReview(failures=tuple(failures), bound=None, leaves=0)
    base, multiple = _costs_possible(problem)
    bound: int | None = None
    known: dict[tuple[tuple[int, ...], int], list[int]] = {}
    for number, leaf in enumerate(proof.leaves, start=1):
        try:
            key = leaf.duals, leaf.keep_dual
            if key not in known:
                known[key] = _margins(problem, *key)
            least = _leaf_bound(problem, leaf, known[key])
        except OverflowError as refused:
            return ProofReview(failures=(f"leaf {number} cannot be rechecked: {refused}",), bound=None, leaves=0)
        least = base + ceil_div(least - base, multiple) * multiple
        bound = least if bound is None else min(bound, least)
    return ProofReview(failures=(), bound=bound, leaves=len(proof.leaves))


def _sources_named(job: Job, group: Group, goal: Goal, proof: Proof) -> tuple[tuple[Source, ...], list[str]]:
    """The sources a proof speaks of: some offers, then all offcuts."""
    known = sources_of(job, group, goal)
    split = max(0, len(proof.sources) - len(group.offcuts))
    failures = []
    if sorted(proof.sources[split:]) != sorted(offcut.mark for offcut in group.offcuts):
        failures.append("the proof's sources do not end with all offcuts of the group")
    offers = proof.sources[:split]
    for name in offers:
        if (SourceKind.BOUGHT, name) not in known:
            failures.append(f"the proof speaks of {name}, which is no offer of the group")
    if len(set(offers)) != len(offers):
        failures.append("the proof names an offer twice")
    if failures:
        return (), failures
    keys = [(SourceKind.BOUGHT, name) for name in offers]
    keys += [(SourceKind.OFFCUT, name) for name in proof.sources[split:]]
    return tuple(known[key] for key in keys), []


def _form_failures(problem: _Problem, group: Group, proof: Proof, *, limited: bool) -> list[str]:
    failures = []
    if any(taken_by(part, problem.kerf) < problem.step for part in problem.parts):
        failures.append(f"the proof's working step of {at_mm(problem.step)} is longer than a part")
    for number, leaf in enumerate(proof.leaves, start=1):
        if len(leaf.ranges) != len(problem.sources):
            failures.append(f"leaf {number} has {len(leaf.ranges)} ranges for {len(problem.sources)} sources")
            continue
        if len(leaf.duals) != len(problem.parts):
            failures.append(f"leaf {number} has {len(leaf.duals)} duals for {len(problem.parts)} parts")
        if any(dual < 0 for dual in (*leaf.duals, leaf.keep_dual)):
            failures.append(f"leaf {number} has a negative dual")
        if leaf.keep_dual and not limited:
            failures.append(f"leaf {number} charges kept left overs, whose number is not limited")
        for (low, high), source in zip(leaf.ranges, problem.sources, strict=True):
            most = group.pieces if source.most is None else source.most
            if not 0 <= low <= high <= most:
                failures.append(
                    f"leaf {number}: the range {low} to {high} of {source.name} does not lie in 0 to {most}"
                )
    return failures


def _cover_failures(problem: _Problem, group: Group, proof: Proof) -> list[str]:
    """Leaves are disjoint and fill the box of all counts.

    A plan never has more bars of a source than there are pieces, so that the
    part of the box beyond that number is left aside.
    """
    root = [min(group.pieces, group.pieces if s.most is None else s.most) for s in problem.sources]
    boxes: list[tuple[int, Sequence[Range]]] = []
    for number, leaf in enumerate(proof.leaves, start=1):
        if all(low <= most for (low, _), most in zip(leaf.ranges, root, strict=True)):
            clipped = [(low, min(high, most)) for (low, high), most in zip(leaf.ranges, root, strict=True)]
            boxes.append((number, clipped))
    lows = np.array([[low for low, _ in box] for _, box in boxes], dtype=np.int64).reshape(len(boxes), len(root))
    highs = np.array([[high for _, high in box] for _, box in boxes], dtype=np.int64).reshape(len(boxes), len(root))
    for index, (number, _) in enumerate(boxes):
        later = slice(index + 1, None)
        meets = ((lows[index] <= highs[later]) & (highs[index] >= lows[later])).all(axis=1)
        if meets.any():
            other = boxes[index + 1 + int(meets.argmax())][0]
            return [f"leaves {number} and {other} of the proof overlap"]
    covered = sum(math.prod(high - low + 1 for low, high in box) for _, box in boxes)
    whole = math.prod(most + 1 for most in root)
    if covered != whole:
        return [f"the leaves of the proof cover {covered} of {whole} cases of bar counts"]
    return []


def _costs_possible(problem: _Problem) -> tuple[int, int]:
    """A cost, and what every total cost differs from it by a multiple of: 1 once the left over has a value.

    Every part is cut once, at what a cut costs least or more, unless some part may be a bar as it comes.
    """
    if problem.rate:
        return 0, 1
    cut = min((source.per_cut for source in problem.sources), default=0)
    if any(_whole_parts(problem, source, range(len(problem.parts))) for source in problem.sources):
        cut = 0
    money = (m for s in problem.sources for m in (s.price, s.per_cut - cut, s.per_setup))
    return cut * sum(part.quantity for part in problem.parts), math.gcd(*money) or 1


def _leaf_bound(problem: _Problem, leaf: Leaf, margins: Sequence[int]) -> int:
    total = sum(dual * part.quantity for dual, part in zip(leaf.duals, problem.parts, strict=True))
    total -= leaf.keep_dual * problem.most_kept
    for margin, (low, high) in zip(margins, leaf.ranges, strict=True):
        total += margin * (high if margin < 0 else low)
    return ceil_div(total, problem.denominator)


def _margins(problem: _Problem, duals: Sequence[int], keep_dual: int) -> list[int]:
    """m_s of every source.

    Sources that may serve the same parts for the same work share one array of
    worths, as long as the longest of them needs.
    """
    alike: dict[tuple[tuple[int, ...], int, int], list[int]] = {}
    for position, source in enumerate(problem.sources):
        served = tuple(i for i, part in enumerate(problem.parts) if serves(source.grade, part.grade))
        alike.setdefault((served, source.per_cut, source.per_setup), []).append(position)
    margins = [0] * len(problem.sources)
    for (served, per_cut, per_setup), positions in alike.items():
        if problem.denominator * (per_cut + per_setup + 1) * sum(part.quantity for part in problem.parts) >= SAFE:
            raise OverflowError("the denominator or what work counts for is too large for 64-bit sums")
        loads, unit = _loads(problem, served, duals, problem.denominator * per_cut, problem.denominator * per_setup)
        caps = {
            position: problem.sources[position].room(problem.kerf) // (unit * problem.step) for position in positions
        }
        longest = max(0, *caps.values())
        if longest > MOST_STEPS:
            raise OverflowError(f"{longest} working steps of {at_mm(problem.step)} are too many")
        any_set, held_set = best_worths(loads, longest)
        for position in positions:
            source, cap = problem.sources[position], caps[position]
            margins[position] = min(
                _margin(problem, source, keep_dual, unit, cap, any_set, held_set),
                _uncut_margin(problem, source, served, duals),
            )
    return margins


def _loads(
    problem: _Problem, served: Sequence[int], duals: Sequence[int], cut: int, setup: int
) -> tuple[list[Load], int]:
    """Parts as knapsack loads, and the number of steps that all their weights are a multiple of.

    A copy is worth its dual less its cut. Where a set-up costs something, parts
    that are cut alike are one load of the highest dual among them: no set is
    worth more than that says. A part that is worth nothing and holds nothing is
    left out; one that holds is needed once. Fills between multiples are never
    reached, so that the unit makes arrays shorter without changing any worth.
    """
    alike: dict[Hashable, list[int]] = {}
    for i in served:
        alike.setdefault(problem.parts[i].cut_alike if setup else i, []).append(i)
    wanted = []
    for places in alike.values():
        part = problem.parts[places[0]]
        worth = max(duals[i] for i in places) - cut
        holds = problem.hold > 0 and part.grip >= problem.hold
        if worth > 0 or holds:
            quantity = sum(problem.parts[i].quantity for i in places) if worth > 0 else 1
            wanted.append((taken_by(part, problem.kerf) // problem.step, worth, quantity, holds))
    # Without a load only the empty bar is left to price: one step as long as the longest bar will do.
    unit = math.gcd(*(weight for weight, *_ in wanted)) or max(source.length for source in problem.sources)
    return [
        Load(weight=weight // unit, worth=worth, quantity=quantity, holds=holds, entry=setup)
        for weight, worth, quantity, holds in wanted
    ], unit


def _margin(
    problem: _Problem,
    source: Source,
    keep_dual: int,
    unit: int,
    cap: int,
    any_set: Worths,
    held_set: Worths,
) -> int:
    """Least over the fills of D*c_s less the most worth; the empty bar is counted too."""
    open_length = source.length - source.start_trim
    fill = unit * problem.step
    if problem.denominator * max(source.price, 1) >= SAFE or source.length * problem.rate >= SAFE:
        raise OverflowError("the denominator or a price is too large for 64-bit sums")
    value_at_most = open_length * problem.rate // MM
    if problem.denominator * max(value_at_most, 1) >= SAFE:
        raise OverflowError("the denominator or the value of a left over is too large for 64-bit sums")
    # Any set is allowed while the left over, over-estimated, meets the hold; beyond that a part must.
    free_up_to = cap if problem.hold == 0 else min(cap, (open_length - problem.hold) // fill)
    if problem.rate == 0:
        worth = 0
        if free_up_to >= 0:
            worth = max(worth, int(any_set[free_up_to]))
        if cap >= 0:
            worth = max(worth, int(held_set[cap]))
        return problem.denominator * source.price - worth
    return _least_with_value(problem, source, keep_dual, open_length, fill, free_up_to, max(cap, 0), any_set, held_set)


def _least_with_value(
    problem: _Problem,
    source: Source,
    keep_dual: int,
    open_length: Length,
    fill: Length,
    free_up_to: int,
    cap: int,
    any_set: Worths,
    held_set: Worths,
) -> int:
    """The same where the left over has a value, which falls as the bar fills."""
    worth = np.maximum(held_set[: cap + 1], 0)
    if free_up_to >= 0:
        worth[: free_up_to + 1] = any_set[: free_up_to + 1]
    left = open_length - np.arange(cap + 1, dtype=np.int64) * fill
    value = np.where((left > 0) & (left >= problem.keep), left, 0) * problem.rate // MM
    value = np.maximum(problem.denominator * value - keep_dual, 0)
    return int((problem.denominator * source.price - value - worth).min())


def _uncut_margin(problem: _Problem, source: Source, served: Sequence[int], duals: Sequence[int]) -> int:
    """The same for one square part that is the whole bar, which is never cut and so never held; else the empty bar."""
    whole = _whole_parts(problem, source, served)
    worth = max((duals[i] - problem.denominator * source.per_setup for i in whole), default=0)
    return problem.denominator * source.price - max(worth, 0)


def _whole_parts(problem: _Problem, source: Source, served: Iterable[int]) -> list[int]:
    """Square parts that are the bar as it comes."""
    if source.start_trim or source.far_trim:
        return []
    return [i for i in served if not problem.parts[i].mitred and problem.parts[i].length == source.length]
