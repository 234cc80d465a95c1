"""The linear and integer programs, and the one place that knows ortools."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ortools.linear_solver import pywraplp

from cutplan.solving.problem import Pattern, Problem


@dataclass(frozen=True)
class Column:
    """A pattern on a source, and what one such bar costs. [cost unit]"""

    source: int
    pattern: Pattern
    cost: int


@dataclass(frozen=True)
class Relaxed:
    """Optimum of the linear program: value and duals in cost units, ``missing`` parts not covered."""

    value: float
    uses: tuple[float, ...]
    worths: tuple[float, ...]
    count_duals: tuple[float, ...]
    missing: float


class Master:
    """The pattern LP of one problem; columns are only added, count ranges change from node to node.

    Parts may be left uncovered at ``penalty`` a piece, so that every node has a
    solution and duals that prove its bound.
    """

    def __init__(self, problem: Problem, penalty: int) -> None:
        self._solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self._solver.SetNumThreads(1)
        self._scale = max([source.price for source in problem.sources] + [1]) / 100
        infinity = self._solver.infinity()
        self._rows = [self._solver.Constraint(float(piece.demand), infinity) for piece in problem.pieces]
        self._counts = [self._solver.Constraint(0.0, float(source.most)) for source in problem.sources]
        self._objective = self._solver.Objective()
        self._objective.SetMinimization()
        self._missing = []
        for row in self._rows:
            variable = self._solver.NumVar(0.0, infinity, "")
            row.SetCoefficient(variable, 1.0)
            self._objective.SetCoefficient(variable, penalty / self._scale)
            self._missing.append(variable)
        self.columns: list[Column] = []
        self._known: set[tuple[int, Pattern]] = set()
        self._variables: list[Any] = []

    def add(self, column: Column) -> bool:
        """Add a column; False when it is there already."""
        key = (column.source, column.pattern)
        if key in self._known:
            return False
        self._known.add(key)
        variable = self._solver.NumVar(0.0, self._solver.infinity(), "")
        for row, n in zip(self._rows, column.pattern, strict=True):
            if n:
                row.SetCoefficient(variable, float(n))
        self._counts[column.source].SetCoefficient(variable, 1.0)
        self._objective.SetCoefficient(variable, column.cost / self._scale)
        self.columns.append(column)
        self._variables.append(variable)
        return True

    def set_ranges(self, ranges: Sequence[tuple[int, int]]) -> None:
        """Set least and most bars of each source."""
        for row, (low, high) in zip(self._counts, ranges, strict=True):
            row.SetBounds(float(low), float(high))

    def set_demand(self, demand: Sequence[int]) -> None:
        """Set how many of each part must be covered."""
        for row, wanted in zip(self._rows, demand, strict=True):
            row.SetLb(float(wanted))

    def solve(self) -> Relaxed | None:
        """Solve the linear program; None when the solver could not, which no node should meet."""
        if self._solver.Solve() != pywraplp.Solver.OPTIMAL:
            return None
        scale = self._scale
        return Relaxed(
            value=self._objective.Value() * scale,
            uses=tuple(variable.solution_value() for variable in self._variables),
            worths=tuple(row.dual_value() * scale for row in self._rows),
            count_duals=tuple(row.dual_value() * scale for row in self._counts),
            missing=sum(variable.solution_value() for variable in self._missing),
        )


def whole_bars(
    problem: Problem,
    columns: Sequence[Column],
    ranges: Sequence[tuple[int, int]],
    demand: Sequence[int],
    below: int,
    nodes: int,
    seconds: float,
) -> tuple[list[tuple[Column, int]] | None, bool]:
    """Best whole numbers of the given columns that cover ``demand`` for less than ``below``.

    Returns
    -------
    tuple
        Columns with their counts, or None when none was found; and whether the
        search ended by itself, so that nothing cheaper exists in these columns.
        The counts are recomputed by the caller: a solver's word is not taken.
    """
    solver: Any = pywraplp.Solver.CreateSolver("SCIP")
    solver.SetNumThreads(1)
    solver.SetTimeLimit(max(1, int(seconds * 1000)))
    # The solver must leave Ctrl-C to us, and count nodes so that a clock seldom decides.
    solver.SetSolverSpecificParametersAsString(f"limits/nodes = {nodes}\nmisc/catchctrlc = FALSE\n")
    scale = max([source.price for source in problem.sources] + [1]) / 100
    infinity = solver.infinity()
    rows = [solver.Constraint(float(wanted), infinity) for wanted in demand]
    counts = [solver.Constraint(float(low), float(high)) for low, high in ranges]
    # A plan's cost is a multiple of the cost step, so "less" is at least one step less.
    cutoff = solver.Constraint(-infinity, (below - problem.cost_step / 2) / scale)
    objective = solver.Objective()
    objective.SetMinimization()
    variables = []
    for column in columns:
        high = ranges[column.source][1]
        needed = max((-(-d // n) for d, n in zip(demand, column.pattern, strict=True) if n), default=0)
        variable = solver.IntVar(0.0, float(min(high, needed)), "")
        for row, n in zip(rows, column.pattern, strict=True):
            if n:
                row.SetCoefficient(variable, float(n))
        counts[column.source].SetCoefficient(variable, 1.0)
        cutoff.SetCoefficient(variable, column.cost / scale)
        objective.SetCoefficient(variable, column.cost / scale)
        variables.append(variable)
    outcome = solver.Solve()
    if outcome in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
        chosen = [
            (column, round(variable.solution_value()))
            for column, variable in zip(columns, variables, strict=True)
            if variable.solution_value() > 0.5
        ]
        return chosen, outcome == pywraplp.Solver.OPTIMAL
    return None, outcome == pywraplp.Solver.INFEASIBLE
