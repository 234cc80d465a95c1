"""All groups of an order at once: what their LPs cost at multipliers of the merchants' prices, and whole plans for all.

A merchant's bill for bars is the larger of minimum order m and spend s, at least
x*s + (1 - x)*m for every multiplier x from 0 to 1. With bars priced at x times
their price the groups stand alone, and what they cost at least bounds the order.
A pattern whose reduced cost at those prices is more than the gap is in no
cheaper plan of the order, so that where the others can be listed for all groups
an integer program decides the order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf

from cutplan.model import Bill, Group, StockLength, Workshop
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.enumeration import enumerate_patterns, most_waste
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import Chosen, FreeCuts, GroupColumns, may_ask, whole_order
from cutplan.solving.master import Column, columns_of
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, without_surplus
from cutplan.solving.solver_pieces import Pattern
from cutplan.solving.whole_numbers import Multipliers, instance_of


@dataclass(frozen=True)
class GroupLp:
    """The LP of one group at some prices: ``least`` is what the group costs at least. [cost unit]"""

    generator: ColumnGenerator
    relaxation: Relaxation

    @property
    def least(self) -> float:
        """A little off, as floats are."""
        return self.relaxation.bound + self.generator.instance.outside


@dataclass(frozen=True)
class OrderLp:
    """The LPs of all groups at multipliers.

    ``bound`` is what the order costs at least by them, and ``spends`` what their solutions spend at every merchant
    with a minimum order. [cost unit]
    """

    multipliers: Multipliers
    groups: tuple[GroupLp, ...]
    bound: float
    spends: Mapping[str, float]

    @property
    def leasts(self) -> list[float]:
        """What each group costs at least. [cost unit]"""
        return [group.least for group in self.groups]


class Order:
    """Groups planned by money with some offers open.

    ``charging`` are the merchants with a fixed charge, ``must`` those of them that are bought from, each with how it
    bills; None leaves open which are, and then no minimum order counts for a bound. ``trips`` is what driving for all
    that is bought costs at least. Bounds count every cut for the carry at its charge, plans those ``free`` at nothing.
    """

    def __init__(
        self,
        groups: Sequence[tuple[Group, Sequence[StockLength]]],
        workshop: Workshop,
        charging: Sequence[str],
        must: Sequence[Bill] | None,
        parameters: Parameters,
        clock: Clock,
        trips: int = 0,
        free: Mapping[str, FreeCuts] | None = None,
    ) -> None:
        self._groups = groups
        self._workshop = workshop
        self._charging = charging
        self._must = must
        self._trips = trips
        self._free = free or {}
        # A bar more, or a dearer one, may be worth having where it reaches the sum from which a bill is smaller; then
        # no bar of a plan is one that only surplus parts would be cut from.
        ways = must if must is not None else [bill for name in charging for bill in workshop.bills(name)]
        self._every_set = any(bill.spend_from for bill in ways)
        self.parameters = parameters
        self.clock = clock
        self.instances = [instance_of(group, workshop, offers, parameters) for group, offers in groups]
        # Offers come first among the sources of an instance, offcuts last.
        offcuts = [len(group.offcuts) for group, _ in groups]
        self._merchants = [
            [o.merchant for o in offers] + [""] * n for (_, offers), n in zip(groups, offcuts, strict=True)
        ]
        self._spends = [
            [o.bar_price or 0 for o in offers] + [0] * n for (_, offers), n in zip(groups, offcuts, strict=True)
        ]
        self._masses = [[o.mass for o in offers] + [0] * n for (_, offers), n in zip(groups, offcuts, strict=True)]
        self._known: list[dict[Pattern, None]] = [{} for _ in groups]

    @property
    def offers(self) -> list[Sequence[StockLength]]:
        """The offers open to each group, at the prices paid."""
        return [offers for _, offers in self._groups]

    @property
    def bills(self) -> tuple[Bill, ...]:
        """How the merchants bill that are bought from in every plan."""
        return tuple(self._must or ())

    @property
    def minimums(self) -> dict[str, int]:
        """What merchants that are bought from in every plan are paid for bars at least."""
        return {bill.merchant: bill.least for bill in self.bills if bill.least}

    @property
    def deliveries(self) -> int:
        """What deliveries by the merchants that are bought from in every plan cost, and trips to them at least."""
        return sum(bill.delivery for bill in self.bills) + self._trips

    @property
    def saved(self) -> int:
        """What cuts for the carry that are free save at most. [cost unit]"""
        return sum(free.number * free.charge for free in self._free.values())

    def know(self, plans: Sequence[Sequence[PatternUse]]) -> None:
        """Remember the patterns of a plan of each group."""
        for known, plan in zip(self._known, plans, strict=True):
            known.update(dict.fromkeys(bars.pattern for bars in plan))

    def at(self, multipliers: Multipliers) -> OrderLp | None:
        """Solve the LPs at multipliers; None when a limit struck."""
        solved = []
        spends = dict.fromkeys(self.minimums, 0.0)
        for place, (group, offers) in enumerate(self._groups):
            instance = instance_of(group, self._workshop, offers, self.parameters, multipliers)
            # Leaving a part out costs more than any plan of use.
            generator = ColumnGenerator(
                instance, Incumbent(instance).cutoff() + instance.most_earned, self.clock, self.parameters
            )
            for pattern in self._known[place]:
                # Sixty merchants have hundreds of lengths.
                if self.clock.struck():
                    return None
                for index in range(len(instance.sources)):
                    generator.add(index, pattern)
            relaxation = generator.relax(generator.root_ranges, instance.demand, inf, self.parameters.rounds)
            if relaxation is None or self.clock.struck():
                return None
            self._known[place].update(dict.fromkeys(column.pattern for column in generator.master.columns))
            for column, use in zip(generator.master.columns, relaxation.solution.uses, strict=False):
                name = self._merchants[place][column.source]
                if name in spends:
                    spends[name] += use * self._spends[place][column.source]
            solved.append(GroupLp(generator, relaxation))
        orders = sum(float((1 - multipliers.get(name, Fraction(1))) * m) for name, m in self.minimums.items())
        bound = sum(lp.least for lp in solved) + orders + self.deliveries
        return OrderLp(multipliers, tuple(solved), bound, spends)

    def cheapest_known(self, lp: OrderLp, below: int) -> list[list[PatternUse]] | None:
        """The best plan of every group over the patterns met so far that together cost less than ``below``.

        Where they are too many, those that pay best at the multipliers of ``lp``.
        """
        ranked: list[tuple[float, int, int, Pattern]] = []
        for place, (group, known) in enumerate(zip(lp.groups, self._known, strict=True)):
            instance = group.generator.instance
            for index, source in enumerate(instance.sources):
                for pattern in known if source.most else ():
                    if instance.allowed(index, pattern):
                        column = Column(index, pattern, instance.cost(index, pattern))
                        # A source whose best bar does not pay is not let off what it lacks.
                        above = group.relaxation.reduced_cost(column) + max(0.0, group.relaxation.least_reduced[index])
                        ranked.append((round(above, 3), place, index, pattern))
        columns: list[list[Column]] = [[] for _ in self.instances]
        for _, place, index, pattern in sorted(ranked)[: self.parameters.whole_columns]:
            columns[place] += columns_of(self.instances[place], index, pattern)
        return self._whole(columns, below, self.parameters.node_effort, exactly=False)[0]

    def decide(self, lp: OrderLp, below: int, step: int) -> tuple[list[list[PatternUse]] | None, str]:
        """List every pattern that a plan of the order for less than ``below`` could use, and decide it by a program.

        ``step`` is what the cost of every order is a multiple of.

        Returns
        -------
        tuple
            A cheaper plan of every group, None where none was found; and what stopped the search, blank where nothing
            cheaper than that plan, or than ``below`` where there is none, exists.
        """
        # The gap of the order is that of every pattern: all else costs its bound at least, less what free cuts save.
        gap = below + self.saved - step - lp.bound + self.parameters.gap_slack * abs(below)
        columns: list[list[Column]] = []
        left = self.parameters.listed
        for instance, group in zip(self.instances, lp.groups, strict=True):
            patterns = self._listed(group, gap, left)
            if patterns is None:
                return None, "pattern limit"
            # Listed at the prices of the LP, weighed by the program at those paid.
            columns.append([c for index, pattern in patterns for c in columns_of(instance, index, pattern)])
            left -= len(columns[-1])
        # Where left overs have a value a bar may be worth buying for its left over alone; it is in no plan.
        plans, ended = self._whole(columns, below, self.parameters.listed_effort, exactly=True)
        ended &= all(group.generator.lists_all for group in lp.groups)
        return plans, "" if ended else "effort limit"

    def _listed(self, lp: GroupLp, gap: float, most: int) -> list[tuple[int, Pattern]] | None:
        generator, relaxation = lp.generator, lp.relaxation
        instance = generator.instance
        if not generator.lists_all or most <= 0:
            return None
        left = [source.most for source in instance.sources]
        below = int(relaxation.bound + gap) + instance.cost_step + 1
        waste = most_waste(instance, instance.demand, left, below)
        columns = enumerate_patterns(
            instance,
            generator.listing_grid,
            relaxation.duals,
            relaxation.least_reduced,
            gap,
            waste,
            most,
            self.clock.struck,
            self.parameters,
            every_set=self._every_set,
        )
        return None if columns is None else list(dict.fromkeys((c.source, c.pattern) for c in columns))

    def _whole(
        self, columns: Sequence[Sequence[Column]], below: int, effort: float, *, exactly: bool
    ) -> tuple[list[list[PatternUse]] | None, bool]:
        if not may_ask(self.clock, self.parameters.loading):
            return None, False
        choices = [
            GroupColumns(
                instance,
                some,
                exactly and (instance.valued or self._every_set),
                *(merchants, spends, masses),
                [_carry_cuts(instance, column) if self._free else 0 for column in some],
            )
            for instance, some, merchants, spends, masses in zip(
                self.instances, columns, self._merchants, self._spends, self._masses, strict=True
            )
        ]
        charging = {
            name: self._workshop.bills(name)
            if self._must is None
            else [bill for bill in self._must if bill.merchant == name]
            for name in self._charging
        }
        must = self._must is not None
        chosen, ended = whole_order(choices, charging, self._free, must, below, effort, self.clock.seconds_left)
        if not ended:
            self.clock.struck()
        if chosen is None:
            return None, ended
        return [_plan(instance, some) for instance, some in zip(self.instances, chosen, strict=True)], ended


def _carry_cuts(instance: Instance, column: Column) -> int:
    parted = instance.space.parted(column.source, column.pattern)
    return len(parted.ordered) - 1 if parted else 0


def _plan(instance: Instance, chosen: Chosen) -> list[PatternUse]:
    """Bars without parts beyond what is wanted. They stay on the bars chosen, of which some serve a minimum order."""
    return without_surplus(instance, [PatternUse(column.source, column.pattern, count) for column, count in chosen])
