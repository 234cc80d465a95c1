"""What a bar of each source costs at least beyond the worth of its parts, whatever set of them it holds.

One margin for each share of the bars; see :mod:`cutplan.checking.proof` for what they come to together.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from cutplan.checking.dynamic_program import NO_SET, SAFE, Load, Worths, best_worths, worths_by_state
from cutplan.checking.nested import SetState
from cutplan.checking.piece_margins import nested_pieces_margin, pieces_margin
from cutplan.checking.problem import Problem
from cutplan.checking.shares import Share
from cutplan.checking.sources import Source, at_mm
from cutplan.checking.trails import NO_PARTS
from cutplan.model import SourceKind, serves
from cutplan.units import MM, Length

MOST_STEPS = 4_000_000
"""Longest array of fills that is worked through: five such arrays, as many as are held at once, take 160 MB."""


def margins_of(problem: Problem, duals: Sequence[int], keep_dual: int, shares: Sequence[Share]) -> list[int | None]:
    """m_s of every share; None where no bar can be in it.

    Shares that may hold the same parts for the same work have one array of
    worths, as long as the longest of their bars needs.
    """
    alike: dict[_Kind, list[int]] = {}
    served: dict[str, tuple[int, ...]] = {}
    for number, share in enumerate(shares):
        source = problem.sources[share.position]
        if source.grade not in served:
            served[source.grade] = served_by(problem, source)
        kind = _Kind(served[source.grade], source.per_cut, source.per_setup, share.least, share.most)
        alike.setdefault(kind, []).append(number)
    margins: list[int | None] = [None] * len(shares)
    for kind, numbers in alike.items():
        _check_sizes(problem, [problem.sources[shares[number].position] for number in numbers])
        begun = _begun(problem, kind, duals)
        if begun is None:
            continue
        if problem.nesting:
            for number, margin in _nested_margins(problem, kind, begun, duals, keep_dual, shares, numbers):
                margins[number] = margin
            continue
        loads, unit = _loads(problem, kind, duals)
        caps = {number: _cap(problem, shares[number], begun, unit) for number in numbers}
        longest = max(0, *caps.values())
        if longest > MOST_STEPS:
            raise OverflowError(f"{longest} working steps of {at_mm(problem.step)} are too many")
        any_set, held_set = best_worths(loads, longest)
        if begun.holds:
            held_set = any_set
        for number in numbers:
            share = shares[number]
            position = share.position
            # A bar that is cut up leaves nothing to keep.
            found = (
                _margin(problem, share, keep_dual, unit, begun, caps[number], any_set, held_set),
                None if share.kept else _flush_margin(problem, share, kind, begun, duals),
                None if share.kept else _uncut_margin(problem, problem.sources[position], kind, duals),
                None if kind.least else _empty_margin(problem, share, keep_dual),
            )
            told_apart = kind.least or share.kept is not None
            shared = None if told_apart else pieces_margin(problem, position, unit, any_set)
            if shared is not None and found[0] is not None:
                # The length seen as one bar, and as its pieces: neither is more than the truth.
                found = max(found[0], shared), *found[1:]
            margins[number] = min((margin for margin in found if margin is not None), default=None)
    return margins


def _check_sizes(problem: Problem, sources: Iterable[Source]) -> None:
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

    def cut(self, problem: Problem, place: int) -> int:
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
    state: SetState


def _begun(problem: Problem, kind: _Kind, duals: Sequence[int]) -> _Begun | None:
    """None where no bar holds them, because of its grade or because there are not so many."""
    most = dict(kind.most)
    steps = worth = 0
    holds, lying = False, []
    for alike, copies in kind.least:
        places = [i for i in kind.served if problem.parts[i].laid_alike == alike]
        quantity = sum(problem.parts[i].quantity for i in places)
        if copies > min(quantity, most.get(alike, quantity)):
            return None
        place = places[0]
        steps += copies * (problem.reckoning.weights[place] // problem.weight_step)
        worth += copies * (max(duals[i] for i in places) - kind.cut(problem, place))
        worth -= problem.set_up(kind.per_setup, place)
        holds |= problem.hold > 0 and problem.parts[place].grip >= problem.hold
        lying.append((place, copies))
    return _Begun(steps, worth, holds, _begun_state(problem, lying))


def _begun_state(problem: Problem, lying: Sequence[tuple[int, int]]) -> SetState:
    """The state of copies of parts at some places."""
    state: SetState = NO_PARTS
    if problem.nesting:
        ends, turn = problem.nesting.ends, problem.nesting.turn
        for place, copies in sorted(lying, key=lambda each: turn(ends[each[0]])):
            state = problem.nesting.after(state, ends[place], copies)
    return state


def _cap(problem: Problem, share: Share, begun: _Begun, unit: int) -> int:
    """Whole units that may be added in a bar to the parts that every bar of a share holds; below 0 where they are too
    many already.
    """
    source = problem.sources[share.position]
    room = problem.reckoning.room(source)
    return _units(problem, share, room // problem.step, problem.reckoning.open_length(source), begun, unit)


def _units(problem: Problem, share: Share, steps: int, open_length: Length, begun: _Begun, unit: int) -> int:
    """The same where all parts may take so many steps, and a bar without any leaves so much."""
    if share.kept:
        steps = min(steps, (open_length - max(problem.keep, 1)) // problem.step)
    return (steps - begun.steps) // unit


def _source_of(problem: Problem, share: Share) -> Source:
    """The source of a share; where left overs are not kept one whose left over is worth nothing."""
    source = problem.sources[share.position]
    return replace(source, rate=0) if share.kept is False else source


def _loads(problem: Problem, kind: _Kind, duals: Sequence[int], *, every: bool = False) -> tuple[list[Load], int]:
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
        worth = max([duals[i] for i in places]) - kind.cut(problem, places[0])
        holds = problem.hold > 0 and part.grip >= problem.hold
        quantity = sum([problem.parts[i].quantity for i in places])
        begun = False
        if least or most:
            laid = part.laid_alike
            begun = laid in least
            quantity = min(quantity, most.get(laid, quantity)) - least.get(laid, 0)
        if quantity > 0 and (worth > 0 or holds or every):
            entry = 0 if begun else problem.set_up(kind.per_setup, places[0])
            weight = problem.reckoning.weights[places[0]] // problem.weight_step
            ends = problem.nesting.ends[places[0]] if problem.nesting else (0, 0)
            wanted.append((weight, worth, quantity if worth > 0 or every else 1, holds, entry, ends))
    # Without a load only the bar as it is is left to price: steps as long as the longest bar will do.
    longest = max(source.length for source in problem.sources) // problem.step + 1
    unit = math.gcd(*(weight for weight, *_ in wanted)) or longest
    return [
        Load(weight=weight // unit, worth=worth, quantity=quantity, holds=holds, entry=entry, ends=ends)
        for weight, worth, quantity, holds, entry, ends in wanted
    ], unit


@dataclass(frozen=True, slots=True)
class _Fills:
    """The most worth of sets of one state for every fill, up to so many units of so many steps."""

    cap: int
    unit: int
    any_set: Worths
    held_set: Worths


def _margin(
    problem: Problem,
    share: Share,
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
    source = _source_of(problem, share)
    # What is left when nothing is added to the parts that every bar holds.
    open_length = problem.reckoning.open_length(source) - begun.steps * problem.step
    cost = problem.denominator * problem.price(share.position) - begun.worth
    return _least_margin(problem, source, cost, open_length, keep_dual, _Fills(cap, unit, any_set, held_set))


def _least_margin(
    problem: Problem, source: Source, cost: int, open_length: Length, keep_dual: int, fills: _Fills
) -> int | None:
    """The same for sets that begin at a cost, in a bar of which so much is left while nothing is added."""
    cap, any_set, held_set = fills.cap, fills.any_set, fills.held_set
    fill = fills.unit * problem.step
    # Any set is allowed while the left over, over-estimated, meets the hold; beyond that a part must.
    free = 1 + (cap if problem.hold == 0 else max(-1, min(cap, (open_length - problem.hold) // fill)))
    if source.rate == 0:
        # Worths never fall with the fill, so that the fullest bars decide.
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


def _nested_margins(
    problem: Problem,
    kind: _Kind,
    begun: _Begun,
    duals: Sequence[int],
    keep_dual: int,
    shares: Sequence[Share],
    numbers: Sequence[int],
) -> Iterator[tuple[int, int | None]]:
    """The margins of shares where parts may share cuts: the least over the states of the sets they may hold."""
    nesting = problem.nesting
    assert nesting is not None
    # A stroke may be spared by a part that is worth less than one, so that with a price for strokes all are let in.
    loads, unit = _loads(problem, kind, duals, every=kind.per_cut > 0)
    loads.sort(key=lambda load: nesting.turn(load.ends))
    states = nesting.states(begun.state, [load.ends for load in loads])
    positions = [shares[number].position for number in numbers]
    ways = {(position, state): _nested_ways(problem, position, state) for position in positions for state in states}
    caps = {way: (way.room // problem.weight_step - begun.steps) // unit for some in ways.values() for way in some}
    longest = max(0, *caps.values())
    if longest * len(states) > MOST_STEPS:
        if len(states) == 1:
            raise OverflowError(f"{longest} working steps of {at_mm(problem.step)} are too many")
        # Too many to be followed side by side: every set is seen as in the state that takes least.
        plain = replace(problem, nesting=replace(nesting, followed=False))
        yield from _nested_margins(plain, kind, replace(begun, state=NO_PARTS), duals, keep_dual, shares, numbers)
        return
    any_sets, held_sets = worths_by_state(loads, longest, states, nesting.after)
    if begun.holds:
        held_sets = any_sets
    for number, position in zip(numbers, positions, strict=True):
        share, found = shares[number], []
        for state, any_set, held_set in zip(states, any_sets, held_sets, strict=True):
            for way in ways[position, state]:
                cap = _units(problem, share, way.room // problem.weight_step, way.left_open, begun, unit)
                fills = _Fills(cap, unit, any_set, held_set)
                # The empty set is the bar as it comes, which is priced by itself.
                if fills.cap >= 0 and (state or kind.least or not nesting.followed):
                    found.append(_nested_margin(problem, share, way, keep_dual, begun, fills))
        cut = min((margin for margin in found if margin is not None), default=None)
        if cut is not None and not (kind.least or share.kept is not None):
            cut = max(cut, nested_pieces_margin(problem, position, unit, states, any_sets, cut))
        others = (
            None if share.kept else _uncut_margin(problem, problem.sources[position], kind, duals),
            None if kind.least else _empty_margin(problem, share, keep_dual),
        )
        yield number, min((margin for margin in (cut, *others) if margin is not None), default=None)


class _Way(NamedTuple):
    """How sets of one state lie in a bar: what their weights may come to, what they leave, and their strokes, twice.

    [half nm; nm]
    """

    room: int
    left_open: Length
    strokes: int


def _nested_ways(problem: Problem, position: int, state: SetState) -> list[_Way]:
    """Behind the trim of START; of a piece with a slanted end also from that on, where sets can begin there."""
    source, nesting = problem.sources[position], problem.nesting
    assert nesting is not None
    open_end = source.far_trim == 0

    def way(trim: Length, short: Length, left: Length, strokes: int) -> _Way:
        return _Way(
            2 * (source.length - trim - source.far_trim + source.more_room) - short,
            (2 * (source.length - trim + source.more_left) - left) // 2,
            strokes,
        )

    trim = source.start_trim
    strokes = nesting.strokes_twice(state, trimmed=trim > 0, open_end=open_end)
    found = [way(trim, nesting.beyond_twice(state), nesting.left_twice(state), strokes)]
    ends = nesting.begun.get(source.name, frozenset()) if source.kind is SourceKind.OFFCUT else frozenset()
    begun = nesting.begun_twice(state, ends) if ends else None
    if begun:
        found.append(way(0, *begun, nesting.strokes_twice(state, trimmed=False, open_end=open_end, begun=ends)))
    return found


def _nested_margin(
    problem: Problem, share: Share, way: _Way, keep_dual: int, begun: _Begun, fills: _Fills
) -> int | None:
    source = _source_of(problem, share)
    price = problem.denominator * source.price + problem.denominator * source.per_cut * way.strokes // 2
    left_open = way.left_open - begun.steps * problem.step
    return _least_margin(problem, source, price - begun.worth, left_open, keep_dual, fills)


def _flush_margin(problem: Problem, share: Share, kind: _Kind, begun: _Begun, duals: Sequence[int]) -> int | None:
    """The same for square parts that fill the bar to its very end and so spare the last stroke."""
    position = share.position
    if position not in problem.flush or not problem.told_by_fill:
        return None
    loads, unit = _loads(problem, kind, duals, every=True)
    room = problem.reckoning.room(problem.sources[position])
    cap = _cap(problem, share, begun, unit)
    if room % problem.step or cap < 0 or cap * unit + begun.steps != room // problem.step:
        return None
    if cap > MOST_STEPS:
        raise OverflowError(f"{cap} working steps of {at_mm(problem.step)} are too many")
    any_set, held_set = best_worths(loads, cap, exact=True)
    # Nothing is left to be held.
    worth = int((any_set if problem.hold == 0 or begun.holds else held_set)[cap])
    cost = problem.denominator * (problem.price(position) - kind.per_cut) - begun.worth
    return None if worth == NO_SET else cost - worth


def _uncut_margin(problem: Problem, source: Source, kind: _Kind, duals: Sequence[int]) -> int | None:
    """The same for one square part that is the whole bar, which is never cut and so never held."""
    most = dict(kind.most)
    whole = [
        duals[i] - problem.set_up(source.per_setup, i)
        for i in whole_parts(problem, source, kind.served)
        if kind.least in ((), ((problem.parts[i].laid_alike, 1),)) and most.get(problem.parts[i].laid_alike, 1) > 0
    ]
    return problem.denominator * source.price - max(whole) if whole else None


def _empty_margin(problem: Problem, share: Share, keep_dual: int) -> int | None:
    """The same for the empty bar."""
    source = _source_of(problem, share)
    kept = problem.reckoning.open_length(source) >= problem.keep
    if share.kept and not kept:
        return None
    value = problem.denominator * _value_at_most(problem, source) - keep_dual if kept else 0
    return problem.denominator * problem.price(share.position) - max(value, 0)


def _value_at_most(problem: Problem, source: Source) -> int:
    """What the longest left over of a source is worth."""
    return problem.reckoning.open_length(source) * source.rate // MM


def served_by(problem: Problem, source: Source) -> tuple[int, ...]:
    """Parts that a source may be cut into by its grade, of those that are reckoned."""
    places = sorted(problem.reckoning.places)
    return tuple(i for i in places if serves(source.grade, problem.parts[i].grades))


def whole_parts(problem: Problem, source: Source, served: Iterable[int]) -> list[int]:
    """Square parts that are the bar as it comes."""
    if source.start_trim or source.far_trim or source.pieces > 1:
        return []
    return [i for i in served if not problem.parts[i].mitred and problem.parts[i].length == source.length]
