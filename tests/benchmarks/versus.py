"""Textbook models raced against cutplan: how long each takes to a plan that costs no more than cutplan's.

Two models, both with OR-Tools alone, each given :data:`CAP` seconds of wall time, building the model included:

*assignment*: how many of each part in each bar, one stock length for each bar, bars in order (L. V. Kantorovich,
"Mathematical methods of organizing and planning production", Management Science 6 (1960) 366-422), by CP-SAT with
:data:`WORKERS` workers;

*arc flow*: one arc for each part at each fill it can start from, longest parts first (J. M. Valerio de Carvalho,
"Exact solution of bin-packing problems using column generation and branch-and-bound", Annals of Operations Research
86 (1999) 629-659; both references from memory), by SCIP, which has one thread in OR-Tools.

Neither knows the safe hold: a job is raced only when every part meets it, so that it never binds.
"""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model

from cutplan.model import Job, Status, groups_of
from cutplan.units import CURRENCY, Money
from tests.benchmarks.record import Result
from tests.brute_force import rules_of, stocks_of, weight

CAP = 60.0
"""Wall seconds a model is given; what a run counts that did not get there. [s]"""

WORKERS = 2

MOST_ARCS = 300_000
"""A graph with more arcs is counted as capped unbuilt: it does not come to a plan in the time, and fills the memory."""


@dataclass(frozen=True, kw_only=True)
class Problem:
    """A job of one group in whole steps of length, fills counted from START.

    ``reach`` is how far parts with their kerfs may fill each source, ``room`` from where its left over is counted,
    ``most`` how many there are. ``worth`` is money for a step of a left over that is kept, ``keep`` steps or longer.
    """

    weights: tuple[int, ...]
    demand: tuple[int, ...]
    reach: tuple[int, ...]
    room: tuple[int, ...]
    price: tuple[Money, ...]
    most: tuple[int, ...]
    keep: int
    worth: Money

    def cost(self, source: int, fill: int) -> Money:
        """What a bar filled so far costs, less the value of its left over."""
        left = self.room[source] - fill
        return self.price[source] - (left * self.worth if self.worth and left >= max(1, self.keep) else 0)


@dataclass(frozen=True, kw_only=True)
class Run:
    """One model on one job: seconds until its plan cost no more than cutplan's, the cap when it never did."""

    seconds: float
    capped: bool
    cost: Money | None


@dataclass(frozen=True, kw_only=True)
class Race:
    """cutplan's wall seconds, proof included, and what the models did on the same job."""

    name: str
    proven: bool
    cost: Money
    seconds: float
    runs: dict[str, Run] = field(default_factory=dict)

    @property
    def cheaper(self) -> dict[str, str]:
        """Models that found a cheaper plan, and its cost."""
        found = {name: run.cost for name, run in self.runs.items()}
        return {name: f"{cost / CURRENCY:.6f}" for name, cost in found.items() if cost is not None and cost < self.cost}


def raced(job: Job, result: Result) -> Race:
    """Race both models to the cost of a plan of this job."""
    assert result.cost is not None
    proven = result.status is not Status.NOT_PROVEN
    problem = problem_of(job)
    runs = {
        "assignment": assignment(problem, result.cost, go_on=not proven),
        "arc flow": arc_flow(problem, result.cost),
    }
    return Race(name=result.name, proven=proven, cost=result.cost, seconds=result.wall, runs=runs)


def problem_of(job: Job) -> Problem:
    """A job of one group, priced, of one grade, as the models see it.

    Raises
    ------
    ValueError
        When the job has rules that the models do not know.
    """
    groups = groups_of(job)
    group = groups[0]
    rules = rules_of(job, group)
    grades = {part.grade for part in group.parts}
    if len(groups) > 1 or not group.priced or grades != {""} or any(p.grip < rules.hold for p in group.parts):
        raise ValueError("the models know one priced group of one grade, its parts no shorter than the safe hold")
    stocks = [stock for stock in stocks_of(job, group) if stock.most]
    if any(part.mitred for part in group.parts) or any(s.per_bar or s.per_cut or s.per_setup for s in stocks):
        raise ValueError("the models know square ends alone, and no money but that of the bars")
    weights = [weight(part, rules.kerf) for part in group.parts]
    step = math.gcd(*weights)
    if rules.rate:
        step = math.gcd(step, rules.keep, *(stock.length - stock.start_trim for stock in stocks))
        if step * rules.rate % 1_000_000 or any(stock.rate != rules.rate for stock in stocks):
            raise ValueError("the value of a left over is no whole number a step, the same of every bar")
    return Problem(
        weights=tuple(w // step for w in weights),
        demand=tuple(part.quantity for part in group.parts),
        reach=tuple((s.length - s.start_trim - s.far_trim + rules.kerf) // step for s in stocks),
        room=tuple((s.length - s.start_trim) // step for s in stocks),
        price=tuple(s.price for s in stocks),
        most=tuple(s.most for s in stocks),
        keep=rules.keep // step,
        worth=step * rules.rate // 1_000_000,
    )


class _Watch(cp_model.CpSolverSolutionCallback):
    """Notes when a plan came down to the target, and stops there unless it is to go on."""

    def __init__(self, started: float, target: float, go_on: bool) -> None:
        super().__init__()
        self.started, self.target, self.go_on = started, target, go_on
        self.reached: float | None = None

    def on_solution_callback(self) -> None:
        if self.reached is None and self.objective_value <= self.target:
            self.reached = time.perf_counter() - self.started
            if not self.go_on:
                self.stop_search()


def assignment(problem: Problem, target: Money, *, go_on: bool, cap: float = CAP) -> Run:
    """Parts to bars by CP-SAT; with ``go_on`` it looks for a cheaper plan until the cap."""
    started = time.perf_counter()
    model = cp_model.CpModel()
    unit = math.gcd(target, problem.worth, *problem.price) or 1
    sources, kinds = range(len(problem.price)), range(len(problem.weights))
    longest, used_before, cost = max(problem.room), None, []
    chosen: list[list[Any]] = []
    held: list[list[Any]] = []
    for _ in range(_bars_enough(problem)):
        of = [model.new_bool_var("") for _ in sources]
        counts = [
            model.new_int_var(0, min(d, max(problem.reach) // w), "")
            for d, w in zip(problem.demand, problem.weights, strict=True)
        ]
        filled = sum(w * n for w, n in zip(problem.weights, counts, strict=True))
        model.add_at_most_one(of)
        model.add(filled <= sum(reach * on for reach, on in zip(problem.reach, of, strict=True)))
        if used_before is not None:
            model.add(sum(of) <= sum(used_before))
        used_before = of
        cost += [price // unit * on for price, on in zip(problem.price, of, strict=True)]
        if problem.worth:
            kept, left = model.new_bool_var(""), model.new_int_var(0, longest, "")
            model.add(
                left + filled <= sum(room * on for room, on in zip(problem.room, of, strict=True))
            ).only_enforce_if(kept)
            model.add(left >= problem.keep).only_enforce_if(kept)
            model.add(left <= longest * kept)
            cost.append(-(problem.worth // unit) * left)
        chosen.append(of)
        held.append(counts)
    for s in sources:
        model.add(sum(of[s] for of in chosen) <= problem.most[s])
    for i in kinds:
        model.add(sum(counts[i] for counts in held) == problem.demand[i])
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = WORKERS
    solver.parameters.max_time_in_seconds = max(0.01, cap - (time.perf_counter() - started))
    watch = _Watch(started, target / unit + 1e-6, go_on)
    status = solver.solve(model, watch)
    found = round(solver.objective_value) * unit if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    if watch.reached is None:
        return Run(seconds=cap, capped=True, cost=found)
    return Run(seconds=min(cap, watch.reached), capped=False, cost=found)


def _bars_enough(problem: Problem) -> int:
    """Bars that first fit needs with each part in the shortest length that is not used up and holds it."""
    unlimited = sorted(
        reach for reach, most in zip(problem.reach, problem.most, strict=True) if most >= sum(problem.demand)
    )
    if not unlimited:
        return min(sum(problem.demand), sum(problem.most))
    offcuts = sum(most for most in problem.most if most < sum(problem.demand))
    left: list[int] = []
    for w, wanted in sorted(zip(problem.weights, problem.demand, strict=True), reverse=True):
        new = next((reach for reach in unlimited if reach >= w), 0)
        for _ in range(wanted):
            place = next((place for place, rest in enumerate(left) if rest >= w), len(left))
            if place == len(left):
                left.append(new)
            left[place] -= w
    return min(sum(problem.demand), len(left) + offcuts)


def arc_flow(problem: Problem, target: Money, *, cap: float = CAP) -> Run:
    """A flow of bars through fills by SCIP, stopped at the first plan that costs no more than ``target``."""
    started = time.perf_counter()
    capped = Run(seconds=cap, capped=True, cost=None)
    arcs, ends = graph(problem)
    if sum(map(len, arcs)) + len(ends) > MOST_ARCS:
        return capped
    solver: Any = pywraplp.Solver.CreateSolver("SCIP")
    unit = max(problem.price) / 100 or 1.0
    infinity, many = solver.infinity(), float(sum(problem.demand))
    balance: dict[int, Any] = {}

    def arc(start: int, stop: int) -> Any:
        variable = solver.IntVar(0.0, many, "")
        for node, sign in ((start, -1.0), (stop, 1.0)):
            if node:
                if node not in balance:
                    balance[node] = solver.Constraint(0.0, 0.0)
                balance[node].SetCoefficient(variable, sign)
        return variable

    for w, wanted, starts in zip(problem.weights, problem.demand, arcs, strict=True):
        row = solver.Constraint(float(wanted), infinity)
        for start in starts:
            row.SetCoefficient(arc(start, start + w), 1.0)
    nodes = sorted({start + w for w, starts in zip(problem.weights, arcs, strict=True) for start in starts})
    nodes = sorted({*nodes, *(fill for _, fill in ends)})
    for node, further in itertools.pairwise(nodes):
        arc(node, further)
    limits = [solver.Constraint(0.0, float(most)) for most in problem.most]
    objective = solver.Objective()
    objective.SetMinimization()
    for source, fill in ends:
        variable = solver.IntVar(0.0, float(problem.most[source]), "")
        balance[fill].SetCoefficient(variable, -1.0)
        limits[source].SetCoefficient(variable, 1.0)
        objective.SetCoefficient(variable, problem.cost(source, fill) / unit)
    left = cap - (time.perf_counter() - started)
    if left <= 0:
        return capped
    solver.SetTimeLimit(int(1000 * left) + 1)
    # The search stops at a plan cheaper than this; half a millionth above the target lets an equal one count.
    stop = (target + 0.5) / unit
    solver.SetSolverSpecificParametersAsString(f"misc/catchctrlc = FALSE\nlimits/objectivestop = {stop!r}\n")
    status = solver.Solve()
    seconds = time.perf_counter() - started
    if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
        return capped
    cost = round(objective.Value() * unit)
    if cost > target or seconds > cap:
        return Run(seconds=cap, capped=True, cost=cost)
    return Run(seconds=seconds, capped=False, cost=cost)


def graph(problem: Problem) -> tuple[list[list[int]], list[tuple[int, int]]]:
    """The fills each part can start from, parts in the order given; and the (source, fill) a bar can end at.

    Without a value for left overs a bar ends at its reach alone, where the arcs of waste lead; with one, also at
    every fill that leaves a piece worth keeping.
    """
    farthest = max(problem.reach)
    order = sorted(range(len(problem.weights)), key=lambda i: -problem.weights[i])
    starts_of: list[list[int]] = [[] for _ in order]
    reached = {0}
    for i in order:
        w = problem.weights[i]
        starts: set[int] = set()
        front = reached
        for _ in range(problem.demand[i]):
            front = {fill for fill in front if fill + w <= farthest}
            starts |= front
            front = {fill + w for fill in front}
        starts_of[i] = sorted(starts)
        reached = reached | {fill + w for fill in starts}
    ends = []
    for source, reach in enumerate(problem.reach):
        shortest = min(problem.weights)
        if reach >= shortest:
            ends.append((source, reach))
        if problem.worth:
            ends += [
                (source, fill)
                for fill in sorted(reached)
                if 0 < fill < reach and problem.cost(source, fill) < problem.price[source]
            ]
    return starts_of, ends


def ratios(races: Sequence[Race]) -> dict[str, tuple[float, int]]:
    """For each model the geometric mean of its seconds over cutplan's, capped runs at the cap, and how many were."""
    found = {}
    for name in races[0].runs:
        logs = [math.log(race.runs[name].seconds / max(race.seconds, 1e-3)) for race in races]
        found[name] = (math.exp(sum(logs) / len(logs)), sum(race.runs[name].capped for race in races))
    return found


def block(races: Sequence[Race]) -> str:
    """The ratios on the screen."""
    lines = [f"  to the same cost, wall seconds over cutplan's, geometric mean of {len(races)}:"]
    for name, (ratio, capped) in ratios(races).items():
        lines.append(f"    {name:<22} {ratio:.1f} times, {capped} capped at {CAP:g} s")
    worse = sum(bool(race.cheaper) for race in races)
    lines.append(f"    cutplan dearer in      {worse}")
    return "\n".join(lines)


def note(races: Sequence[Race]) -> str:
    """The ratios for the csv."""
    texts = [f"{name} {ratio:.1f} times ({capped} capped)" for name, (ratio, capped) in ratios(races).items()]
    worse = sum(bool(race.cheaper) for race in races)
    return "versus " + ", ".join(texts) + f", dearer in {worse}"
