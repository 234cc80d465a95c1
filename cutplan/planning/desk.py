"""One planning run: groups solved with some offers open, at the prices paid or at a part of them, each but once."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from cutplan.model import Group, Job, Status, StockLength, Workshop, obtainable, within_carry
from cutplan.planning.workers import GroupTask, large_among, processes_for, side_by_side
from cutplan.solving import NO_MULTIPLIERS, Clock, Multipliers, Pace, Parameters, Solved
from cutplan.units import counted

Wanted = Sequence[tuple[int, Sequence[StockLength], int | None]]
"""Groups to be planned: the place of each among the groups, the offers open to it, and from which cost on a plan is
of no use; None where any is."""

Key = tuple[int, tuple[tuple[str, bool], ...], frozenset[tuple[str, Fraction]], bool]
"""The place of a group, its open offers and whether each comes whole, the multipliers other than 1 of their merchants,
and whether to be brief."""


@dataclass
class Desk:
    """What was solved is kept, because sets of merchants share groups.

    ``processes`` is how many helper processes may run at once, 0 for none, None for as many as there are processors;
    ``cluster`` is the address of a scheduler whose workers take large groups instead.
    ``lets_off`` tells that cuts for the carry which an order has free are weighed by a search over all groups.
    """

    job: Job
    groups: tuple[Group, ...]
    parameters: Parameters
    deadline: float
    say: Callable[[str], None]
    processes: int | None = None
    cluster: str = ""
    lets_off: bool = False
    solved: dict[Key, Solved] = field(default_factory=dict)
    stopped_by: str = ""
    pace: Pace = field(default_factory=Pace)
    kept_back: float = 0.0
    """How long a processor takes to lay out and check what is planned so far. [s]"""
    least: float = 0.0
    """How long a plan with a bound of the last group kept a processor busy, for each different part. [s]"""
    kept_at_most: float = math.inf
    """How much time that may take off the searches: of the run, not of each, or the last would leave none. [s]"""

    def solve(
        self,
        wanted: Wanted,
        multipliers: Multipliers = NO_MULTIPLIERS,
        *,
        brief: bool = False,
        shop: Workshop | None = None,
    ) -> list[Solved]:
        """Plan groups; ``brief`` is for a bound that need not be the best where prices count by multipliers.

        Raises KeyboardInterrupt when interrupted before there is a plan of any group, or asked to stop again.

        ``shop`` is the workshop where orders come one way; None where any way is open.
        """
        workshop = shop or self.job.workshop
        keys = [self._key(number, offers, workshop, multipliers, brief) for number, offers, _ in wanted]
        least = replace(
            self.parameters,
            nodes=min(self.parameters.brief_nodes, self.parameters.nodes),
            divided=0,
            listed_first=0,
            listed=0,
        )
        tasks = {
            key: GroupTask(
                group=self.groups[number],
                workshop=workshop,
                offers=tuple(offers),
                parameters=least if key[-1] else self.parameters,
                cutoff=cutoff,
                multipliers=multipliers,
            )
            for key, (number, offers, cutoff) in zip(keys, wanted, strict=True)
            if not self._is_known(key, cutoff)
        }
        apart = list(tasks.values())
        groups = counted(len(apart), "group")
        processes = processes_for(apart, self.processes)
        elsewhere = self.cluster and large_among(apart) > 1
        if (elsewhere or processes) and self.stopped_by != "user":
            begun = time.monotonic()
            if elsewhere:
                from cutplan.planning.cluster import spread

                self.say(f"{groups} on {self.cluster}")
                deadline = begun + self.clock().seconds_left
                answers, stopped_by = spread(apart, self.cluster, deadline, self.say)
            else:
                self.say(f"{groups} in {counted(processes, 'process', 'processes')}")
                kept = self.kept_back, self.kept_at_most
                answers, stopped_by = side_by_side(apart, processes, self.deadline, self.say, kept=kept)
            self.pace.leave_out(time.monotonic() - begun)
            self.stopped_by = stopped_by or self.stopped_by
            self.solved |= {key: answer for key, answer in zip(tasks, answers, strict=True) if answer is not None}
            tasks = {key: task for (key, task), answer in zip(tasks.items(), answers, strict=True) if answer is None}
        for number, (key, task) in enumerate(tasks.items(), start=1):
            self.say(f"{task.group.title}: {counted(task.group.pieces, 'part')}")
            clock = replace(self.clock(waiting=len(tasks) - number), least=self.least * task.size)
            try:
                self.solved[key] = task.run(clock, self.say)
            except KeyboardInterrupt:
                if not self.solved or self.stopped_by == "user":
                    raise
                # With others planned the least for this one, and for those that wait, is soon done.
                self.stopped_by = "user"
                clock = self.clock()
                self.solved[key] = task.run(clock, self.say)
            self.heed(clock)
            self.kept_back, self.least = clock.kept_back, clock.least / task.size
        return [self.solved[key] for key in keys]

    @staticmethod
    def _key(
        number: int, offers: Sequence[StockLength], workshop: Workshop, multipliers: Multipliers, brief: bool
    ) -> Key:
        names = {offer.merchant for offer in offers}
        parts = frozenset((name, x) for name, x in multipliers.items() if name in names and x != 1)
        whole = tuple((offer.id, within_carry(offer, workshop)) for offer in offers)
        return number, whole, parts, brief and bool(parts)

    def clock(self, waiting: int = 0) -> Clock:
        """A clock for one search, after which so many groups are ``waiting`` for theirs."""
        return replace(
            Clock.until(self.deadline, self.parameters),
            waiting=waiting,
            pace=self.pace,
            kept_back=self.kept_back,
            at_most=self.kept_at_most,
            stopped_by=self.stopped_by if self.stopped_by == "user" else "",
        )

    def heed(self, clock: Clock) -> None:
        """Note that a search was stopped by what decides the whole run."""
        if clock.stopped_by in ("user", "time limit"):
            self.stopped_by = clock.stopped_by

    def _is_known(self, key: Key, cutoff: int | None) -> bool:
        known = self.solved.get(key)
        # A bound at the cutoff is all that was asked for; without one the same search would show no more.
        return known is not None and (known.proof.status is not Status.NOT_PROVEN or known.proof.bound >= (cutoff or 0))

    def charging(self) -> list[str]:
        """Merchants with a fixed charge from which a group planned by money could buy, by name."""
        offers = [offer for group in self.groups if group.priced for offer in self.open_offers(group, None)]
        return [name for name in sorted({offer.merchant for offer in offers}) if self.job.workshop.charges(name)]

    def open_offers(
        self, group: Group, charging: frozenset[str] | None, shop: Workshop | None = None
    ) -> list[StockLength]:
        """Offers that can be brought home, of merchants in ``charging`` or without fixed charges; None for all.

        ``shop`` is the workshop where orders come one way; None where any way is open.
        """
        workshop = (shop or self.job.workshop).at_saw(group.saw)
        return self.sold_by([offer for offer in group.offers if obtainable(offer, workshop, group.parts)], charging)

    def sold_by(self, offers: Sequence[StockLength], charging: frozenset[str] | None) -> list[StockLength]:
        """Those of some offers whose merchants are in ``charging`` or have no fixed charges; None for all."""
        return [
            offer
            for offer in offers
            if charging is None or offer.merchant in charging or offer.merchant not in self._with_charges
        ]

    @cached_property
    def _with_charges(self) -> frozenset[str]:
        names = {offer.merchant for group in self.groups for offer in group.offers}
        return frozenset(name for name in names if self.job.workshop.charges(name))
