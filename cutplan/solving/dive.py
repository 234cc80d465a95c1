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

from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.constructive import fill_by_duals, first_fit, preferences
from cutplan.solving.instance import Instance
from cutplan.solving.master import MasterSolution
from cutplan.solving.plans import PatternUse, may_still_keep, total_cost
from cutplan.solving.solver_pieces import Pattern


def round_down(generator: ColumnGenerator, solution: MasterSolution) -> list[list[PatternUse]]:
    """Whole bars of an LP solution, the rest filled once by duals and by first fit in several orders."""
    instance, state = generator.instance, whole_bars_of(generator, solution)
    if not any(state.wanted):
        return [state.plan]
    plans = []
    rest = fill_by_duals(
        instance,
        generator.fill_grid,
        solution.duals,
        state.wanted,
        state.left,
        generator.clock.struck,
        generator.parameters.least_dual,
    )
    if rest is not None:
        plans.append(state.plan + rest)
    for preference in itertools.islice(preferences(instance), generator.parameters.orders_tried):
        if generator.clock.struck():
            break
        rest = first_fit(instance, preference, state.wanted, state.left)
        if rest is not None:
            plans.append(state.plan + rest)
    return plans


@dataclass(frozen=True)
class PartialPlan:
    """Bars fixed so far, parts still wanted, bars still to be had."""

    plan: list[PatternUse]
    wanted: list[int]
    left: list[int]

    @classmethod
    def of(cls, instance: Instance) -> PartialPlan:
        """Nothing fixed."""
        return cls([], list(instance.demand), [source.most for source in instance.sources])

    def fix(self, bars: PatternUse) -> PartialPlan:
        """The state with those bars fixed too."""
        left = list(self.left)
        left[bars.source] -= bars.count
        wanted = [max(0, w - bars.count * n) for w, n in zip(self.wanted, bars.pattern, strict=True)]
        return PartialPlan([*self.plan, bars], wanted, left)


def whole_bars_of(
    generator: ColumnGenerator, solution: MasterSolution, begun: PartialPlan | None = None
) -> PartialPlan:
    """The whole bars of an LP solution, as far as what is ``begun`` leaves them; else nothing is."""
    return _fix_whole(generator, solution, begun or PartialPlan.of(generator.instance))


def _fix_whole(generator: ColumnGenerator, solution: MasterSolution, state: PartialPlan, every: int = 1) -> PartialPlan:
    """Fix the whole part of every column, or of one in ``every``."""
    integrality = generator.parameters.integrality
    whole = [
        (column, _whole(use, integrality))
        for column, use in zip(generator.master.columns, solution.uses, strict=False)
        if _whole(use, integrality)
    ]
    for column, use in whole[::every]:
        count = min(use, state.left[column.source])
        if count:
            state = state.fix(PatternUse(column.source, column.pattern, count))
    return state


@dataclass(frozen=True)
class DiveNode:
    """A place where a dive may go another way: what is fixed there, and the choices taken there before.

    ``relaxation`` is the LP solution, found when the bars fixed cost ``spent``; its
    whole bars have been fixed since. ``tried`` is how many parts were left when
    what was left was last listed at length.
    """

    state: PartialPlan
    relaxation: Relaxation
    spent: int
    tried: int
    barred: frozenset[tuple[int, Pattern]] = frozenset()


Finish: TypeAlias = Callable[[DiveNode], tuple[list[PatternUse] | None, bool, int]]
"""Bars for all that a dive node wants, if it finds a plan of use; whether it looked at every such plan; and how many
parts were left when it last enumerated at length."""


def dives(
    generator: ColumnGenerator,
    relaxation: Relaxation,
    ranges: Sequence[tuple[int, int]],
    cutoff: Callable[[], int],
    most: int,
    finish: Finish,
) -> Iterator[list[PatternUse]]:
    """Fix whole bars, solve the LP for what is left, and again; yields each whole plan that a dive ends in.

    The first dive always takes the likeliest bar. Those after it go another way
    once, at the first place first; then twice.

    Parameters
    ----------
    cutoff
        Tells the cost that a plan must stay below; a dive that cannot is given up.
    most
        How many dives are made.
    finish
        Tries to fill all that is left at once.
    """
    nothing = PartialPlan([], list(generator.instance.demand), [high for _, high in ranges])
    # Where all whole bars together leave nothing to be found, half of them may.
    starts = [_fix_whole(generator, relaxation.solution, nothing, every) for every in (1, 2)]
    waiting = deque(DiveNode(state, relaxation, 0, 2 * sum(state.wanted)) for state in starts)
    made = 0
    while waiting and made < most and not generator.clock.struck():
        dive_node: DiveNode | None = waiting.popleft()
        made += 1
        while dive_node is not None and not generator.clock.struck():
            if not any(dive_node.state.wanted):
                yield dive_node.state.plan
                break
            rest, decided, tried = finish(dive_node)
            if rest is not None:
                yield dive_node.state.plan + rest
            if rest is not None or decided:
                break
            dive_node = _onward(generator, replace(dive_node, tried=tried), cutoff(), waiting)


def _onward(generator: ColumnGenerator, dive_node: DiveNode, cutoff: int, waiting: deque[DiveNode]) -> DiveNode | None:
    """One step on from a dive node by its likeliest bar that leaves room for a plan below ``cutoff``; None when stuck.

    The dive node with that bar barred is put with those ``waiting``.
    """
    instance = generator.instance
    barred = dive_node.barred
    for _ in range(generator.parameters.discrepancies):
        choice = _likeliest(generator, dive_node.relaxation.solution, dive_node.state, barred)
        if choice is None:
            return None
        barred |= {(choice.source, choice.pattern)}
        state = dive_node.state.fix(choice)
        spent = total_cost(instance, state.plan)
        if not any(state.wanted):
            return DiveNode(state, dive_node.relaxation, spent, dive_node.tried)
        # A useful plan is below the cutoff by a cost step at least.
        room = cutoff - instance.cost_step - spent + generator.margin
        ranges = [(0, n) for n in state.left]
        relaxation = generator.relax(
            ranges, state.wanted, room, generator.parameters.dive_rounds, may_still_keep(instance, state.plan)
        )
        if relaxation is None:
            return None
        # At its target the bound leaves no plan of use, and with parts missing there is none with these bars.
        if not relaxation.at_target and relaxation.solution.missing <= generator.parameters.dive_missing:
            waiting.append(replace(dive_node, barred=barred))
            return DiveNode(_fix_whole(generator, relaxation.solution, state), relaxation, spent, dive_node.tried)
    return None


def _likeliest(
    generator: ColumnGenerator, solution: MasterSolution, state: PartialPlan, barred: frozenset[tuple[int, Pattern]]
) -> PatternUse | None:
    """One bar of the column nearest to a whole one, whole ones left aside: they are fixed already."""
    columns, integrality = generator.master.columns, generator.parameters.integrality
    best = max(
        (
            k
            for k, use in enumerate(solution.uses)
            if _rest(use, integrality) > integrality
            and state.left[columns[k].source] > 0
            and (columns[k].source, columns[k].pattern) not in barred
        ),
        # Rounded, and of equals the oldest, so that the last digits of floats do not choose.
        key=lambda k: (round(_rest(solution.uses[k], integrality), 6), -k),
        default=None,
    )
    return None if best is None else PatternUse(columns[best].source, columns[best].pattern, 1)


def _whole(use: float, integrality: float) -> int:
    """The whole part of a use; what lacks no more than ``integrality`` counts as whole."""
    return int(use + integrality)


def _rest(use: float, integrality: float) -> float:
    return use - _whole(use, integrality)
