"""The integer programs over patterns: the bars of one group, or of all groups with what merchants charge."""

from __future__ import annotations

import math
import sys
from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from cutplan.model import Bill
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Instance
from cutplan.solving.master import Column
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import Length, ceil_div

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

LARGEST_TOTAL = 2**62
"""Costs from which on an integer program, whose sums have 64 bits, is not asked."""

Chosen = list[tuple[Column, int]]
"""Columns with how many bars are cut so."""


@dataclass(frozen=True)
class GroupColumns:
    """One group of an order: its columns at the prices paid, of which wanted parts are to be covered.

    ``exactly`` allows no part beyond what is wanted. The merchant of each source is blank for an offcut, and its
    ``spend`` is what one bar counts for towards the minimum order [cost unit], its ``mass`` what is driven for [mg].
    ``cuts`` are those for the carry that a bar of each column takes.
    """

    instance: Instance
    columns: Sequence[Column]
    exactly: bool
    merchants: Sequence[str]
    spends: Sequence[int]
    masses: Sequence[int]
    cuts: Sequence[int]


class FreeCuts(NamedTuple):
    """Cuts for the carry that an order has free: how many, of those that cost so much each. [cost unit]"""

    number: int
    charge: int


def may_ask(clock: Clock, loading: float) -> bool:
    """Is there time for an integer program? The first one loads CP-SAT, which takes a processor ``loading``. [s]"""
    return clock.lets(0.0 if "ortools.sat.python.cp_model" in sys.modules else loading)


def whole_bars(
    instance: Instance,
    columns: Sequence[Column],
    wanted: Sequence[int],
    ranges: Sequence[tuple[int, int]],
    below: int,
    effort: float,
    seconds: float,
) -> tuple[Chosen | None, bool]:
    """Best whole numbers of the given columns that cover what is wanted for less than ``below``.

    Parameters
    ----------
    wanted
        How many of each part must be covered.
    effort
        Limit in the solver's own deterministic time, so that the same input ends at the same point.
    seconds
        Limit by the clock, above which the result depends on the machine. [s]

    Returns
    -------
    tuple
        Columns with their counts, or None when none was found; and whether the
        search ended by itself, so that nothing cheaper exists in these columns.
        The counts are recomputed by the caller: a solver's word is not taken.
    """
    program = _Program()
    variables = program.bars_of(instance, columns, wanted, ranges, exactly=False)
    if variables is None:
        return None, True
    # A plan's cost is a multiple of the cost step.
    step = instance.cost_step if all(column.cost % instance.cost_step == 0 for column in columns) else 1
    solver, ended = program.least(below, step, effort, seconds)
    return None if solver is None else _chosen(solver, columns, variables), ended


class PieceSets(NamedTuple):
    """Sets for the pieces of lengths of one source that are cut into so many, each at a price, with room for so much
    each. [nm]
    """

    source: int
    number: int
    room: Length
    price: int
    sets: tuple[Pattern, ...]


def whole_pieces(
    instance: Instance,
    columns: Sequence[Column],
    lengths: Sequence[PieceSets],
    ranges: Sequence[tuple[int, int]],
    least: int,
    below: int,
    effort: float,
    seconds: float,
) -> tuple[tuple[Chosen, list[tuple[PieceSets, int, list[Pattern]]]] | None, bool]:
    """Best whole numbers of columns, and of lengths with sets for their pieces, that cover all for less than ``below``.

    Of lengths cut in two, the pieces make pairs within the room of each; of those cut into more, all pieces together
    are within the room of all such lengths.

    Parameters
    ----------
    least
        What no plan is known to cost less than, so that what costs less cannot be put together to lengths.
    effort, seconds
        As of :func:`whole_bars`.

    Returns
    -------
    tuple
        Columns with their counts, and how many lengths there are with the sets of all their pieces; else as of
        :func:`whole_bars`.
    """
    program = _Program()
    in_pieces = [program.in_pieces(instance, some, ranges[some.source][1]) for some in lengths]
    for lengths_cut in in_pieces:
        if lengths_cut.lengths.number == 2:
            program.pair(instance, lengths_cut)
    variables = program.bars_of(instance, columns, instance.demand, ranges, exactly=False, more=in_pieces)
    if variables is None:
        return None, True
    solver, ended = program.least(below, instance.cost_step, effort, seconds, at_least=least)
    if solver is None:
        return None, ended
    cut = []
    for some, _, bars, sets in in_pieces:
        held = [pattern for pattern, of in zip(some.sets, sets, strict=True) for _ in range(solver.value(of))]
        cut.append((some, solver.value(bars), held))
    return (_chosen(solver, columns, variables), cut), ended


def disjoint_sets(
    sets: Sequence[Sequence[int]],
    wanted: Sequence[int],
    whole: Sequence[bool],
    number: int | None,
    worth: Sequence[int],
    effort: float,
    seconds: float,
) -> list[int] | None:
    """Sets of most worth that take no more of any part than is wanted; None where none were found.

    Parameters
    ----------
    sets
        The places of the parts of each.
    whole
        Which parts are to be taken to the last one.
    number
        How many sets there are to be; None is any number.
    effort, seconds
        As of :func:`whole_bars`.

    Returns
    -------
    list or None
        Places of the sets taken, of each as often as it is.
    """
    program = _Program()
    variables = program.disjoint(sets, wanted, whole, number, worth)
    solver, _ = program.least(1, 1, effort, seconds)
    return (
        None if solver is None else [k for k, variable in enumerate(variables) for _ in range(solver.value(variable))]
    )


def whole_order(
    choices: Sequence[GroupColumns],
    charging: Mapping[str, Sequence[Bill]],
    free: Mapping[str, FreeCuts],
    must: bool,
    below: int,
    effort: float,
    seconds: float,
) -> tuple[list[Chosen] | None, bool]:
    """Best whole numbers of the columns of all groups for less than ``below``, charges included.

    A merchant's bill is the larger of minimum order and spend, and the delivery, by one of the ways it bills. Columns
    cost every cut for the carry, of which those come off that are free.

    Parameters
    ----------
    charging
        The merchants with fixed charges, and the ways in which each bills.
    free
        The merchants of whom some cuts for the carry are free.
    must
        Is every one bought from that has a way, and nothing from the others? Else that is open.
    effort, seconds
        As of :func:`whole_bars`.

    Returns
    -------
    tuple
        As of :func:`whole_bars`, for each group.
    """
    program = _Program()
    bought: dict[str, list[tuple[Any, int, int]]] = {name: [] for name in charging}
    cut: dict[str, list[tuple[Any, int]]] = {name: [] for name in free}
    found = []
    for choice in choices:
        ranges = tuple((0, source.most) for source in choice.instance.sources)
        variables = program.bars_of(choice.instance, choice.columns, choice.instance.demand, ranges, choice.exactly)
        assert variables is not None, "no range asks for a bar"
        found.append(variables)
        for column, variable, cuts in zip(choice.columns, variables, choice.cuts, strict=True):
            name = choice.merchants[column.source]
            if name in bought:
                bought[name].append((variable, choice.spends[column.source], choice.masses[column.source]))
            if cuts and name in cut:
                cut[name].append((variable, cuts))
    for name, bills in charging.items():
        program.charge(bills, bought[name], must=must)
    for name, of_order in free.items():
        program.let_off(of_order, cut[name])
    solver, ended = program.least(below, program.step, effort, seconds)
    if solver is None:
        return None, ended
    pairs = zip(choices, found, strict=True)
    return [_chosen(solver, choice.columns, variables) for choice, variables in pairs], ended


def _chosen(solver: cp_model.CpSolver, columns: Sequence[Column], variables: Sequence[Any]) -> Chosen:
    counts = ((column, solver.value(variable)) for column, variable in zip(columns, variables, strict=True))
    return [(column, count) for column, count in counts if count]


class _InPieces(NamedTuple):
    """Lengths as variables: how many there are, and how many of their pieces, ``most`` at most, are cut to each set."""

    lengths: PieceSets
    most: int
    bars: Any
    cut: list[Any]


class _Program:
    """A program as it is put together: bars of groups, charges of merchants, and what each unit of them costs."""

    MOST_TRIPS = 100_000

    def __init__(self) -> None:
        # Loading it costs as much as planning a small job, and most jobs never come here.
        from ortools.sat.python import cp_model

        self._cp = cp_model
        self._model = cp_model.CpModel()
        self._terms: list[tuple[Any, int]] = []
        self._charged = False

    @property
    def step(self) -> int:
        """What every cost is a multiple of."""
        return math.gcd(*(cost for _, cost in self._terms)) or 1

    def in_pieces(self, instance: Instance, lengths: PieceSets, most: int) -> _InPieces:
        """How many lengths are cut into pieces, and how many of these to which set."""
        model, sums = self._model, self._cp.LinearExpr
        bars = model.new_int_var(0, most, "")
        cut = [model.new_int_var(0, most * lengths.number, "") for _ in lengths.sets]
        fills = [instance.fill(pattern) for pattern in lengths.sets]
        step = math.gcd(*instance.takes)
        model.add(sums.sum(cut) == lengths.number * bars)
        model.add(sums.weighted_sum(cut, [fill // step for fill in fills]) <= lengths.room // step * bars)
        self._terms.append((bars, lengths.price))
        return _InPieces(lengths, most * lengths.number, bars, cut)

    def pair(self, instance: Instance, some: _InPieces) -> None:
        """Let pieces of lengths cut in two be no more than have another to lie beside.

        Beside a piece of more than half the room lies one that its length leaves room for, and the fuller it is, the
        fewer those are: all can be paired when for each fill there are enough of them (Hall's theorem).
        """
        model, room = self._model, some.lengths.room
        by_fill: dict[Length, list[Any]] = {}
        for pattern, of in zip(some.lengths.sets, some.cut, strict=True):
            by_fill.setdefault(instance.fill(pattern), []).append(of)
        emptier, spare = deque(sorted(by_fill)), None
        for full in sorted(by_fill, reverse=True):
            if 2 * full <= room:
                break
            # How many more can lie beside than are as full. From each fill to the next, or every sum is as long as all.
            terms = [-of for of in by_fill[full]] + ([] if spare is None else [spare])
            while emptier and emptier[0] <= room - full:
                terms += by_fill[emptier.popleft()]
            spare = model.new_int_var(0, some.most, "")
            model.add(self._cp.LinearExpr.sum(terms) == spare)

    def bars_of(
        self,
        instance: Instance,
        columns: Sequence[Column],
        wanted: Sequence[int],
        ranges: Sequence[tuple[int, int]],
        exactly: bool,
        more: Sequence[_InPieces] = (),
    ) -> list[Any] | None:
        """How many bars are cut by each column; None where a range asks for bars that no column cuts."""
        cp, model = self._cp, self._model
        counts: list[list[Any]] = [[] for _ in ranges]
        covered: list[list[Any]] = [[] for _ in wanted]
        variables = []
        for lengths, _, bars, cut in more:
            counts[lengths.source].append(bars)
            for pattern, variable in zip(lengths.sets, cut, strict=True):
                for i, n in enumerate(pattern):
                    if n:
                        covered[i].append(n * variable)
        for column in columns:
            held = [(i, n) for i, n in enumerate(column.pattern) if n]
            # One more of a column would be a bar of surplus parts alone.
            needed = max((ceil_div(wanted[i], n) for i, n in held), default=0)
            variable = model.new_int_var(0, min(ranges[column.source][1], needed), "")
            counts[column.source].append(variable)
            for i, n in held:
                covered[i].append(n * variable)
            variables.append(variable)
        for terms, number in zip(covered, wanted, strict=True):
            if number:
                total = cp.LinearExpr.sum(terms)
                model.add(total == number if exactly else total >= number)
        for of_source, (low, high) in zip(counts, ranges, strict=True):
            if of_source:
                model.add_linear_constraint(cp.LinearExpr.sum(of_source), low, high)
            elif low > 0:
                return None
        if instance.kept_counts:
            kept = [variable for column, variable in zip(columns, variables, strict=True) if column.kept]
            model.add(cp.LinearExpr.sum(kept) <= (instance.most_kept or 0))
        self._terms += [(variable, column.cost) for column, variable in zip(columns, variables, strict=True)]
        return variables

    def disjoint(
        self,
        sets: Sequence[Sequence[int]],
        wanted: Sequence[int],
        whole: Sequence[bool],
        number: int | None,
        worth: Sequence[int],
    ) -> list[Any]:
        """How often each set is taken."""
        model, sums = self._model, self._cp.LinearExpr
        taken = []
        held: list[list[Any]] = [[] for _ in wanted]
        for parts in sets:
            taken.append(model.new_int_var(0, min(wanted[part] for part in parts), ""))
            for part in parts:
                held[part].append(taken[-1])
        for variables, most, all_of_it in zip(held, wanted, whole, strict=True):
            model.add_linear_constraint(sums.sum(variables), most if all_of_it else 0, most)
        if number is not None:
            model.add(sums.sum(taken) == number)
        self._terms += [(variable, -much) for variable, much in zip(taken, worth, strict=True)]
        return taken

    def charge(self, bills: Sequence[Bill], bought: Sequence[tuple[Any, int, int]], *, must: bool) -> None:
        """Add what a merchant is paid on top of bars, by one of these ways, if anything is bought, as it ``must`` be.

        Each bar comes with what is spent on it and its mass. Where it must and there is no way, nothing is bought.
        """
        model, cp = self._model, self._cp
        counts = [variable for variable, _, _ in bought]
        if not bills:
            model.add(cp.LinearExpr.sum(counts) == 0)
            return
        ways: list[Any] = [model.new_constant(1) if must else model.new_bool_var("") for _ in bills]
        if not must:
            for variable in counts:
                model.add(variable == 0).only_enforce_if([~way for way in ways])
        if len(ways) > 1:
            model.add_at_most_one(ways)
        # What is spent and lacking is counted in steps of what all amounts have in common.
        step = math.gcd(
            *(spend for _, spend, _ in bought), *(m for bill in bills for m in (bill.minimum, bill.spend_from))
        )
        for way, bill in zip(ways, bills, strict=True):
            self._terms.append((way, bill.delivery))
            self._drive(way, bill, bought)
            if not bill.least:
                continue
            self._charged = True
            spent = cp.LinearExpr.weighted_sum(counts, [spend // step for _, spend, _ in bought])
            if bill.spend_from:
                model.add(spent >= bill.spend_from // step * way)
            if bill.minimum:
                lacking = model.new_int_var(0, bill.minimum // step, "")
                model.add(lacking + spent >= bill.minimum // step * way)
                self._terms.append((lacking, step))

    def let_off(self, free: FreeCuts, cut: Sequence[tuple[Any, int]]) -> None:
        """Take off the cuts for the carry that a merchant makes free, no more than there are."""
        if not cut:
            return
        self._charged = True
        saved = self._model.new_int_var(0, free.number, "")
        cuts = self._cp.LinearExpr.weighted_sum([bars for bars, _ in cut], [number for _, number in cut])
        self._model.add(saved <= cuts)
        self._terms.append((saved, -free.charge))

    def _drive(self, way: Any, bill: Bill, bought: Sequence[tuple[Any, int, int]]) -> None:
        """Add the trips for what is fetched where an order comes this way: one, and one more for every payload full."""
        if not bill.trip:
            return
        self._terms.append((way, bill.trip))
        if not bill.payload:
            return
        self._charged = True
        step = math.gcd(bill.payload, *(mass for _, _, mass in bought))
        mass = self._cp.LinearExpr.weighted_sum([v for v, _, _ in bought], [mass // step for _, _, mass in bought])
        more = self._model.new_int_var(0, self.MOST_TRIPS, "")
        self._model.add(mass <= bill.payload // step * (more + 1)).only_enforce_if(way)
        self._terms.append((more, bill.trip))

    def least(
        self, below: int, step: int, effort: float, seconds: float, *, at_least: int = 0
    ) -> tuple[cp_model.CpSolver | None, bool]:
        """Solve for less than ``below``; None where nothing was found, and whether that, or the best found, is shown.

        ``step`` divides every cost.
        """
        cp, model = self._cp, self._model
        if (below - 1) // step >= LARGEST_TOTAL:
            return None, False
        total = cp.LinearExpr.weighted_sum([v for v, _ in self._terms], [cost // step for _, cost in self._terms])
        model.add(total <= (below - 1) // step)
        if at_least > 0:
            model.add(total >= ceil_div(at_least, step))
        model.minimize(total)
        solver = cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        # With its linear relaxation in full it decides in hundredths of a second what else takes it minutes.
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = effort
        solver.parameters.max_time_in_seconds = max(seconds, 0.001)
        solver.parameters.catch_sigint_signal = False
        if self._charged:
            # Seen with ortools 9.15: where a minimum order and the objective have terms in common, presolve may lose
            # the best order and call a dearer one optimal. What keeps every plan does not.
            solver.parameters.keep_all_feasible_solutions_in_presolve = True
            solver.parameters.presolve_inclusion_work_limit = 0
        outcome = solver.solve(self._model)
        if outcome in (cp.OPTIMAL, cp.FEASIBLE):
            return solver, bool(outcome == cp.OPTIMAL)
        return None, bool(outcome == cp.INFEASIBLE)
