"""The linear programs of column generation.

What knows ortools is this module, :mod:`cutplan.solving.listed_master` and :mod:`cutplan.solving.integer_master`.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ortools.linear_solver import pywraplp

from cutplan.solving.instance import Block, Instance
from cutplan.solving.solver_pieces import Pattern


@dataclass(frozen=True)
class Column:
    """A pattern on a source, and what one such bar costs. [cost unit]

    ``kept``: its left over is kept and counted by its value.
    """

    source: int
    pattern: Pattern
    cost: int
    kept: bool = False


@dataclass(frozen=True)
class MasterSolution:
    """Optimum of the linear program: value and duals in cost units, ``missing`` parts not covered."""

    value: float
    uses: tuple[float, ...]
    duals: tuple[float, ...]
    count_duals: tuple[float, ...]
    block_duals: Mapping[Block, float]
    keep_dual: float
    missing: float

    def reduced_cost(self, column: Column, count_dual: float) -> float:
        """What the column costs more than its parts and its place among the bars are worth."""
        worth = sum(n * self.duals[i] for i, n in enumerate(column.pattern) if n)
        return column.cost + self.keep_dual * column.kept - worth - count_dual


def columns_of(instance: Instance, index: int, pattern: Pattern, kept: bool | None = None) -> list[Column]:
    """A pattern as columns: where left overs to keep are limited in number, one that keeps its own and one without.

    With ``kept`` true or false only the one that is so, if there is such.
    """
    keeps = instance.value_left(index, pattern) > 0
    ways: tuple[bool, ...] = (True, False) if keeps and instance.kept_counts else (keeps,)
    if kept is not None:
        # Whatever a bar leaves may be scrapped: no bar that is to be is then missing.
        ways = (kept,) if keeps or not kept else ()
    return [Column(index, pattern, instance.cost(index, pattern, kept=way), way) for way in ways]


LONGEST_SOLVE = 10**9
"""Most time the solver is given for one linear program. [ms]"""

WAYS = ("use_scaling: false", "", "use_dual_simplex: true")
"""How an LP is solved, in turn, until one way succeeds: costs and counts are of like size already."""

ONE_BY_ONE = "use_preprocessing: false use_dual_simplex: true"
"""How LPs that differ by a bound or a few columns are solved one after another: what is preprocessed begins anew."""

EXACT = (
    "use_scaling: false use_preprocessing: false primal_feasibility_tolerance: 1e-9 dual_feasibility_tolerance: 1e-11"
)
"""How a pattern LP is solved first: bounds may depend on its last digits, and there is nothing to leave out of it."""

ANEW = EXACT + " use_dual_simplex: true"
"""How it is solved before that where bounds were moved: the duals of the last solution still hold."""


def solved(solver: Any, seconds: float, ways: Sequence[str] = WAYS) -> bool:
    """Does an LP come to its optimum within ``seconds``, by the first of some ways that leads there?"""
    until = time.monotonic() + seconds
    for how in ways:
        # Seen with a thousand parts: one way to the optimum is given up as numerically unsound, another is not.
        solver.SetSolverSpecificParametersAsString(how)
        solver.SetTimeLimit(max(1, min(int((until - time.monotonic()) * 1000), LONGEST_SOLVE)))
        if solver.Solve() == pywraplp.Solver.OPTIMAL:
            return True
        if time.monotonic() >= until:
            break
    return False


class Master:
    """The pattern LP of one instance; columns are only added, count ranges change from relaxation to relaxation.

    Parts may be left uncovered at a penalty a piece, so that every relaxation has a
    solution and duals that certify its bound.
    """

    def __init__(self, instance: Instance) -> None:
        self._solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self._solver.SetNumThreads(1)
        # The tolerances of an LP solver are absolute figures: the dearest bar costs 100, whatever the currency.
        self._scale = max([source.price for source in instance.sources] + [1]) / 100
        infinity = self._solver.infinity()
        # As many as wanted or more: so no dual is negative, as a certificate asks, and what is too many is taken off.
        self._rows = [self._solver.Constraint(float(piece.demand), infinity) for piece in instance.pieces]
        self._counts = [self._solver.Constraint(0.0, float(source.most)) for source in instance.sources]
        self._blocks: dict[Block, Any] = {}
        self._kept = self._solver.Constraint(0.0, float(instance.most_kept or 0)) if instance.kept_counts else None
        self._objective = self._solver.Objective()
        self._objective.SetMinimization()
        self._moved = self._asked_else = False
        """Were bounds moved since the LP was solved, and was other demand among them?"""
        self._missing = []
        for row in self._rows:
            variable = self._solver.NumVar(0.0, infinity, "")
            row.SetCoefficient(variable, 1.0)
            self._missing.append(variable)
        self.columns: list[Column] = []
        self._known: set[tuple[int, Pattern, bool]] = set()
        self._variables: list[Any] = []

    def knows(self, column: Column) -> bool:
        """Is it there already?"""
        return (column.source, column.pattern, column.kept) in self._known

    def add(self, column: Column) -> bool:
        """Add a column; False when it is there already."""
        if self.knows(column):
            return False
        self._known.add((column.source, column.pattern, column.kept))
        variable = self._solver.NumVar(0.0, self._solver.infinity(), "")
        for row, n in zip(self._rows, column.pattern, strict=True):
            if n:
                row.SetCoefficient(variable, float(n))
        self._counts[column.source].SetCoefficient(variable, 1.0)
        for block, row in self._blocks.items():
            if block.source == column.source and block.has(column.pattern, kept=column.kept):
                row.SetCoefficient(variable, 1.0)
        if column.kept and self._kept is not None:
            self._kept.SetCoefficient(variable, 1.0)
        self._objective.SetCoefficient(variable, column.cost / self._scale)
        self.columns.append(column)
        self._variables.append(variable)
        return True

    def _bound(self, row: Any, low: float, high: float) -> None:
        if (row.lb(), row.ub()) != (low, high):
            row.SetBounds(low, high)
            self._moved = True

    def set_ranges(self, ranges: Sequence[tuple[int, int]]) -> None:
        """Set least and most bars of each source."""
        for row, (low, high) in zip(self._counts, ranges, strict=True):
            self._bound(row, float(low), float(high))

    def set_blocks(self, ranges: Mapping[Block, tuple[int, int]]) -> None:
        """Set least and most bars of some blocks; all others are free."""
        infinity = self._solver.infinity()
        for block in [block for block in ranges if block not in self._blocks]:
            row = self._blocks[block] = self._solver.Constraint(-infinity, infinity)
            for column, variable in zip(self.columns, self._variables, strict=True):
                if block.source == column.source and block.has(column.pattern, kept=column.kept):
                    row.SetCoefficient(variable, 1.0)
        for block, row in self._blocks.items():
            low, high = ranges.get(block, (-infinity, infinity))
            self._bound(row, float(low), float(high))

    def set_demand(self, demand: Sequence[float]) -> None:
        """Set how many of each part must be covered."""
        for row, wanted in zip(self._rows, demand, strict=True):
            if row.lb() != wanted:
                row.SetLb(float(wanted))
                self._asked_else = True

    def set_penalty(self, penalty: int) -> None:
        """Set what leaving a piece uncovered costs. [cost unit]"""
        self.set_penalties([penalty] * len(self._missing))

    def set_penalties(self, penalties: Sequence[float]) -> None:
        """Set what leaving one of each piece uncovered costs. [cost unit]"""
        for variable, penalty in zip(self._missing, penalties, strict=True):
            self._objective.SetCoefficient(variable, penalty / self._scale)

    def set_most_kept(self, most: int) -> None:
        """Set how many left overs may be kept, where that counts."""
        if self._kept is not None:
            self._bound(self._kept, 0.0, float(most))

    @property
    def pivots(self) -> int:
        """Steps of the simplex method that the last solve took."""
        return int(self._solver.iterations())

    def uses(self) -> tuple[float, ...]:
        """How often each column is used in the solution found last, nothing having been changed since."""
        return tuple(variable.solution_value() for variable in self._variables)

    def solve(self, seconds: float) -> MasterSolution | None:
        """Solve the linear program within ``seconds``; None when time was up, or by an error of the solver.

        ``uses`` are left out: they take long to read, and are wanted of few solutions.
        """
        # Where a dive asks for less, the dual method leads to corners so near to whole bars that dives all end alike.
        ways = (ANEW, EXACT, *WAYS) if self._moved and not self._asked_else else (EXACT, *WAYS)
        self._moved = self._asked_else = False
        if not solved(self._solver, seconds, ways):
            return None
        scale = self._scale
        return MasterSolution(
            value=self._objective.Value() * scale,
            uses=(),
            duals=tuple(row.dual_value() * scale for row in self._rows),
            count_duals=tuple(row.dual_value() * scale for row in self._counts),
            block_duals={block: row.dual_value() * scale for block, row in self._blocks.items()},
            keep_dual=max(0.0, -self._kept.dual_value() * scale) if self._kept is not None else 0.0,
            missing=sum(variable.solution_value() for variable in self._missing),
        )


def highest(heights: Sequence[float], slopes: Sequence[Sequence[float]]) -> tuple[tuple[float, ...], float] | None:
    """Where the lowest of some planes over the unit cube is highest, and how high that is.

    Parameters
    ----------
    heights, slopes
        Of each plane its height at 0 and its slope along every axis.

    Returns
    -------
    tuple or None
        None when the solver could not, which no planes should meet.
    """
    solver = pywraplp.Solver.CreateSolver("GLOP")
    top = solver.NumVar(-solver.infinity(), solver.infinity(), "")
    at = [solver.NumVar(0.0, 1.0, "") for _ in slopes[0]]
    scale = max(1.0, *(abs(number) for plane in zip(heights, slopes, strict=True) for number in (plane[0], *plane[1])))
    for height, slope in zip(heights, slopes, strict=True):
        row = solver.Constraint(-solver.infinity(), height / scale)
        row.SetCoefficient(top, 1.0)
        for variable, steepness in zip(at, slope, strict=True):
            row.SetCoefficient(variable, -steepness / scale)
    solver.Objective().SetCoefficient(top, 1.0)
    solver.Objective().SetMaximization()
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return None
    return tuple(min(1.0, max(0.0, variable.solution_value())) for variable in at), top.solution_value() * scale
