"""Closing a case that bar counts alone leave open: its bars are told apart by what they hold.

A part, or two parts together, that the LP solution puts in a broken number of
bars of a share, are held by so many or fewer, or by more. Every case that this
makes is bounded by duals as any other is, so that what is closed can be rechecked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from cutplan.model import Split
from cutplan.solving.cases import Case, Splits
from cutplan.solving.grid import Array
from cutplan.solving.linear import Relaxed
from cutplan.solving.relax import Generator
from cutplan.solving.shares import Division

WHOLE = 1e-6
"""How far from whole a number of bars in an LP solution must be to count as broken."""


@dataclass(frozen=True)
class Choice:
    """Parts, so many of each, that bars of a share hold together in a broken ``number``."""

    share: int
    held: tuple[tuple[int, int], ...]
    number: float


def choice(generator: Generator, relaxed: Relaxed, splits: Splits) -> Choice | None:
    """The most broken number of bars of a share that hold a part; of two parts together where there is no such."""
    takes = [piece.take for piece in generator.instance.pieces]
    used = [(column, use) for column, use in zip(generator.master.columns, relaxed.uses, strict=False) if use > WHOLE]
    held = []
    for number, share in enumerate(Division.of(generator.instance, splits).shares):
        within = [(column, use) for column, use in used if share.source == column.source and share.has(column.pattern)]
        if within:
            patterns = np.array([column.pattern for column, _ in within])
            held.append(_held(number, patterns, np.array([use for _, use in within]), takes))
    for broken in (_broken_alone, _broken_together):
        found = [(rank, choice) for one in held for rank, choice in broken(one)]
        if found:
            return min(found, key=lambda one: one[0])[1]
    return None


@dataclass(frozen=True)
class _Held:
    """What bars of a share hold: so many of a part, how long that is, and which patterns hold so many or more."""

    share: int
    parts: list[tuple[int, int]]
    lengths: Array
    holds: Array
    uses: Array


def _held(share: int, patterns: Array, uses: Array, takes: Sequence[int]) -> _Held:
    parts = [(int(i), t) for i in np.flatnonzero(patterns.any(axis=0)) for t in range(1, int(patterns[:, i].max()) + 1)]
    lengths = np.array([takes[i] * t for i, t in parts])
    return _Held(share, parts, lengths, np.array([patterns[:, i] >= t for i, t in parts], dtype=float), uses)


Ranked: TypeAlias = tuple[tuple[float, ...], Choice]
"""A choice after its rank: the most broken first, of these the longest."""


def _broken_alone(held: _Held) -> Iterator[Ranked]:
    """The most broken number of bars that hold so many of one part, if any is broken."""
    numbers = held.holds @ held.uses
    aside = _aside(numbers)
    for a in np.lexsort((-held.lengths, aside))[:1]:
        if aside[a] < 0.5:
            yield (aside[a], -held.lengths[a], held.share), Choice(held.share, (held.parts[a],), float(numbers[a]))


def _broken_together(held: _Held) -> Iterator[Ranked]:
    """The most broken number of bars that hold two parts, if any is broken."""
    numbers = (held.holds * held.uses) @ held.holds.T
    aside = _aside(numbers)
    part = np.array([i for i, _ in held.parts])
    aside[np.tril_indices(len(part))] = 0.5
    aside[part[:, None] == part] = 0.5
    first, second = np.nonzero(aside == aside.min())
    lengths = held.lengths[first] + held.lengths[second]
    for k in np.argsort(-lengths, kind="stable")[:1]:
        a, b = first[k], second[k]
        if aside[a, b] < 0.5:
            choice = Choice(held.share, (held.parts[a], held.parts[b]), float(numbers[a, b]))
            yield (aside[a, b], -lengths[k], held.share), choice


def _aside(numbers: Array) -> Array:
    """How far numbers are from the middle between two whole ones; 0.5 where they are whole."""
    aside = np.abs(numbers % 1.0 - 0.5).round(6)
    return np.where(aside < 0.5 - WHOLE, aside, 0.5)


def children(generator: Generator, splits: Splits, choice: Choice) -> list[Splits]:
    """The two cases that a choice makes of one: so many bars or fewer, and more."""
    demand = generator.instance.demand
    *before, (part, copies) = choice.held
    share, shares = choice.share, len(generator.instance.sources) + len(splits)
    for i, t in before:
        splits = (*splits, Split(share=share, part=i, copies=t, low=0, high=demand[i] // t))
        share, shares = shares, shares + 1
    below, most = int(choice.number), demand[part] // copies
    return [
        (*splits, Split(share=share, part=part, copies=copies, low=low, high=high))
        for low, high in ((0, below), (below + 1, most))
        if low <= high
    ]


def divided(
    generator: Generator,
    case: Case,
    work: int,
    bounded: Callable[[Splits], Case],
    settled: Callable[[Case], bool],
    say: Callable[[str], None],
) -> list[Case]:
    """Cases that together cover one, as many of them settled as so much work allows.

    Parameters
    ----------
    bounded
        Makes the case of the same bar counts with other splits.
    settled
        Is nothing of use left in a case?
    """
    clock = generator.clock
    closed: list[Case] = []
    waiting = [case]
    looked, most = 0, clock.work + work
    while waiting and clock.work < most and not clock.struck():
        case = waiting.pop()
        if settled(case):
            closed.append(case)
            continue
        parts = choice(generator, case.node.relaxed, case.splits)
        if parts is None:
            return [case, *closed, *waiting]
        further = [bounded(splits) for splits in children(generator, case.splits, parts)]
        waiting += sorted(further, key=lambda one: -one.bound)
        looked += len(further)
        say(f"cases of what bars hold: {looked} looked at, {len(waiting)} open")
    return closed + waiting
