"""Does a proof hold: do its leaves cover every case, and what do their duals really bound?

For a bar of source s filled to j steps, D*c_s(j) less the worth of its parts is
never below m_s. A plan that uses n_s bars of each source, and every part once,
therefore costs at least (sum of duals*quantity + sum of m_s*n_s) / D; the least
over the counts that a leaf allows is the leaf's bound. Where at most K left overs
may be kept, c_s(j) charges a kept one the leaf's keep dual z, and K*z comes off
the sum again. This is weak duality of linear programming, worked in whole numbers.
Where a leaf tells bars of a source apart by what they hold, each share of them
has a margin of its own, over the sets that such a bar may hold.

References
----------
V. Chvatal, Linear Programming, W. H. Freeman 1983, chapters 5 and 13 (duality;
cutting stock), cited from memory.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cutplan.checking.carry_pieces import sources_of
from cutplan.checking.dynamic_program import can_fill
from cutplan.checking.listed_bars import Listed, bound_listed, listed
from cutplan.checking.margins import margins_of
from cutplan.checking.nested import nesting_of
from cutplan.checking.possible_costs import next_cost
from cutplan.checking.problem import Problem
from cutplan.checking.reckoning import Reckoning, reckonings
from cutplan.checking.shares import (
    Share,
    case_failure,
    least_sum,
    listed_split_failures,
    shares_of,
    split_failures,
)
from cutplan.checking.sources import Source, at_saw_of, goal_of, keep_length
from cutplan.model import Goal, Group, Job, Leaf, Listing, Multiplier, Part, Proof, SourceKind, Split, serves
from cutplan.units import ceil_div

Range = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofReview:
    """What a proof came to: ``bound`` from its leaves, None when they could not be worked through."""

    failures: tuple[str, ...]
    bound: int | None
    leaves: int


def _sharing(parts: Sequence[Part]) -> tuple[int, ...]:
    """For each part how many ways to lie in a bar its set-up serves."""
    ways: dict[Hashable, set[Hashable]] = {}
    settings = [part.cut_alike for part in parts]
    for part, setting in zip(parts, settings, strict=True):
        ways.setdefault(setting, set()).add(part.laid_alike)
    return tuple(len(ways[setting]) for setting in settings)


def review_proof(job: Job, group: Group, proof: Proof, multipliers: Sequence[Multiplier] = ()) -> ProofReview:
    """Work through a proof of one group.

    Parameters
    ----------
    job, group
        What is asked for; the group's goal follows from its prices.
    proof
        Any proof of that group, with any of its offers.
    multipliers
        By how much the prices of some merchants count.

    Returns
    -------
    ProofReview
        Failures in sentences without the group's name, and the bound that the leaves give.
    """
    job, goal = at_saw_of(job, group), goal_of(group)
    sources, failures = _sources_named(job, group, goal, proof, multipliers)
    if proof.denominator < 1 or proof.step < 1:
        failures.append("the proof's denominator and working step are at least 1")
    if failures:
        return ProofReview(failures=tuple(failures), bound=None, leaves=0)
    nesting = nesting_of(group.parts, job.workshop.saw, group.offcuts)
    ways = ((nesting.reckoning(group.parts),),) if nesting else reckonings(group.parts, job.workshop.saw.kerf)
    problem = Problem(
        parts=group.parts,
        sources=sources,
        hold=job.workshop.saw.safe_hold,
        keep=keep_length(job, group),
        most_kept=job.workshop.most_kept or 0,
        step=proof.step,
        denominator=proof.denominator,
        reckoning=ways[0][0],
        flush=_flush(group, sources, ways[0][0]),
        sharing=_sharing(group.parts) if any(source.per_setup for source in sources) else (),
        nesting=nesting,
    )
    failures = _form_failures(problem, group, proof, limited=job.workshop.most_kept is not None)
    if not failures:
        failures = _cover_failures(problem, group, proof)
    if failures:
        return ProofReview(failures=tuple(failures), bound=None, leaves=0)
    seen_so = [[replace(problem, reckoning=reckoning) for reckoning in way] for way in ways]
    bound: int | None = None
    known: dict[tuple[tuple[int, ...], int, tuple[Share, ...]], list[int | None]] = {}
    lists: dict[tuple[tuple[Range, ...], Listing, tuple[Split, ...]], tuple[Listed, ...] | None] = {}
    for number, leaf in enumerate(proof.leaves, start=1):
        try:
            if leaf.listing is not None:
                within = leaf.ranges, leaf.listing, leaf.splits[: leaf.listing.splits]
                if within not in lists:
                    lists[within] = listed(problem, leaf.listing, leaf.ranges, within[-1])
                beside = _listed_bound(problem, leaf, leaf.listing, lists[within])
                bound = beside if bound is None else min(bound, beside)
                continue
            key = leaf.duals, leaf.keep_dual, shares_of(problem.parts, len(problem.sources), leaf.splits)
            # Leaves alike in these differ in their ranges alone, and a knapsack takes far longer than adding up.
            if key not in known:
                known[key] = _most([_least([margins_of(seen, *key) for seen in way]) for way in seen_so])
            least = _leaf_bound(problem, leaf, known[key])
        except OverflowError as refused:
            return ProofReview(failures=(f"leaf {number} cannot be rechecked: {refused}",), bound=None, leaves=0)
        if least is not None:
            # No plan costs anything in between, so that a bound holds up to the next cost there is.
            least = next_cost(problem, leaf.ranges, least)
            bound = least if bound is None else min(bound, least)
    return ProofReview(failures=(), bound=bound, leaves=len(proof.leaves))


def _sources_named(
    job: Job, group: Group, goal: Goal, proof: Proof, multipliers: Sequence[Multiplier]
) -> tuple[tuple[Source, ...], list[str]]:
    """The sources a proof speaks of: some offers, then all offcuts.

    A case may be closed to some offers; what lies on the rack is open to every plan.
    """
    known = sources_of(job, group, goal, multipliers)
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


def _form_failures(problem: Problem, group: Group, proof: Proof, *, limited: bool) -> list[str]:
    failures, pieces = [], group.pieces
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
        failures += _listing_failures(problem, number, leaf.listing, limited=limited) if leaf.listing else []
        if len(leaf.split_duals) != (len(leaf.splits) if leaf.listing else 0):
            failures.append(f"leaf {number} has {len(leaf.split_duals)} duals for {len(leaf.splits)} splits")
        for (low, high), source in zip(leaf.ranges, problem.sources, strict=True):
            most = pieces if source.most is None else source.most
            if not 0 <= low <= high <= most:
                failures.append(
                    f"leaf {number}: the range {low} to {high} of {source.name} does not lie in 0 to {most}"
                )
        failures += split_failures(group, number, leaf)
        if leaf.listing and not failures:
            failures += listed_split_failures(number, leaf, leaf.listing)
    return failures


def _listing_failures(problem: Problem, number: int, listing: Listing, *, limited: bool) -> list[str]:
    failures = []
    if len(listing.duals) != len(problem.parts):
        failures.append(f"the listing of leaf {number} has {len(listing.duals)} duals for {len(problem.parts)} parts")
    if any(dual < 0 for dual in (*listing.duals, listing.keep_dual)):
        failures.append(f"the listing of leaf {number} has a negative dual")
    if listing.keep_dual and not limited:
        failures.append(f"the listing of leaf {number} charges kept left overs, whose number is not limited")
    return failures


def _cover_failures(problem: Problem, group: Group, proof: Proof) -> list[str]:
    """Leaves are disjoint and fill the box of all counts.

    A plan never has more bars of a source than there are pieces, so that the
    part of the box beyond that number is left aside.
    """
    pieces = group.pieces
    root = [pieces if s.most is None else min(pieces, s.most) for s in problem.sources]
    cases: dict[tuple[Range, ...], list[tuple[int, Leaf]]] = {}
    for number, leaf in enumerate(proof.leaves, start=1):
        cases.setdefault(leaf.ranges, []).append((number, leaf))
    for leaves in cases.values():
        failure = case_failure(group, leaves)
        if failure:
            return [failure]
        # Which bars a split is about depends on whether bars are listed, and those whose left over is kept too.
        read: dict[bool | None, int] = {}
        for number, leaf in leaves:
            read.setdefault(None if leaf.listing is None else leaf.listing.kept, number)
        if len(read) > 1:
            one, other, *_ = read.values()
            return [f"leaves {one} and {other} of the proof split the same bars in two ways"]
    boxes: list[tuple[int, Sequence[Range]]] = []
    for number, leaf in (leaves[0] for leaves in cases.values()):
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
    # Boxes that do not meet fill the whole just when their contents add up to its own.
    covered = sum(math.prod(high - low + 1 for low, high in box) for _, box in boxes)
    whole = math.prod(most + 1 for most in root)
    if covered != whole:
        return [f"the leaves of the proof cover {covered} of {whole} cases of bar counts"]
    return []


def _flush(group: Group, sources: Sequence[Source], reckoning: Reckoning) -> frozenset[int]:
    """Sources with a price for cuts whose bars can be filled to their very end by square parts."""
    if any(part.mitred for part in group.parts):
        return frozenset()
    found = []
    for position, source in enumerate(sources):
        if not source.per_cut or source.far_trim:
            continue
        weights = [
            (weight, part.quantity)
            for weight, part in zip(reckoning.weights, group.parts, strict=True)
            if serves(source.grade, part.grades)
        ]
        if can_fill(weights, reckoning.room(source)):
            found.append(position)
    return frozenset(found)


def _least(ways: Sequence[list[int | None]]) -> list[int | None]:
    """The least margin of each share; None where none of the ways has one."""
    return [min((one for one in some if one is not None), default=None) for some in zip(*ways, strict=True)]


def _most(ways: Sequence[list[int | None]]) -> list[int | None]:
    """The highest margin of each share; None where one of the ways shows that no bar can be in it."""
    return [None if None in some else max(one for one in some if one is not None) for some in zip(*ways, strict=True)]


def _listed_bound(problem: Problem, leaf: Leaf, listing: Listing, lists: Sequence[Listed] | None) -> int:
    """What a leaf bounds over bars that are listed: plans with others cost no less than the listing says."""
    least = None if lists is None else bound_listed(problem, lists, leaf, kept=listing.kept)
    return listing.below if least is None else min(listing.below, next_cost(problem, leaf.ranges, least))


def _leaf_bound(problem: Problem, leaf: Leaf, margins: Sequence[int | None]) -> int | None:
    """None where no numbers of bars satisfy the leaf, so that no plan falls under it."""
    total = sum(dual * part.quantity for dual, part in zip(leaf.duals, problem.parts, strict=True))
    total -= leaf.keep_dual * problem.most_kept
    bars = least_sum(leaf.ranges, leaf.splits, margins)
    # Plans cost whole cost units, so that rounding up passes over none.
    return None if bars is None else ceil_div(total + bars, problem.denominator)
