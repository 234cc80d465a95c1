"""A whole job planned: goals, numbering, why there is no plan, what stopped it, and what the carry forgoes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.checking import check
from cutplan.model import Goal, Job, Merchant, Plan, Status, groups_of
from cutplan.planning import plan_job, purchase
from cutplan.planning.desk import Desk
from cutplan.problems import NoPlan
from cutplan.solving import Parameters
from cutplan.units import CURRENCY
from tests import builders
from tests.merchant_jobs import planned, terms

A = builders.part("A", 4, 500)
"""Four parts of 500: two bars of 1000."""


def test_groups_without_prices_are_planned_by_mass_and_cost_nothing() -> None:
    other = builders.square_tube(50)
    parts = [A, builders.part("B", 3, 400, section=other)]
    offers = [
        builders.offer("Y", 1000, 11),
        builders.offer("D2", 1000, None, merchant="Depot", section=other),
        builders.offer("D3", 1250, 3, merchant="Depot", section=other),
    ]
    job = builders.job(parts, offers, [builders.offcut("K", 450, section=other)], merchants=[terms("Depot", 99)])
    plan = planned(job)
    assert [group.goal for group in plan.groups] == [Goal.MONEY, Goal.MASS]
    assert plan.cost == 22 * CURRENCY, "no delivery: nothing priced is bought at the Depot"
    by_mass = plan.groups[1]
    # One part from the offcut, two from the bar of 1000, which is 3 kg.
    assert sorted(bar.source for bar in by_mass.bars) == ["D2", "K"]
    assert sum(bar.cost for bar in by_mass.bars) == 3_000_000
    assert by_mass.proof.status is Status.RECHECKED
    assert all(len(case.proofs) == 1 for case in plan.cases)


def test_a_job_of_unpriced_groups_alone_costs_nothing_and_says_so() -> None:
    plan = plan_job(builders.job([A], [builders.offer("Y", 1000, None)]))
    assert (plan.cost, plan.bound, plan.status) == (0, 0, Status.RECHECKED)
    assert [case.proofs for case in plan.cases] == [()]


def test_bars_are_numbered_over_the_whole_plan() -> None:
    parts = [A, builders.part("B", 3, 400, section=builders.square_tube(50))]
    offers = [builders.offer("Y", 1000, 11), builders.offer("Y2", 1000, 11, section=builders.square_tube(50))]
    job = builders.job(parts, offers)
    plan = planned(job)
    assert [bar.number for bar in plan.bars] == [1, 2, 3, 4]
    assert [group.title for group in plan.groups] == [group.title for group in groups_of(job)]


LONG = builders.offer("L", 2000, 15)


def test_stock_too_long_to_carry_is_left_out_and_what_it_would_save_is_a_plan_of_its_own() -> None:
    job = builders.job([A], [builders.offer("Y", 1000, 10), LONG], longest_carry=1500)
    plan = planned(job)
    assert plan.cost == 20 * CURRENCY
    assert plan.if_delivered is not None
    assert [bar.source for bar in plan.if_delivered.bars] == ["L"]
    assert plan.money_forgone == 5 * CURRENCY
    assert all("L" not in proof.sources for case in plan.cases for proof in case.proofs)


def test_what_delivery_would_save_plans_only_the_groups_with_stock_too_long_to_carry_again() -> None:
    other = builders.square_tube(50)
    parts = [A, builders.part("B", 4, 500, section=other)]
    offers = [builders.offer("Y", 1000, 10), LONG, builders.offer("Y2", 1000, 10, section=other)]
    said: list[str] = []
    job = builders.job(parts, offers, longest_carry=1500)
    plan = plan_job(job, progress=said.append, processes=0)
    assert plan.if_delivered is not None
    begun = [sum(text.startswith(f"{group.title}: 4 parts") for text in said) for group in groups_of(job)]
    assert begun == [2, 1]


def test_a_merchant_that_delivers_brings_any_length() -> None:
    offers = [builders.offer("Y", 1000, 10), LONG]
    job = builders.job([A], offers, longest_carry=1500, merchants=[terms("Yard", delivers=True)])
    plan = planned(job)
    assert plan.cost == 15 * CURRENCY
    assert plan.if_delivered is None


def test_nothing_is_forgone_where_only_longer_left_overs_would_be_worth_more() -> None:
    """Two metres for 11 leave 1001 mm more than one for 10, which would be worth 2: none buys steel to lay it by."""
    dear = builders.offer("L", 2001, 11)
    part = builders.part("A", 1, 900)
    job = builders.job(
        [part], [builders.offer("Y", 1000, 10), dear], longest_carry=1500, keep=100, offcut_value_per_mm=2_000
    )
    plan = planned(job)
    assert plan.cost == 10 * CURRENCY - 100 * 2_000
    assert plan.if_delivered is None


def test_nothing_is_forgone_where_the_long_stock_is_no_cheaper() -> None:
    dear = builders.offer("L", 2000, 25)
    assert plan_job(builders.job([A], [builders.offer("Y", 1000, 10), dear], longest_carry=1500)).if_delivered is None


@pytest.mark.parametrize(("delivery", "minimum", "saving"), [(0, 0, 5), (3, 0, 2), (5, 0, 0), (0, 18, 2), (0, 20, 0)])
def test_what_the_merchant_of_the_long_stock_charges_is_counted(delivery: int, minimum: int, saving: int) -> None:
    """Two bars of 1000 at the Yard are 20, the Depot's bar of 2000 is 15 and what the Depot charges."""
    offers = [builders.offer("Y", 1000, 10), builders.offer("L", 2000, 15, merchant="Depot")]
    job = builders.job([A], offers, longest_carry=1500, merchants=[terms("Depot", delivery, minimum)])
    plan = planned(job)
    assert plan.money_forgone == saving * CURRENCY
    assert (plan.if_delivered is None) == (saving == 0)


def test_a_minimum_order_no_longer_met_without_the_carry_is_counted() -> None:
    """Both tubes make up the Depot's minimum order of 34; with a long bar of the Yard for one of them 14 is lost."""
    other = builders.square_tube(50)
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("D2", 1000, 7, merchant="Depot", section=other),
        builders.offer("L2", 2000, 12, section=other),
    ]
    parts = [A, builders.part("B", 4, 500, section=other)]
    job = builders.job(parts, offers, longest_carry=1500, merchants=[terms("Depot", minimum=34)])
    plan = planned(job)
    assert plan.cost == 34 * CURRENCY
    assert plan.if_delivered is None


def test_what_is_not_proven_forgoes_nothing() -> None:
    job = replace(hard(), offers=(*hard().offers, builders.offer("L", 2000, 1)))
    job = replace(job, workshop=replace(job.workshop, longest_carry=builders.mm(1500)))
    assert plan_job(job).money_forgone > 0
    short = plan_job(job, parameters=Parameters(nodes=1, listed=0))
    assert short.status is Status.NOT_PROVEN
    assert short.if_delivered is None


def test_what_is_forgone_is_mass_where_mass_is_the_goal() -> None:
    parts = [builders.part("A", 3, 500)]
    offers = [builders.offer("Y", 1000, None), builders.offer("L", 1501, None)]
    job = builders.job(parts, offers, longest_carry=1500)
    plan = planned(job)
    assert plan.mass_forgone == {plan.groups[0].title: 6_000_000 - 4_503_000}


@pytest.mark.parametrize(
    ("parts", "offers", "settings", "message"),
    [
        ([builders.part("A", 1, 900), builders.part("B", 1, 1200)], [builders.offer("Y", 1000, 10)], {}, "cut into B "),
        ([A], [builders.offer("Y", 1000, 10, available=1)], {}, "too few for the 4 parts"),
        ([A], [LONG], {"longest_carry": 1500}, "longer than the longest carry of 1.5 m"),
        ([builders.part("A", 1, 100)], [builders.offer("Y", 190, 1)], {"safe_hold": 120}, "safe hold"),
        ([A], [], {}, "nothing of it is on sale, nor on the rack."),
        # 1600 and two trims of 10 are in a length of 2000, not in a piece of 1500 of it, nor in 1500 that is on sale.
        (
            [A, builders.part("B", 1, 1600)],
            [LONG, builders.offer("Y", 1500, 1)],
            {"longest_carry": 1500, "end_trim": 10, "merchants": [Merchant(name="Yard", cuts_to_carry=True)]},
            "no bar that can be carried, up to 1.5 m, can be cut into B",
        ),
    ],
)
def test_why_there_is_no_plan(parts, offers, settings, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(NoPlan, match=message) as refused:
        plan_job(builders.job(parts, offers, **settings))
    assert str(refused.value).startswith("SHS 40x40x3")


def test_the_rack_alone_may_not_do() -> None:
    job = builders.job([builders.part("A", 2, 500)], [], [builders.offcut("K1", 600)])
    with pytest.raises(NoPlan, match="nothing of it is on sale, and what lies on the rack is not enough"):
        plan_job(job)


def hard(*, delivery: int = 0) -> Job:
    """A small job that only listing closes."""
    wanted = [("A", 4, 37), ("B", 4, 22), ("C", 3, 54), ("D", 2, 57)]
    offers = [builders.offer("P1", 77, 19), builders.offer("P2", 132, 24, merchant="Depot")]
    offcuts = [builders.offcut("K1", 41), builders.offcut("K2", 88)]
    parts = [builders.part(*part) for part in wanted]
    return builders.job(parts, offers, offcuts, merchants=[terms("Depot", delivery=delivery)])


def test_the_time_limit_is_named_and_the_plan_is_whole() -> None:
    job = hard(delivery=3)
    plan = plan_job(job, time_limit=-1.0)
    assert plan.stopped_by == "time limit"
    assert check(job, plan) == ()
    assert plan.status is Status.NOT_PROVEN
    assert plan.bound <= 89 * CURRENCY <= plan.cost
    assert [(case.merchants, case.and_more) for case in plan.cases] == [((), True)]


def test_counters_bind_for_every_group() -> None:
    job = hard()
    assert planned(job).status is Status.RECHECKED
    plan = plan_job(job, parameters=Parameters(nodes=1, listed=0))
    assert check(job, plan) == ()
    assert plan.status is Status.NOT_PROVEN
    assert plan.groups[0].proof.stopped_by == "node limit"
    assert plan.stopped_by == "", "neither clock nor user decided anything: the plan is the same everywhere"


def test_progress_names_the_group() -> None:
    said: list[str] = []
    plan_job(builders.job([A], [builders.offer("Y", 1000, 10)]), progress=said.append)
    assert said[0] == "SHS 40x40x3 to EN 10219-2, any grade, black: 4 parts"


SOLD = [(6000, 60), (2950, 33)]


def test_a_stop_while_cuts_are_weighed_that_an_order_has_free_leaves_the_best_plan(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Fetched it is two lengths at 60 with both cuts free; with each charged at first, four at 33 were less."""
    yard = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=8 * CURRENCY, carry_cuts_free=2)
    offers = [builders.offer(f"#{n}", length, price, merchant="Yard") for n, (length, price) in enumerate(SOLD)]
    job = builders.job([builders.part("A", 4, 2900)], offers, longest_carry=3000, merchants=[yard])
    begun, planned_at = 0, purchase._planned

    def stopped(desk: Desk) -> Plan:
        nonlocal begun
        begun += 1
        if begun == 2:
            raise KeyboardInterrupt
        return planned_at(desk)

    monkeypatch.setattr(purchase, "_planned", stopped)
    plan = plan_job(job)
    assert begun == 2
    assert check(job, plan) == ()
    assert plan.stopped_by == "user"
