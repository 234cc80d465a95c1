"""The best plan found so far, and the cost that a better one must stay below."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cutplan.solving.bound import round_up
from cutplan.solving.instance import Instance
from cutplan.solving.quick import Bars, covers, tidy, total_cost
from cutplan.solving.second import improved


class Incumbent:
    """Keeps the cheapest plan it is offered.

    ``enough`` is a cost from which on a plan is of no use, so that proving a
    bound that high ends a search too. [cost unit]
    """

    def __init__(self, instance: Instance, enough: int | None = None) -> None:
        self._instance = instance
        # Costs come in steps, so that below ``enough`` is below the next step from there.
        self._enough = None if enough is None else round_up(instance, enough)
        self.plan: list[Bars] | None = None
        self.cost = 0

    def offer(self, plan: Sequence[Bars] | None) -> None:
        """Keep a plan when it is whole and cheaper than the best so far."""
        if plan is None or not covers(self._instance, plan):
            return
        tidied = tidy(self._instance, plan)
        if not covers(self._instance, tidied):
            # What was taken off as too much was what the vice held.
            return
        cost = total_cost(self._instance, tidied)
        if self.plan is None or cost < self.cost:
            self.plan, self.cost = tidied, cost

    def improve(self, stopped: Callable[[], bool]) -> None:
        """Follow the second goals until ``stopped``, the money staying as low as it is."""
        if self.plan is not None:
            self.plan = tidy(self._instance, improved(self._instance, self.plan, stopped))
            self.cost = total_cost(self._instance, self.plan)

    def mark(self) -> int:
        """The cost that a plan must stay below to be of use. [cost unit]"""
        marks = [self.cost] if self.plan is not None else []
        if self._enough is not None:
            marks.append(self._enough)
        return min(marks, default=self._beyond())

    def settled(self, bound: int) -> bool:
        """Does the bound of a case leave no room for a useful plan?"""
        return bound >= self.mark()

    def is_marked(self) -> bool:
        """Is the mark the cost of the plan itself?"""
        return self.plan is not None and self.cost == self.mark()

    def _beyond(self) -> int:
        """More than any sensible plan costs: a bar of the dearest kind for every part, and one more."""
        dearest = max([source.price for source in self._instance.sources] + [1])
        return dearest * (sum(self._instance.demand) + 1)
