"""The plan's money: charges, cases for every choice of merchants, cost, bound and status."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.checking.amounts import (
    charging_merchants,
    money_step,
    multiplier_failures,
    offers_needed,
    plan_cost,
    review_money,
    status_failures,
    uncovered,
)
from cutplan.model import Goal, Job, Merchant, MerchantCase, Multiplier, Plan, Proof, Status, Work, groups_of
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests.builders import job, offer, part, square_tube
from tests.first_fit import first_fit_plan

NORTH = Merchant(name="Northgate", delivery=5 * CURRENCY, minimum_order=40 * CURRENCY)
YARD = Merchant(name="Yard", delivery=2 * CURRENCY)


def charged(**other: Any) -> Job:
    """Two whole bars of 10, each merchant sells them; first fit buys from Northgate, which is listed first."""
    return job(
        [part("P", 2, 1000)],
        [offer("A", 1000, 10, merchant="Northgate"), offer("B", 1000, 10, merchant="Yard"), offer("C", 1000, 99)],
        merchants=[NORTH, YARD],
        **other,
    )


def case(*merchants: str, and_more: bool = False) -> MerchantCase:
    return MerchantCase(merchants=merchants, and_more=and_more, proofs=(), charges=0, bound=0)


def told(tiny: Job, plan: Plan, from_leaves: int | None = None) -> list[str]:
    """What is said, the leaves of every proof giving its stated bound unless stated otherwise."""

    def bounded(_: int, proof: Proof, at: MerchantCase) -> int | None:
        return proof.bound if from_leaves is None else from_leaves

    return review_money(tiny, groups_of(tiny), plan, bounded)[0]


def test_cost_with_delivery_and_shortfall() -> None:
    """2 bars of 10, 5 for delivery and 20 short of 40."""
    tiny = charged()
    plan = first_fit_plan(tiny)
    assert plan_cost(tiny, groups_of(tiny), plan) == 45 * CURRENCY
    assert told(tiny, plan) == []


FREE = replace(NORTH, free_delivery_from=20 * CURRENCY)


def free_plan(tiny: Job) -> Plan:
    plan = plan_job(tiny)
    assert [(case.merchants, case.delivered_free) for case in plan.cases][-1] == (("Northgate",), ("Northgate",))
    assert check(tiny, plan) == ()
    return plan


def test_free_delivery() -> None:
    """Two bars of 10 reach 20 and are 20 short of 40; for less the 5 are paid."""
    offers = [offer("A", 1000, 10, merchant="Northgate"), offer("C", 1000, 99)]
    for quantity, cost in ((2, 40), (1, 45)):
        tiny = job([part("P", quantity, 1000)], offers, merchants=[FREE])
        assert free_plan(tiny).cost == plan_cost(tiny, groups_of(tiny), free_plan(tiny)) == cost * CURRENCY


def test_free_delivery_has_a_case_of_its_own() -> None:
    tiny = job(
        [part("P", 2, 1000)],
        [offer("A", 1000, 10, merchant="Northgate"), offer("C", 1000, 99)],
        merchants=[FREE],
    )
    plan = free_plan(tiny)
    none, paid, free = plan.cases
    assert "no case covers buying from Northgate" in told(tiny, replace(plan, cases=(none, paid)))
    assert "no case covers buying from Northgate" in told(tiny, replace(plan, cases=(none, free)))
    assert any(
        "charges are stated" in text for text in told(tiny, replace(plan, cases=(none, paid, replace(free, charges=1))))
    )
    wrong = replace(none, delivered_free=("Northgate",))
    assert "does not deliver free, or is not bought from" in told(tiny, replace(plan, cases=(wrong, paid, free)))[0]


def test_who_charges() -> None:
    assert charging_merchants(charged(), groups_of(charged())) == {"Northgate", "Yard"}
    far = charged(longest_carry=500)
    assert charging_merchants(far, groups_of(far)) == set()
    unpriced = job([part("P", 1, 1000)], [offer("A", 1000, None, merchant="Northgate")], merchants=[NORTH])
    assert charging_merchants(unpriced, groups_of(unpriced)) == set()


def test_offers_a_proof_must_allow() -> None:
    tiny = charged()
    group, charging = groups_of(tiny)[0], {"Northgate", "Yard"}
    assert offers_needed(tiny, group, frozenset(), charging) == set()
    assert offers_needed(tiny, group, frozenset({"Yard"}), charging) == {"B", "C"}
    assert offers_needed(tiny, group, None, charging) == {"A", "B", "C"}
    free = job([part("P", 1, 900)], [offer("A", 1000, 9), offer("B", 2000, 9)], longest_carry=1500)
    assert offers_needed(free, groups_of(free)[0], frozenset(), ()) == {"A"}


@pytest.mark.parametrize(
    ("cases", "missing"),
    [
        ([case(), case("N"), case("Y"), case("N", "Y")], None),
        ([case(and_more=True)], None),
        ([case(), case("N", and_more=True), case("Y")], None),
        ([case(), case("N"), case("Y")], {"N", "Y"}),
        ([case("N", and_more=True), case("Y", and_more=True)], set()),
        ([case(), case("N", and_more=True)], {"Y"}),
        ([], {"N", "Y"}),
    ],
)
def test_every_choice_of_merchants_is_covered(cases: list[MerchantCase], missing: set[str] | None) -> None:
    assert uncovered(cases, frozenset({"N", "Y"})) == missing


def test_many_merchants_do_not_mean_many_sets() -> None:
    """Forty merchants have a million million sets; one case for all of them is seen at once."""
    many = frozenset(f"M{number}" for number in range(40))
    assert uncovered([case(and_more=True)], many) is None
    singles = [case(), *(case(name, and_more=True) for name in many)]
    assert uncovered(singles, many) is None
    assert uncovered(singles[:-1], many) is not None


def without_case(plan: Plan, *merchants: str) -> Plan:
    return replace(plan, cases=tuple(case for case in plan.cases if case.merchants != merchants))


def with_case(plan: Plan, place: int, **change: Any) -> Plan:
    cases = list(plan.cases)
    cases[place] = replace(cases[place], **change)
    return replace(plan, cases=tuple(cases))


def test_a_case_removed() -> None:
    tiny = charged()
    assert "no case covers buying from Northgate, Yard" in told(
        tiny, without_case(first_fit_plan(tiny), "Northgate", "Yard")
    )
    assert "no case covers buying from no charging merchant" in told(tiny, without_case(first_fit_plan(tiny)))


def test_a_case_bounded_too_high() -> None:
    """Northgate's case: its proofs give 20, its minimum order 40, its delivery 5."""
    tiny = charged()
    plan = first_fit_plan(tiny)
    assert [case.bound // CURRENCY for case in plan.cases] == [20, 45, 22, 47]
    assert "case 2 (Northgate): its bound of 45.000001 EUR is more than its proofs and charges give, 45 EUR" in told(
        tiny, with_case(plan, 1, bound=45 * CURRENCY + 1)
    )


def test_a_minimum_order_bounds_nothing_where_left_overs_have_a_value() -> None:
    tiny = charged(offcut_value_per_mm=1)
    plan = first_fit_plan(tiny)
    assert told(tiny, plan) == []
    assert [case.bound // CURRENCY for case in plan.cases] == [20, 25, 22, 27]
    (failure,) = told(tiny, with_case(plan, 1, bound=45 * CURRENCY))
    assert failure == "case 2 (Northgate): its bound of 45 EUR is more than its proofs and charges give, 25 EUR"


def test_other_faults_of_a_case() -> None:
    tiny = charged()
    plan = first_fit_plan(tiny)
    assert "case 2 (Northgate): charges are stated as 4 EUR, its deliveries come to 5 EUR" in told(
        tiny, with_case(plan, 1, charges=4 * CURRENCY)
    )
    assert "case 2 (Westgate): Westgate has no fixed charge or sells nothing here" in told(
        tiny, with_case(plan, 1, merchants=("Westgate",))
    )
    assert "case 4 (Yard, Yard): a merchant is named twice" in told(
        tiny, with_case(plan, 3, merchants=("Yard", "Yard"))
    )
    assert "case 3 (Yard): has 0 proofs for 1 groups planned by money" in told(tiny, with_case(plan, 2, proofs=()))
    fewer = replace(plan.cases[0].proofs[0], sources=("A",))
    group = groups_of(tiny)[0].title
    assert f"case 3 (Yard): {group}: its proof leaves out B, C" in told(tiny, with_case(plan, 2, proofs=(fewer,)))
    assert f"case 1 (no charging merchant and more): {group}: its proof leaves out B, C" in told(
        tiny, with_case(plan, 0, proofs=(fewer,), and_more=True)
    )


def at(merchant: str, numerator: int, denominator: int) -> Multiplier:
    return Multiplier(merchant=merchant, numerator=numerator, denominator=denominator)


def counted(plan: Plan, place: int, bound: int, multiplier: Multiplier, proof_bound: int, **other: Any) -> Plan:
    """A plan with a multiplier in one case, whose proof is said to show ``proof_bound``."""
    proof = replace(plan.cases[place].proofs[0], bound=proof_bound, status=Status.NOT_PROVEN)
    return with_case(plan, place, multipliers=(multiplier,), proofs=(proof,), bound=bound, **other)


def test_what_a_multiplier_leaves_of_the_minimum_order_is_paid() -> None:
    """Northgate's case at 1/4: two bars at 2.50, three quarters of a minimum order of 40, its delivery of 5."""
    tiny = charged(offcut_value_per_mm=1)
    plan = first_fit_plan(tiny)
    good = counted(plan, 1, 40 * CURRENCY, at("Northgate", 1, 4), 5 * CURRENCY)
    assert told(tiny, good) == []
    (failure,) = told(tiny, counted(plan, 1, 40 * CURRENCY + 1, at("Northgate", 1, 4), 5 * CURRENCY))
    assert failure == "case 2 (Northgate): its bound of 40.000001 EUR is more than its proofs and charges give, 40 EUR"
    (failure,) = told(tiny, counted(plan, 1, 40 * CURRENCY, at("Northgate", 1, 3), 5 * CURRENCY))
    assert "its proofs and charges give, 36.666666 EUR" in failure


@pytest.mark.parametrize(
    ("multipliers", "told"),
    [
        ((at("Northgate", -1, 4),), "the multiplier of Northgate, -1/4, is not from 0 to 1"),
        ((at("Northgate", 5, 4),), "the multiplier of Northgate, 5/4, is not from 0 to 1"),
        ((at("Northgate", 0, 0),), "the multiplier of Northgate, 0/0, is not from 0 to 1"),
        ((at("Northgate", 1, 2), at("Northgate", 1, 4)), "a merchant has two multipliers"),
        ((at("Yard", 1, 2),), "Yard has a multiplier, but the case does not buy there"),
    ],
)
def test_multipliers_that_bound_nothing(multipliers: tuple[Multiplier, ...], told: str) -> None:
    assert multiplier_failures(replace(case("Northgate"), multipliers=multipliers)) == [told]
    tiny = charged()
    plan = with_case(first_fit_plan(tiny), 1, multipliers=multipliers)
    assert f"case 2 (Northgate): {told}" in check(tiny, plan)


def test_a_case_bounded_by_search_is_not_held_to_its_proofs_and_confirms_nothing() -> None:
    tiny = charged()
    plan = first_fit_plan(tiny)
    assert told(tiny, with_case(plan, 1, bound=50 * CURRENCY, by_search=True)) == []
    cases = tuple(replace(case, bound=plan.cost, by_search=True) for case in plan.cases)
    searched = replace(plan, cases=cases, bound=plan.cost, status=Status.BY_SEARCH)
    assert told(tiny, searched) == []
    assert told(tiny, replace(searched, status=Status.RECHECKED)) == [
        "the plan is marked proven, rechecked, but its leaves alone do not reach its cost"
    ]


def test_what_every_cost_is_a_multiple_of() -> None:
    """Prices of 10 and 99, deliveries of 5 and 2, a minimum order of 40: whole units; with work of 0.25 quarters."""
    assert money_step(charged(), groups_of(charged())) == CURRENCY
    worked = charged(work=Work(per_cut=CURRENCY // 4))
    assert money_step(worked, groups_of(worked)) == CURRENCY // 4
    valued = charged(offcut_value_per_mm=1)
    assert money_step(valued, groups_of(valued)) == 1
    dozens = job([part("P", 2, 1000)], [offer("A", 1000, 36), offer("B", 1000, 24)])
    assert money_step(dozens, groups_of(dozens)) == 12 * CURRENCY


def test_a_bound_is_rounded_up_to_the_next_cost_a_plan_can_have() -> None:
    """Proofs that give 20 and a millionth leave no cost but 21, and with a delivery of 5 none but 26."""
    tiny = charged()
    plan = first_fit_plan(tiny)
    proof = replace(plan.cases[2].proofs[0], bound=20 * CURRENCY + 1)
    assert told(tiny, with_case(plan, 2, proofs=(proof,), bound=23 * CURRENCY)) == []
    (failure,) = told(tiny, with_case(plan, 2, proofs=(proof,), bound=23 * CURRENCY + 1))
    assert "its proofs and charges give, 23 EUR" in failure


def test_without_charges_there_is_one_case() -> None:
    tiny = job([part("P", 1, 1000)], [offer("A", 1000, 10)])
    plan = first_fit_plan(tiny)
    assert told(tiny, plan) == []
    twice = replace(plan, cases=plan.cases * 2)
    assert told(tiny, twice) == ["no merchant has a fixed charge, so there is one case; the plan has 2"]


def test_cost_and_bound_are_recomputed() -> None:
    tiny = charged()
    plan = first_fit_plan(tiny)
    assert "the plan costs 44 EUR by its statement, 45 EUR by its bars and charges" in told(
        tiny, replace(plan, cost=44 * CURRENCY)
    )
    assert "the plan's bound is stated as 21 EUR, its cases give 20 EUR" in told(
        tiny, replace(plan, bound=21 * CURRENCY)
    )


def test_groups_by_mass_cost_nothing() -> None:
    other = square_tube(50)
    tiny = job(
        [part("P", 1, 1000), part("Q", 1, 1000, section=other)],
        [offer("A", 1000, 10), offer("B", 1000, None, section=other)],
    )
    plan = first_fit_plan(tiny)
    assert plan_cost(tiny, groups_of(tiny), plan) == 10 * CURRENCY
    assert told(tiny, plan) == []


@pytest.mark.parametrize(
    ("status", "bound", "confirmed", "told"),
    [
        (Status.RECHECKED, 10, True, ""),
        (Status.BY_SEARCH, 10, False, ""),
        (Status.BY_SEARCH, 10, True, ""),
        (Status.NOT_PROVEN, 9, False, ""),
        (Status.RECHECKED, 10, False, "its leaves alone do not reach its cost"),
        (Status.RECHECKED, 9, True, "its bound of 0.000009 EUR is below its cost of 0.00001 EUR"),
        (Status.BY_SEARCH, 9, True, "its bound of 0.000009 EUR is below its cost of 0.00001 EUR"),
        (Status.NOT_PROVEN, 10, True, "its bound is its cost"),
        (Status.NOT_PROVEN, 11, True, "is said to cost at least 0.000011 EUR, it costs only 0.00001 EUR"),
    ],
)
def test_a_status_never_says_more_than_was_shown(status: Status, bound: int, confirmed: bool, told: str) -> None:
    found = status_failures(status, bound, 10, confirmed, "the plan", Goal.MONEY, "EUR")
    assert len(found) == (1 if told else 0)
    assert all(told in text for text in found)


def proven() -> tuple[Job, Plan]:
    tiny = job([part("P", 2, 500)], [offer("A", 1000, 10)])
    plan = first_fit_plan(tiny)
    assert plan.status is Status.RECHECKED
    return tiny, plan


def test_a_plan_whose_proof_needs_a_search_is_not_rechecked() -> None:
    tiny, plan = proven()
    assert told(tiny, plan, from_leaves=0) == [
        "the plan is marked proven, rechecked, but its leaves alone do not reach its cost"
    ]
    assert told(tiny, replace(plan, status=Status.BY_SEARCH), from_leaves=0) == []


def test_a_proof_that_could_not_be_worked_through_confirms_nothing() -> None:
    """Not even the 0 that a free bar costs, whose left over is worth nothing either."""
    tiny = job([part("P", 1, 500)], [offer("A", 1000, 0)], offcut_value_per_mm=2000, keep=300)
    plan = first_fit_plan(tiny)
    assert plan.cost == 0
    failures, confirmed = review_money(tiny, groups_of(tiny), plan, lambda *_: None)
    assert confirmed is None
    assert failures == ["the plan is marked proven, rechecked, but its leaves alone do not reach its cost"]
