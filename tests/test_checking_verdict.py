"""The checker's face: one verdict over bars, proofs and money, and what it says was rechecked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking import check, review, verdict
from cutplan.checking.proof import review_proof
from cutplan.model import Goal, Job, Merchant, Plan, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests.builders import job, offer, part, square_tube
from tests.first_fit import first_fit_plan

GROUP = "SHS 40x40x3 to EN 10219-2, any grade, black"


def proven(**other: Any) -> tuple[Job, Plan]:
    """Two halves in one bar of 10: the simplest proof there is."""
    tiny = job([part("P", 2, 500)], [offer("A", 1000, 10)], **other)
    return tiny, first_fit_plan(tiny)


def on_proof(plan: Plan, **change: Any) -> Plan:
    """The same change in the group's proof and in every case's."""
    proof = replace(plan.groups[0].proof, **change)
    cases = tuple(replace(case, proofs=(proof,)) for case in plan.cases)
    return replace(plan, groups=(replace(plan.groups[0], proof=proof),), cases=cases)


def test_a_proven_plan() -> None:
    answer = review(*proven())
    assert answer.holds
    assert answer.findings == (
        f"{GROUP}: bound of 10 EUR confirmed, nothing cheaper exists",
        "all groups with prices: bound of 10 EUR confirmed, nothing cheaper exists",
    )
    assert answer.summary == "1 bar, 2 parts, 1 leaf of the proof rechecked"


def test_proven_by_search_is_said_and_not_rechecked() -> None:
    tiny, plan = proven()
    leaves = plan.groups[0].proof.leaves
    weak = on_proof(plan, status=Status.BY_SEARCH, leaves=(replace(leaves[0], duals=(0,)),))
    answer = review(tiny, replace(weak, status=Status.BY_SEARCH))
    assert answer.failures == ()
    assert answer.findings[0] == f"{GROUP}: bound of 10 EUR proven by search: not rechecked"
    bare = on_proof(plan, status=Status.BY_SEARCH, leaves=())
    assert check(tiny, replace(bare, status=Status.BY_SEARCH)) == ()


def test_a_search_is_never_reported_as_rechecked() -> None:
    tiny, plan = proven()
    weak = replace(plan.groups[0].proof.leaves[0], duals=(0,))
    assert check(tiny, on_proof(plan, leaves=(weak,))) == (
        f"{GROUP}: its bound is stated as 10000000, its leaves give 0 (millionths of EUR or of a kilogram)",
        f"{GROUP} is marked proven, rechecked, but its leaves alone do not reach its cost",
        "the plan is marked proven, rechecked, but its leaves alone do not reach its cost",
    )
    by_search = on_proof(plan, status=Status.BY_SEARCH, leaves=(weak,))
    assert check(tiny, by_search) == (
        "the plan is marked proven, rechecked, but its leaves alone do not reach its cost",
    )


def test_a_possible_saving_is_named() -> None:
    tiny = job([part("P", 2, 600)], [offer("A", 1000, 10)])
    answer = review(tiny, first_fit_plan(tiny))
    assert answer.findings[0] == f"{GROUP}: bound of 20 EUR confirmed, nothing cheaper exists"
    plan = first_fit_plan(tiny, duals=lambda group: [4_000_000_000])
    answer = review(tiny, plan)
    assert answer.failures == ()
    assert answer.findings[0] == f"{GROUP}: bound of 10 EUR confirmed, a saving of up to 10 EUR is not excluded"


def test_a_bound_that_rests_on_a_search_is_not_called_confirmed() -> None:
    """The plan is not proven, and one case's bound comes from a search."""
    tiny = job([part("P", 2, 600)], [offer("A", 1000, 10)])
    plan = first_fit_plan(tiny, duals=lambda group: [4_000_000_000])
    searched = replace(plan.groups[0].proof, status=Status.BY_SEARCH, leaves=(), bound=15 * CURRENCY)
    searched_plan = replace(
        plan, cases=(replace(plan.cases[0], proofs=(searched,), bound=searched.bound),), bound=searched.bound
    )
    answer = review(tiny, searched_plan)
    assert answer.failures == ()
    assert answer.findings[-1] == (
        "all groups with prices: bound of 15 EUR proven by search: not rechecked, "
        "a saving of up to 5 EUR is not excluded"
    )


def test_proof_and_bars_that_contradict_each_other() -> None:
    """A bar that holds three halves cannot be; its proof says so, before the bar is looked at."""
    tiny, _ = proven()
    three = job([part("P", 3, 500)], [offer("A", 1000, 10)])
    plan = first_fit_plan(three)
    dropped = replace(plan.groups[0], bars=plan.groups[0].bars[:1])
    assert f"{GROUP}: its leaves give 20 EUR, more than the 10 EUR its bars cost: one of the two is wrong" in check(
        three, replace(plan, groups=(dropped,))
    )
    assert check(tiny, first_fit_plan(tiny)) == ()


def test_another_jobs_plan() -> None:
    tiny, plan = proven()
    assert check(replace(tiny, name="gate"), plan) == ('the plan answers "tiny", the job is "gate"',)
    assert check(tiny, replace(plan, groups=())) == (f"the plan's groups are none, the job's are {GROUP}",)
    by_mass = replace(plan, groups=(replace(plan.groups[0], goal=Goal.MASS),))
    assert check(tiny, by_mass) == (
        f"{GROUP}: is planned for least bought mass, by its prices it is planned for least money",
    )


def test_a_group_proof_allows_the_merchants_that_are_bought_from() -> None:
    tiny = job(
        [part("P", 2, 1000)],
        [offer("A", 1000, 10, merchant="Northgate"), offer("B", 1000, 10)],
        merchants=[Merchant(name="Northgate", delivery=1)],
    )
    plan = first_fit_plan(tiny)
    fewer = replace(plan.groups[0].proof, sources=("A",), leaves=())
    assert f"{GROUP}: its proof leaves out B" in check(
        tiny, replace(plan, groups=(replace(plan.groups[0], proof=fewer),))
    )


def test_a_case_with_a_proof_of_its_own_is_worked_through() -> None:
    tiny = job(
        [part("P", 2, 1000)],
        [offer("A", 1000, 10, merchant="Northgate"), offer("B", 1000, 10)],
        merchants=[Merchant(name="Northgate", delivery=CURRENCY)],
    )
    plan = first_fit_plan(tiny)
    raised = replace(plan.cases[0].proofs[0], bound=21 * CURRENCY)
    tampered = replace(plan, cases=(replace(plan.cases[0], proofs=(raised,)), plan.cases[1]))
    assert check(tiny, tampered) == (
        f"{GROUP}, buying from no charging merchant: its bound is stated as 21000000, its leaves give 20000000 "
        "(millionths of EUR or of a kilogram)",
    )
    assert review(tiny, tampered).leaves == 2


def test_equal_proofs_in_many_cases_are_worked_through_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan read from a file has one proof as often as there are cases with it."""
    yards = [Merchant(name=f"Yard {n}", delivers=True, delivery=5 * CURRENCY) for n in range(3)]
    offers = [offer(f"P{n}", 1000, 10, merchant=yard.name) for n, yard in enumerate(yards)]
    tiny = job([part("P", 2, 500)], offers, merchants=yards)
    plan = plan_job(tiny)
    assert len(plan.cases) == 8
    copied = replace(plan, cases=tuple(replace(one, proofs=tuple(map(replace, one.proofs))) for one in plan.cases))
    distinct = {plan.groups[0].proof, *(proof for one in plan.cases for proof in one.proofs)}
    seen: list[object] = []

    def counted(*given: Any) -> Any:
        seen.append(given[2])
        return review_proof(*given)

    monkeypatch.setattr(verdict, "review_proof", counted)
    assert check(tiny, copied) == ()
    assert len(seen) == len(distinct)


def carried() -> tuple[Job, Plan, Plan]:
    """One bar of 1000 for 10, or of 2000 for 1, which is too long to carry; and the plans without it and with it."""
    tiny = job([part("P", 2, 500)], [offer("A", 1000, 10), offer("B", 2000, 1)], longest_carry=1000)
    plan = plan_job(tiny)
    assert plan.if_delivered is not None
    return tiny, plan, plan.if_delivered


def test_what_the_carry_costs_is_a_plan_of_its_own() -> None:
    tiny, plan, other = carried()
    assert (plan.cost, other.cost) == (10 * CURRENCY, CURRENCY)
    assert check(tiny, replace(plan, if_delivered=other)) == ()


def test_a_saving_that_the_other_plan_does_not_show() -> None:
    tiny, plan, other = carried()
    wrong = {
        "costs 0.5 EUR by its statement": replace(other, cost=CURRENCY // 2),
        "a further plan stands beside it": replace(other, if_delivered=plan),
        "the plan's groups are none": replace(other, groups=()),
        f"{GROUP}: its proof leaves out B": replace(plan, if_delivered=None),
    }
    for told, tampered in wrong.items():
        failures = check(tiny, replace(plan, if_delivered=tampered))
        assert any(text.startswith("were every bar delivered: ") and told in text for text in failures)
    unproven = replace(plan, status=Status.NOT_PROVEN, bound=0, if_delivered=other)
    assert "were every bar delivered: nothing is proven to be saved" in check(tiny, unproven)
    free = replace(tiny, workshop=replace(tiny.workshop, longest_carry=0))
    assert "were every bar delivered: no length is too long to carry" in check(free, replace(plan, if_delivered=other))


def test_a_group_that_makes_up_a_minimum_order_is_proven_with_the_others() -> None:
    """By its prices alone a second bar of 12 m would make it 88; the Depot is paid 60 whatever is bought there."""
    offers = [offer("D", 6000, 20, merchant="Depot"), offer("Y", 12000, 34)]
    depot = Merchant(name="Depot", minimum_order=60 * CURRENCY)
    tiny = job([part("P", 3, 5900), part("Q", 1, 11900)], offers, merchants=[depot])
    plan = plan_job(tiny)
    assert (plan.cost, plan.status) == (94 * CURRENCY, Status.RECHECKED)
    assert plan.groups[0].proof.status is Status.NOT_PROVEN
    answer = review(tiny, plan)
    assert answer.holds
    assert answer.findings == (
        f"{GROUP}: proven together with the other groups and what merchants charge, not by itself",
        "all groups with prices: bound of 94 EUR confirmed, nothing cheaper exists",
    )


def test_a_plan_by_mass_alone() -> None:
    other = square_tube(50)
    tiny = job([part("P", 2, 500, section=other)], [offer("A", 1000, None, section=other)])
    answer = review(tiny, first_fit_plan(tiny))
    assert answer.failures == ()
    assert answer.findings[0].endswith("bound of 3 kg confirmed, nothing lighter exists")


def test_a_group_claims_nothing_of_cuts_that_are_free_in_the_order() -> None:
    """Cut free, two of 900 come to 10 from a length of 2 m; the group by itself counts the cut and buys two for 12."""
    yard = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=5 * CURRENCY, carry_cuts_free=1)
    tiny = job(
        [part("P", 2, 900)],
        [offer("A", 2000, 10), offer("B", 1000, 6)],
        merchants=[yard],
        longest_carry=1000,
        keep=100_000,
    )
    alone, whole = review(tiny, plan_job(tiny)).findings
    assert alone.endswith("by itself, with every cut for the carry at its charge")
    assert whole == "all groups with prices: bound of 10 EUR confirmed, nothing cheaper exists"
