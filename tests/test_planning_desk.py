"""Groups solved once for each set of offers and multipliers of their prices."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.checking import check
from cutplan.model import Job, Merchant, Status, groups_of
from cutplan.planning import plan_job
from cutplan.planning.desk import Desk
from cutplan.planning.workers import GroupTask
from cutplan.solving import Clock, Parameters, Solved
from cutplan.units import CURRENCY
from tests import builders


def desk_for(job: Job, said: list[str] | None = None) -> Desk:
    say = (lambda text: None) if said is None else said.append
    return Desk(job, groups_of(job), Parameters(), time.monotonic() + 60, say)


def two_merchants() -> Job:
    """Two bars of 1000, for 10 at the Depot, which delivers for 3, or for 20 at the Yard."""
    offers = [builders.offer("D", 1000, 10, merchant="Depot"), builders.offer("Y", 1000, 20)]
    depot = Merchant(name="Depot", delivery=3 * CURRENCY)
    return builders.job([builders.part("A", 4, 500)], offers, merchants=[depot])


def test_which_offers_are_open() -> None:
    desk = desk_for(two_merchants())
    assert [offer.id for offer in desk.open_offers(desk.groups[0], None)] == ["D", "Y"]
    assert [offer.id for offer in desk.open_offers(desk.groups[0], frozenset())] == ["Y"]
    assert [offer.id for offer in desk.open_offers(desk.groups[0], frozenset(["Depot"]))] == ["D", "Y"]


def test_who_charges() -> None:
    assert desk_for(two_merchants()).charging() == ["Depot"]
    far = replace(two_merchants(), workshop=replace(two_merchants().workshop, longest_carry=builders.mm(500)))
    assert desk_for(far).charging() == []


def test_prices_count_by_the_multipliers_of_their_merchants() -> None:
    desk = desk_for(two_merchants())
    offers = desk.groups[0].offers
    costs = [desk.solve([(0, offers, None)], {"Depot": x})[0].cost for x in (Fraction(1), Fraction(1, 3), Fraction(0))]
    assert costs == [20 * CURRENCY, 2 * 3_333_333, 0]
    (half,) = desk.solve([(0, offers[1:], None)], {"Depot": Fraction(1, 2)})
    assert half.cost == 40 * CURRENCY


def test_a_group_is_solved_once_for_the_same_offers_and_multipliers() -> None:
    said: list[str] = []
    desk = desk_for(two_merchants(), said)
    offers = desk.groups[0].offers
    for multipliers in ({}, {"Depot": Fraction(1)}, {"Elsewhere": Fraction(1, 2)}, {"Depot": Fraction(1, 2)}):
        desk.solve([(0, offers, None)], multipliers)
    assert len(desk.solved) == 2
    told = [text.split(": ")[-1] for text in said]
    assert told == ["4 parts", "20.00 so far", "4 parts"], "at half prices no plan comes to anything that is paid"


def test_a_brief_search_is_kept_apart_and_made_at_multipliers_alone() -> None:
    desk = desk_for(two_merchants())
    offers = desk.groups[0].offers
    desk.solve([(0, offers, None)], brief=True)
    assert [brief for *_, brief in desk.solved] == [False]
    for brief in (True, False):
        (solved,) = desk.solve([(0, offers, None)], {"Depot": Fraction(1, 2)}, brief=brief)
        assert solved.proof.status is Status.RECHECKED
    assert sorted(brief for *_, brief in desk.solved) == [False, False, True]


def three_groups() -> Job:
    sections = [builders.square_tube(side) for side in (40, 50, 60)]
    return builders.job(
        [builders.part(f"M{n}", 4, 500 + 30 * n, section=each) for n, each in enumerate(sections)],
        [builders.offer(f"P{n}", 1000, 10, section=each) for n, each in enumerate(sections)],
    )


def stopping_at(calls: set[int], monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Ctrl-C comes while searches of these numbers, from 1, begin; what is given counts them."""
    begun: list[int] = []
    run = GroupTask.run

    def stopped(self: GroupTask, clock: Clock, say: Callable[[str], None]) -> Solved:
        begun.append(len(begun) + 1)
        if begun[-1] in calls:
            raise KeyboardInterrupt
        return run(self, clock, say)

    monkeypatch.setattr(GroupTask, "run", stopped)
    return begun


def test_a_stop_in_a_group_that_has_no_plan_yet_leaves_those_of_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    begun = stopping_at({2}, monkeypatch)
    plan = plan_job(three_groups(), processes=0)
    assert check(three_groups(), plan) == ()
    assert plan.stopped_by == "user"
    assert begun == [1, 2, 3, 4], "the second is begun once more"
    assert [group.proof.rounds > 0 for group in plan.groups[1:]] == [False, False]


def test_a_group_is_told_how_long_the_one_before_took_for_as_many_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first has one part and takes 3 s, the second has four: 12 s; it takes 2, and so one part of the third 0.5."""
    told: list[float] = []
    took = iter((3.0, 2.0, 9.0))
    run = GroupTask.run

    def watched(self: GroupTask, clock: Clock, say: Callable[[str], None]) -> Solved:
        told.append(clock.least)
        solved = run(self, clock, say)
        clock.least = next(took)
        return solved

    monkeypatch.setattr(GroupTask, "run", watched)
    job = three_groups()
    more = [builders.part(f"N{n}", 1, 300 + n, section=builders.square_tube(50)) for n in range(3)]
    plan_job(replace(job, parts=(*job.parts, *more)), processes=0)
    assert told == [0.0, 12.0, 0.5]


@pytest.mark.parametrize("calls", [{1}, {2, 3}])
def test_a_stop_before_any_plan_or_once_more_ends_all(calls: set[int], monkeypatch: pytest.MonkeyPatch) -> None:
    stopping_at(calls, monkeypatch)
    with pytest.raises(KeyboardInterrupt):
        plan_job(three_groups(), processes=0)
