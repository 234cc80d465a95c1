"""Whole plans from LP solutions: round down and fill the rest, or dive with column generation in between.

References
----------
Diving with limited discrepancies: R. Sadykov, F. Vanderbeck, A. Pessoa,
I. Tahiri, E. Uchoa, Primal heuristics for branch and price, INFORMS Journal on
Computing 31 (2019), from memory.
"""

from __future__ import annotations

import itertools
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from cutplan.solving.instance import Pattern
from cutplan.solving.linear import Relaxed
from cutplan.solving.quick import Bars, by_worth, first_fit, may_still_keep, preferences, total_cost
from cutplan.solving.relax import Generator, Node

DIVE_ROUNDS = 12
"""LP solves after each fixing of a dive; the duals need not be exact there."""

ORDERS_TRIED = 4
"""Orders of sources in which first fit fills what rounding down leaves."""

CHOICES = 3
"""How many bars are tried at one place of a dive when the LP shows that the first come to nothing."""


def round_down(generator: Generator, relaxed: Relaxed) -> list[list[Bars]]:
    """Whole bars of an LP solution, the rest filled once by worth and once by first fit."""
    instance = generator.instance
    state = State([], list(instance.demand), [source.most for source in instance.sources])
    state = _fix_whole(generator, relaxed, state)
    if not any(state.wanted):
        return [state.plan]
    plans = []
    rest = by_worth(instance, generator.fill_grid, relaxed.worths, state.wanted, state.left, generator.clock.struck)
    if rest is not None:
        plans.append(state.plan + rest)
    for preference in itertools.islice(preferences(instance), ORDERS_TRIED):
        if generator.clock.struck():
            break
        rest = first_fit(instance, preference, state.wanted, state.left)
        if rest is not None:
            plans.append(state.plan + rest)
    return plans


@dataclass(frozen=True)
class State:
    """Bars fixed so far, parts still wanted, bars still to be had."""

    plan: list[Bars]
    wanted: list[int]
    left: list[int]

    def fix(self, bars: Bars) -> State:
        """The state with those bars fixed too."""
        left = list(self.left)
        left[bars.source] -= bars.count
        wanted = [max(0, w - bars.count * n) for w, n in zip(self.wanted, bars.pattern, strict=True)]
        return State([*self.plan, bars], wanted, left)


def _fix_whole(generator: Generator, relaxed: Relaxed, state: State, every: int = 1) -> State:
    """Fix the whole part of every column, or of one in ``every``."""
    whole = [
        (column, _whole(use))
        for column, use in zip(generator.master.columns, relaxed.uses, strict=False)
        if _whole(use)
    ]
    for column, use in whole[::every]:
        count = min(use, state.left[column.source])
        if count:
            state = state.fix(Bars(column.source, column.pattern, count))
    return state


@dataclass(frozen=True)
class Turn:
    """A place where a dive may go another way: what is fixed there, and the choices taken there before.

    ``node`` is the LP solution, found when the bars fixed cost ``spent``; its
    whole bars have been fixed since. ``tried`` is how many parts were left when
    what was left was last listed at length.
    """

    state: State
    node: Node
    spent: int
    tried: int
    barred: frozenset[tuple[int, Pattern]] = frozenset()


Finish: TypeAlias = Callable[[Turn], tuple[list[Bars] | None, bool, int]]
"""Bars for all that is wanted at a turn, if it finds a plan of use; whether it looked at all that there are; and how
many parts were left when it last listed at length."""


def dives(
    generator: Generator,
    node: Node,
    ranges: Sequence[tuple[int, int]],
    mark: Callable[[], int],
    most: int,
    finish: Finish,
) -> Iterator[list[Bars]]:
    """Fix whole bars, solve the LP for what is left, and again; yields each whole plan that a dive ends in.

    The first dive always takes the likeliest bar. Those after it go another way
    once, at the first place first; then twice.

    Parameters
    ----------
    mark
        Tells the cost that a plan must stay below; a dive that cannot is given up.
    most
        How many dives are made.
    finish
        Tries to fill all that is left at once.
    """
    nothing = State([], list(generator.instance.demand), [high for _, high in ranges])
    # Where all whole bars together leave nothing to be found, half of them may.
    starts = [_fix_whole(generator, node.relaxed, nothing, every) for every in (1, 2)]
    waiting = deque(Turn(state, node, 0, 2 * sum(state.wanted)) for state in starts)
    made = 0
    while waiting and made < most and not generator.clock.struck():
        turn: Turn | None = waiting.popleft()
        made += 1
        while turn is not None and not generator.clock.struck():
            if not any(turn.state.wanted):
                yield turn.state.plan
                break
            rest, decided, tried = finish(turn)
            if rest is not None:
                yield turn.state.plan + rest
            if rest is not None or decided:
                break
            turn = _onward(generator, replace(turn, tried=tried), mark(), waiting)


def _onward(generator: Generator, turn: Turn, mark: int, waiting: deque[Turn]) -> Turn | None:
    """One step on from a turn by its likeliest bar that does not rule out a plan below ``mark``; None when stuck.

    The turn with that bar barred is put with those ``waiting``.
    """
    instance = generator.instance
    barred = turn.barred
    for _ in range(CHOICES):
        choice = _likeliest(generator, turn.node.relaxed, turn.state, barred)
        if choice is None:
            return None
        barred |= {(choice.source, choice.pattern)}
        state = turn.state.fix(choice)
        spent = total_cost(instance, state.plan)
        if not any(state.wanted):
            return Turn(state, turn.node, spent, turn.tried)
        room = mark - instance.cost_step - spent + 0.5
        ranges = [(0, n) for n in state.left]
        node = generator.relax(ranges, state.wanted, room, DIVE_ROUNDS, may_still_keep(instance, state.plan))
        if node is None:
            return None
        if not node.closed and node.relaxed.missing <= 1e-6:
            waiting.append(replace(turn, barred=barred))
            return Turn(_fix_whole(generator, node.relaxed, state), node, spent, turn.tried)
    return None


def _likeliest(
    generator: Generator, relaxed: Relaxed, state: State, barred: frozenset[tuple[int, Pattern]]
) -> Bars | None:
    """One bar of the column nearest to a whole one, whole ones left aside: they are fixed already."""
    columns = generator.master.columns
    best = max(
        (
            k
            for k, use in enumerate(relaxed.uses)
            if _rest(use) > 1e-6
            and state.left[columns[k].source] > 0
            and (columns[k].source, columns[k].pattern) not in barred
        ),
        key=lambda k: (round(_rest(relaxed.uses[k]), 6), -k),
        default=None,
    )
    return None if best is None else Bars(columns[best].source, columns[best].pattern, 1)


def _whole(use: float) -> int:
    """The whole part of a use; what lacks only a hair of floating point counts as whole."""
    return int(use + 1e-6)


def _rest(use: float) -> float:
    return use - _whole(use)
