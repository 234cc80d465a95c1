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
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cutplan.checking.dynamic_program import NO_SET, SAFE, Load, Worths, best_worths, can_fill
from cutplan.checking.reckoning import Reckoning, reckonings
from cutplan.checking.shares import Share, case_failure, least_sum, shares_of, split_failures
from cutplan.checking.sources import (
    Source,
    at_mm,
    goal_of,
    keep_length,
    sources_of,
)
from cutplan.model import Goal, Group, Job, Leaf, Multiplier, Part, Proof, SourceKind, serves
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
    hold: Length
    keep: Length
    most_kept: int
    step: Length
    denominator: int
    reckoning: Reckoning
    flush: frozenset[int]
    """Places of the sources whose bars square parts can fill to their very end, which spares the last stroke."""
    sharing: tuple[int, ...] = ()
    """For each part how many share its set-up: those that are cut alike but lie the other way about."""

    @property
    def mitred(self) -> bool:
        """Is any part mitred?"""
        return any(part.mitred for part in self.parts)

    @property
    def told_by_fill(self) -> bool:
        """Does a set that ends flush fill a number of steps that no other does?"""
        return not any(weight % self.step for weight in self.reckoning.weights)

    def price(self, position: int) -> int:
        """What a bar costs at least, strokes of its parts and set-ups left aside. [cost unit]"""
        source = self.sources[position]
        if self.mitred:
            return self.reckoning.price(source)
        spared = position in self.flush and not self.told_by_fill
        return source.price + source.per_cut * (int(source.start_trim > 0) - int(spared))

    def set_up(self, per_setup: int, place: int) -> int:
        """What a part counts for of its set-up: its share."""
        return self.denominator * per_setup // self.sharing[place] if per_setup else 0


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
    goal = goal_of(group)
    sources, failures = _sources_named(job, group, goal, proof, multipliers)
    if proof.denominator < 1 or proof.step < 1:
        failures.append("the proof's denominator and working step are at least 1")
    if failures:
        return ProofReview(failures=tuple(failures), bound=None, leaves=0)
    ways = reckonings(group.parts, job.workshop.saw.kerf)
    problem = _Problem(
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
    )
    failures = _form_failures(problem, group, proof, limited=job.workshop.most_kept is not None)
    if not failures:
        failures = _cover_failures(problem, group, proof)
    if failures:
        return ProofReview(failures=tuple(failures), bound=None, leaves=0)
    base, multiple = _costs_possible(problem)
    seen_so = [[replace(problem, reckoning=reckoning) for reckoning in way] for way in ways]
    bound: int | None = None
    known: dict[tuple[tuple[int, ...], int, tuple[Share, ...]], list[int | None]] = {}
    for number, leaf in enumerate(proof.leaves, start=1):
        try:
            key = leaf.duals, leaf.keep_dual, shares_of(problem.parts, len(problem.sources), leaf.splits)
            if key not in known:
                known[key] = _most([_least([_margins(seen, *key) for seen in way]) for way in seen_so])
            least = _leaf_bound(problem, leaf, known[key])
        except OverflowError as refused:
            return ProofReview(failures=(f"leaf {number} cannot be rechecked: {refused}",), bound=None, leaves=0)
        if least is not None:
            least = base + ceil_div(least - base, multiple) * multiple
            bound = least if bound is None else min(bound, least)
    return ProofReview(failures=(), bound=bound, leaves=len(proof.leaves))


def _sources_named(
    job: Job, group: Group, goal: Goal, proof: Proof, multipliers: Sequence[Multiplier]
) -> tuple[tuple[Source, ...], list[str]]:
    """The sources a proof speaks of: some offers, then all offcuts."""
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


def _form_failures(problem: _Problem, group: Group, proof: Proof, *, limited: bool) -> list[str]:
    failures = []
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
        failures += split_failures(group, number, leaf)
    return failures


def _cover_failures(problem: _Problem, group: Group, proof: Proof) -> list[str]:
    """Leaves are disjoint and fill the box of all counts.

    A plan never has more bars of a source than there are pieces, so that the
    part of the box beyond that number is left aside.
    """
    root = [min(group.pieces, group.pieces if s.most is None else s.most) for s in problem.sources]
    cases: dict[tuple[Range, ...], list[tuple[int, Leaf]]] = {}
    for number, leaf in enumerate(proof.leaves, start=1):
        cases.setdefault(leaf.ranges, []).append((number, leaf))
    for leaves in cases.values():
        failure = case_failure(group, leaves)
        if failure:
            return [failure]
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
    covered = sum(math.prod(high - low + 1 for low, high in box) for _, box in boxes)
    whole = math.prod(most + 1 for most in root)
    if covered != whole:
        return [f"the leaves of the proof cover {covered} of {whole} cases of bar counts"]
    return []


def _costs_possible(problem: _Problem) -> tuple[int, int]:
    """A cost, and what every total cost differs from it by a multiple of: 1 once the left over has a value.

    Every square part is cut once, at what a cut costs least or more, unless a bar may end flush.
    """
    if any(source.rate for source in problem.sources):
        return 0, 1
    cut = min((source.per_cut for source in problem.sources), default=0)
    if problem.mitred or problem.flush:
        cut = 0
    squared = (s.price + s.per_cut * (s.start_trim > 0) for s in problem.sources)
    money = (*squared, *(m for s in problem.sources for m in (s.per_cut - cut, s.per_setup)))
    return cut * sum(part.quantity for part in problem.parts), math.gcd(*money) or 1


def _flush(group: Group, sources: Sequence[Source], reckoning: Reckoning) -> frozenset[int]:
    """Sources with a price for cuts whose bars can be filled to their very end by square parts."""
    if any(part.mitred for part in group.parts):
        return frozenset()
    found = []
    for position, source in enumerate(sources):
        weights = [
            (weight, part.quantity)
            for weight, part in zip(reckoning.weights, group.parts, strict=True)
            if serves(source.grade, part.grade)
        ]
        if source.per_cut and not source.far_trim and can_fill(weights, reckoning.room(source)):
            found.append(position)
    return frozenset(found)


def _least(ways: Sequence[list[int | None]]) -> list[int | None]:
    """The least margin of each share; None where none of the ways has one."""
    return [min((one for one in some if one is not None), default=None) for some in zip(*ways, strict=True)]


def _most(ways: Sequence[list[int | None]]) -> list[int | None]:
    """The highest margin of each share; None where one of the ways shows that no bar can be in it."""
    return [None if None in some else max(one for one in some if one is not None) for some in zip(*ways, strict=True)]


def _leaf_bound(problem: _Problem, leaf: Leaf, margins: Sequence[int | None]) -> int | None:
    """None where no numbers of bars satisfy the leaf, so that no plan falls under it."""
    total = sum(dual * part.quantity for dual, part in zip(leaf.duals, problem.parts, strict=True))
    total -= leaf.keep_dual * problem.most_kept
    bars = least_sum(leaf.ranges, leaf.splits, margins)
    return None if bars is None else ceil_div(total + bars, problem.denominator)


def _margins(problem: _Problem, duals: Sequence[int], keep_dual: int, shares: Sequence[Share]) -> list[int | None]:
    """m_s of every share; None where no bar can be in it.

    Shares that may hold the same parts for the same work have one array of
    worths, as long as the longest of their bars needs.
    """
    alike: dict[_Kind, list[int]] = {}
    for number, share in enumerate(shares):
        source = problem.sources[share.position]
        kind = _Kind(_served(problem, source), source.per_cut, source.per_setup, share.least, share.most)
        alike.setdefault(kind, []).append(number)
    margins: list[int | None] = [None] * len(shares)
    for kind, numbers in alike.items():
        _check_sizes(problem, [problem.sources[shares[number].position] for number in numbers])
        begun = _begun(problem, kind, duals)
        if begun is None:
            continue
        loads, unit = _loads(problem, kind, duals)
        caps = {number: _cap(problem, shares[number].position, begun, unit) for number in numbers}
        longest = max(0, *caps.values())
        if longest > MOST_STEPS:
            raise OverflowError(f"{longest} working steps of {at_mm(problem.step)} are too many")
        any_set, held_set = best_worths(loads, longest)
        if begun.holds:
            held_set = any_set
        for number in numbers:
            position = shares[number].position
            found = (
                _margin(problem, position, keep_dual, unit, begun, caps[number], any_set, held_set),
                _flush_margin(problem, position, kind, begun, duals),
                _uncut_margin(problem, problem.sources[position], kind, duals),
                None if kind.least else _empty_margin(problem, position, keep_dual),
            )
            margins[number] = min((margin for margin in found if margin is not None), default=None)
    return margins


def _check_sizes(problem: _Problem, sources: Iterable[Source]) -> None:
    """Refuse what could overflow 64-bit sums: left overs are valued in such; prices are not, and worths see to it."""
    if any(problem.denominator * _value_at_most(problem, source) >= SAFE for source in sources):
        raise OverflowError("the denominator or the value of a left over is too large for 64-bit sums")


@dataclass(frozen=True, slots=True)
class _Kind:
    """What shares have in common that need one array of worths; ``least`` and ``most`` by what is laid alike."""

    served: tuple[int, ...]
    per_cut: int
    per_setup: int
    least: tuple[tuple[Hashable, int], ...]
    most: tuple[tuple[Hashable, int], ...]

    def cut(self, problem: _Problem, place: int) -> int:
        """What the strokes count for that a part is reckoned with. [1/denominator of a cost unit]"""
        return problem.denominator * self.per_cut * problem.reckoning.strokes[place]


@dataclass(frozen=True, slots=True)
class _Begun:
    """The parts that every bar of a share holds: their steps, their worth less their work, does one of them hold?

    A part shorter than a step takes none.
    """

    steps: int
    worth: int
    holds: bool


def _begun(problem: _Problem, kind: _Kind, duals: Sequence[int]) -> _Begun | None:
    """None where no bar holds them, because of its grade or because there are not so many."""
    most = dict(kind.most)
    steps = worth = 0
    holds = False
    for alike, copies in kind.least:
        places = [i for i in kind.served if problem.parts[i].laid_alike == alike]
        quantity = sum(problem.parts[i].quantity for i in places)
        if copies > min(quantity, most.get(alike, quantity)):
            return None
        place = places[0]
        steps += copies * (problem.reckoning.weights[place] // problem.step)
        worth += copies * (max(duals[i] for i in places) - kind.cut(problem, place))
        worth -= problem.set_up(kind.per_setup, place)
        holds |= problem.hold > 0 and problem.parts[place].grip >= problem.hold
    return _Begun(steps, worth, holds)


def _cap(problem: _Problem, position: int, begun: _Begun, unit: int) -> int:
    """Whole units that may be added in a bar to the parts that every bar of a share holds; below 0 where they are too
    many already.
    """
    return (problem.reckoning.room(problem.sources[position]) // problem.step - begun.steps) // unit


def _loads(problem: _Problem, kind: _Kind, duals: Sequence[int], *, every: bool = False) -> tuple[list[Load], int]:
    """Parts that may be added as knapsack loads, and the number of steps that all their weights are a multiple of.

    A copy is worth its dual less its cut. Where a set-up costs something, or
    bars are told apart by what they hold, parts that are laid alike are one load
    of the highest dual among them: no set is worth more than that says. A part
    that is worth nothing and holds nothing is left out; one that holds is needed
    once; ``every`` leaves out none. Fills between multiples are never reached,
    so that the unit makes arrays shorter without changing any worth.
    """
    least, most = dict(kind.least), dict(kind.most)
    alike: dict[Hashable, list[int]] = {}
    for i in kind.served:
        together = kind.per_setup or least or most
        alike.setdefault(problem.parts[i].laid_alike if together else i, []).append(i)
    wanted = []
    for places in alike.values():
        part = problem.parts[places[0]]
        worth = max(duals[i] for i in places) - kind.cut(problem, places[0])
        holds = problem.hold > 0 and part.grip >= problem.hold
        quantity = sum(problem.parts[i].quantity for i in places)
        quantity = min(quantity, most.get(part.laid_alike, quantity)) - least.get(part.laid_alike, 0)
        if quantity > 0 and (worth > 0 or holds or every):
            entry = 0 if part.laid_alike in least else problem.set_up(kind.per_setup, places[0])
            weight = problem.reckoning.weights[places[0]] // problem.step
            wanted.append((weight, worth, quantity if worth > 0 or every else 1, holds, entry))
    # Without a load only the bar as it is is left to price: steps as long as the longest bar will do.
    longest = max(source.length for source in problem.sources) // problem.step + 1
    unit = math.gcd(*(weight for weight, *_ in wanted)) or longest
    return [
        Load(weight=weight // unit, worth=worth, quantity=quantity, holds=holds, entry=entry)
        for weight, worth, quantity, holds, entry in wanted
    ], unit


def _margin(
    problem: _Problem,
    position: int,
    keep_dual: int,
    unit: int,
    begun: _Begun,
    cap: int,
    any_set: Worths,
    held_set: Worths,
) -> int | None:
    """Least over the fills of D*c_s less the most worth; None where no set of the share can be cut."""
    if cap < 0:
        return None
    source = problem.sources[position]
    # What is left when nothing is added to the parts that every bar holds.
    open_length = problem.reckoning.open_length(source) - begun.steps * problem.step
    fill = unit * problem.step
    # Any set is allowed while the left over, over-estimated, meets the hold; beyond that a part must.
    free = 1 + (cap if problem.hold == 0 else max(-1, min(cap, (open_length - problem.hold) // fill)))
    cost = problem.denominator * problem.price(position) - begun.worth
    if source.rate == 0:
        worth = max(int(held_set[cap]), int(any_set[free - 1]) if free else NO_SET)
        return None if worth == NO_SET else cost - worth
    worths = np.concatenate((any_set[:free], held_set[free : cap + 1]))
    # The left over has a value too, which falls as the bar fills.
    left = open_length - np.arange(cap + 1, dtype=np.int64) * fill
    left = np.where((left > 0) & (left >= problem.keep), left, 0)
    value = left // MM * source.rate + left % MM * source.rate // MM
    possible = worths > NO_SET
    worths += np.maximum(problem.denominator * value - keep_dual, 0)
    worth = int(worths.max(where=possible, initial=NO_SET))
    return None if worth == NO_SET else cost - worth


def _flush_margin(problem: _Problem, position: int, kind: _Kind, begun: _Begun, duals: Sequence[int]) -> int | None:
    """The same for square parts that fill the bar to its very end and so spare the last stroke."""
    if position not in problem.flush or not problem.told_by_fill:
        return None
    loads, unit = _loads(problem, kind, duals, every=True)
    room = problem.reckoning.room(problem.sources[position])
    cap = _cap(problem, position, begun, unit)
    if room % problem.step or cap < 0 or cap * unit + begun.steps != room // problem.step:
        return None
    if cap > MOST_STEPS:
        raise OverflowError(f"{cap} working steps of {at_mm(problem.step)} are too many")
    any_set, held_set = best_worths(loads, cap, exact=True)
    # Nothing is left to be held.
    worth = int((any_set if problem.hold == 0 or begun.holds else held_set)[cap])
    cost = problem.denominator * (problem.price(position) - kind.per_cut) - begun.worth
    return None if worth == NO_SET else cost - worth


def _uncut_margin(problem: _Problem, source: Source, kind: _Kind, duals: Sequence[int]) -> int | None:
    """The same for one square part that is the whole bar, which is never cut and so never held."""
    most = dict(kind.most)
    whole = [
        duals[i] - problem.set_up(source.per_setup, i)
        for i in _whole_parts(problem, source, kind.served)
        if kind.least in ((), ((problem.parts[i].laid_alike, 1),)) and most.get(problem.parts[i].laid_alike, 1) > 0
    ]
    return problem.denominator * source.price - max(whole) if whole else None


def _empty_margin(problem: _Problem, position: int, keep_dual: int) -> int:
    """The same for the empty bar."""
    source = problem.sources[position]
    kept = problem.reckoning.open_length(source) >= problem.keep
    value = problem.denominator * _value_at_most(problem, source) - keep_dual if kept else 0
    return problem.denominator * problem.price(position) - max(value, 0)


def _value_at_most(problem: _Problem, source: Source) -> int:
    """What the longest left over of a source is worth."""
    return problem.reckoning.open_length(source) * source.rate // MM


def _served(problem: _Problem, source: Source) -> tuple[int, ...]:
    """Parts that a source may be cut into by its grade, of those that are reckoned."""
    places = sorted(problem.reckoning.places)
    return tuple(i for i in places if serves(source.grade, problem.parts[i].grade))


def _whole_parts(problem: _Problem, source: Source, served: Iterable[int]) -> list[int]:
    """Square parts that are the bar as it comes."""
    if source.start_trim or source.far_trim:
        return []
    return [i for i in served if not problem.parts[i].mitred and problem.parts[i].length == source.length]
