"""The incumbent: the best plan found so far, and the cutoff that a better one must stay below."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cutplan.solving.certificate import round_up
from cutplan.solving.exchange import improved
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, covers, moved, tidy, total_cost, without_surplus
from cutplan.solving.using_up import left_lying


class Incumbent:
    """Keeps the cheapest plan it is offered.

    ``cutoff`` is a cost from which on a plan is of no use, so that proving a
    bound that high ends a search too. [cost unit]
    """

    def __init__(self, instance: Instance, cutoff: int | None = None) -> None:
        self._instance = instance
        # Costs come in steps, so that to stay below a cutoff is to stay below the next step from there.
        self._given = None if cutoff is None else round_up(instance, cutoff)
        self.plan: list[PatternUse] | None = None
        self.cost = 0

    def offer(self, plan: Sequence[PatternUse] | None) -> None:
        """Keep a plan when it is whole and cheaper than the best so far."""
        if plan is None or not covers(self._instance, plan):
            return
        lean = without_surplus(self._instance, plan)
        if lean != plan and not covers(self._instance, lean):
            # What was taken off as too much was what the vice held.
            return
        tidied = moved(self._instance, lean)
        cost = total_cost(self._instance, tidied)
        if self.plan is None or cost < self.cost:
            self.plan, self.cost = tidied, cost

    def improve(self, stopped: Callable[[], bool], parameters: Parameters) -> None:
        """Follow the second goals until ``stopped``, the money staying as low as it is."""
        if self.plan is not None and not stopped():
            plan = improved(self._instance, self.plan, stopped, parameters)
            tidied = tidy(self._instance, plan)
            # The shortest bars that serve are not always those that use the rack up.
            self.plan = min(tidied, plan, key=self._lying)
            self.cost = total_cost(self._instance, self.plan)

    def _lying(self, plan: Sequence[PatternUse]) -> tuple[int, int]:
        lying = sum(bars.count * left_lying(self._instance, bars.source, bars.pattern) for bars in plan)
        return total_cost(self._instance, plan), lying

    def cutoff(self) -> int:
        """The cost that a plan must stay below to be of use. [cost unit]"""
        known = [self.cost] if self.plan is not None else []
        if self._given is not None:
            known.append(self._given)
        return min(known, default=self._beyond())

    def fathoms(self, bound: int) -> bool:
        """Is no plan of use left in a node of this bound?"""
        return bound >= self.cutoff()

    def sets_cutoff(self) -> bool:
        """Is the cutoff the cost of the plan itself?"""
        return self.plan is not None and self.cost == self.cutoff()

    def _beyond(self) -> int:
        """More than any sensible plan costs: a bar of the dearest kind for every part, and one more."""
        dearest = max([source.price for source in self._instance.sources] + [1])
        # No sensible plan buys more bars than there are parts.
        return dearest * (sum(self._instance.demand) + 1)
