"""Whole plans from LP solutions: round down and fill the rest, or dive with column generation in between.

References
----------
Diving with limited discrepancies: R. Sadykov, F. Vanderbeck, A. Pessoa,
I. Tahiri, E. Uchoa, Primal heuristics for branch and price, INFORMS Journal on
Computing 31 (2019), from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from cutplan.solving.linear import Relaxed
from cutplan.solving.problem import Pattern
from cutplan.solving.quick import Bars, by_worth, first_fit, may_still_keep, preferences, total_cost
from cutplan.solving.relax import Generator

DIVE_ROUNDS = 12
"""LP solves after each fixing of a dive; the duals need not be exact there."""

ORDERS_TRIED = 4
"""Orders of sources in which first fit fills what rounding down leaves."""

MOST_OTHER_CHOICES = 2
"""How many further choices are tried where a dive came to nothing."""


def round_down(generator: Generator, relaxed: Relaxed) -> list[list[Bars]]:
    """Whole bars of an LP solution, the rest filled once by worth and once by first fit."""
    problem = generator.problem
    state = _State([], list(problem.demand), [source.most for source in problem.sources])
    state = _fix_whole(generator, relaxed, state)
    if not any(state.wanted):
        return [state.plan]
    plans = []
    rest = by_worth(problem, generator.fill_grid, relaxed.worths, state.wanted, state.left)
    if rest is not None:
        plans.append(state.plan + rest)
    for preference in preferences(problem)[:ORDERS_TRIED]:
        rest = first_fit(problem, preference, state.wanted, state.left)
        if rest is not None:
            plans.append(state.plan + rest)
    return plans


@dataclass(frozen=True)
class _State:
    """Bars fixed so far, parts still wanted, bars still to be had."""

    plan: list[Bars]
    wanted: list[int]
    left: list[int]

    def fix(self, bars: Bars) -> _State:
        """The state with those bars fixed too."""
        left = list(self.left)
        left[bars.source] -= bars.count
        wanted = [max(0, w - bars.count * n) for w, n in zip(self.wanted, bars.pattern, strict=True)]
        return _State([*self.plan, bars], wanted, left)


def _fix_whole(generator: Generator, relaxed: Relaxed, state: _State) -> _State:
    """Fix the whole part of every column."""
    for column, use in zip(generator.master.columns, relaxed.uses, strict=False):
        count = min(_whole(use), state.left[column.source])
        if count:
            state = state.fix(Bars(column.source, column.pattern, count))
    return state


def dives(
    generator: Generator, relaxed: Relaxed, ranges: Sequence[tuple[int, int]], mark: Callable[[], int], most: int
) -> Iterator[list[Bars]]:
    """Fix whole bars, solve the LP for what is left, and again; yields each whole plan that a dive ends in.

    Parameters
    ----------
    mark
        Tells the cost that a plan must stay below; a dive that cannot is given up.
    most
        How many dives are made; further ones go back to the last choice and take another.
    """
    problem = generator.problem
    start = _fix_whole(generator, relaxed, _State([], list(problem.demand), [high for _, high in ranges]))
    # Each entry: where to go on, the LP solution there, and the choices made there before.
    waiting: list[tuple[_State, Relaxed, frozenset[tuple[int, Pattern]]]] = [(start, relaxed, frozenset())]
    made = 0
    while waiting and made < most and not generator.clock.struck():
        state, current, barred = waiting.pop()
        made += 1
        while True:
            if not any(state.wanted):
                yield state.plan
                break
            choice = _likeliest(generator, current, state, barred)
            if choice is None:
                break
            if len(barred) < MOST_OTHER_CHOICES:
                waiting.append((state, current, barred | {(choice.source, choice.pattern)}))
            state, barred = state.fix(choice), frozenset()
            if any(state.wanted):
                room = mark() - problem.cost_step - total_cost(problem, state.plan) + 0.5
                ranges = [(0, n) for n in state.left]
                node = generator.relax(ranges, state.wanted, room, DIVE_ROUNDS, may_still_keep(problem, state.plan))
                if node is None or node.closed or node.relaxed.missing > 1e-6:
                    break
                current = node.relaxed
                state = _fix_whole(generator, current, state)


def _likeliest(
    generator: Generator, relaxed: Relaxed, state: _State, barred: frozenset[tuple[int, Pattern]]
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
