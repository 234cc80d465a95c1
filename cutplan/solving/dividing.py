"""Closing a case that bar counts alone leave open: its bars are told apart by what they hold.

A part, or two parts together, that the LP solution puts in a broken number of
bars of a share, are held by so many or fewer, or by more. Every case that this
makes is bounded by duals as any other is, so that what is closed can be rechecked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

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
    problem = generator.problem
    takes = [piece.take for piece in problem.pieces]
    used = [(column, use) for column, use in zip(generator.master.columns, relaxed.uses, strict=False) if use > WHOLE]
    found: list[tuple[tuple[float, ...], Choice]] = []
    for number, share in enumerate(Division.of(problem, splits).shares):
        within = [(column, use) for column, use in used if share.source == column.source and share.has(column.pattern)]
        if within:
            patterns = np.array([column.pattern for column, _ in within])
            found += _broken(number, patterns, np.array([use for _, use in within]), takes)
    return min(found, key=lambda one: one[0], default=(None, None))[1]


def _broken(
    share: int, patterns: Array, uses: Array, takes: Sequence[int]
) -> Iterator[tuple[tuple[float, ...], Choice]]:
    """Broken numbers of bars of a share that hold a part or two, each with its rank."""
    held = [(int(i), t) for i in np.flatnonzero(patterns.any(axis=0)) for t in range(1, int(patterns[:, i].max()) + 1)]
    holds = np.array([patterns[:, i] >= t for i, t in held], dtype=float)
    numbers = (holds * uses) @ holds.T
    aside = np.abs(numbers % 1.0 - 0.5)
    for a, b in zip(*np.nonzero(np.triu(aside < 0.5 - WHOLE)), strict=True):
        (i, t), (j, u) = held[a], held[b]
        if a == b or i != j:
            steps = takes[i] * t + takes[j] * u
            choice = Choice(share, (held[a],) if a == b else (held[a], held[b]), float(numbers[a, b]))
            yield (float(a != b), round(float(aside[a, b]), 6), -steps, share, a, b), choice


def children(generator: Generator, splits: Splits, choice: Choice) -> list[Splits]:
    """The two cases that a choice makes of one: so many bars or fewer, and more."""
    demand = generator.problem.demand
    *before, (part, copies) = choice.held
    share, shares = choice.share, len(generator.problem.sources) + len(splits)
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
