"""What is said of a plan: how cheapest is known, and what a longer carry would save."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Merchant, MerchantCase, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY, KG
from cutplan.words import proving
from tests import builders
from tests.hand_plans import hand_plan


@pytest.mark.parametrize(
    ("status", "bound", "stopped", "text"),
    [
        (Status.RECHECKED, None, "", "proven, rechecked"),
        (Status.BY_SEARCH, None, "", "proven by search"),
        (
            Status.NOT_PROVEN,
            59_280_001,
            "the time limit",
            "not proven: at most 0.72 EUR (1.2 %) could be saved; stopped by the time limit",
        ),
        (Status.NOT_PROVEN, 59_274_000, "", "not proven: at most 0.73 EUR (1.3 %) could be saved"),
    ],
)
def test_the_proof_is_told_as_it_is(status: Status, bound: int | None, stopped: str, text: str) -> None:
    """A plan of 60 EUR; what could be saved is rounded up, in money and in percent."""
    job = builders.job([builders.part("A", 4, 2500)], [builders.offer("P1", 6000, 30)])
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), status=status, bound=bound)
    assert proving.proof_lines(job, replace(plan, stopped_by=stopped)) == (f"Cheapest: {text}",)


def test_a_gap_of_less_than_a_cent_is_no_cent() -> None:
    job = builders.job([builders.part("A", 4, 2500)], [builders.offer("P1", 6000, 30)])
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), status=Status.NOT_PROVEN, bound=59_999_988)
    assert proving.proof_lines(job, plan) == ("Cheapest: not proven: less than 0.01 EUR could be saved",)
    whole = replace(plan, bound=59_990_000)
    assert proving.proof_lines(job, whole) == ("Cheapest: not proven: at most 0.01 EUR (0.1 %) could be saved",)


def test_what_left_open_cases_of_merchants_is_told() -> None:
    job = builders.job([builders.part("A", 4, 2500)], [builders.offer("P1", 6000, 30)])
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), status=Status.NOT_PROVEN, bound=50_000_000)
    case = MerchantCase(merchants=(), proofs=(), charges=0, bound=0)
    cases = (
        replace(case, bound=60_000_000, stopped_by="merchant limit"),
        replace(case, bound=50_000_000, stopped_by="node limit"),
        replace(case, bound=55_000_000, stopped_by="pattern limit"),
        replace(case, bound=56_000_000, stopped_by="pattern limit"),
    )
    (line,) = proving.proof_lines(job, replace(plan, cases=cases))
    assert line.endswith("could be saved; stopped by node limit, pattern limit")
    (line,) = proving.proof_lines(job, replace(plan, cases=cases, stopped_by="time limit"))
    assert line.endswith("could be saved; stopped by time limit")


def test_a_group_without_prices_is_told_apart() -> None:
    job = builders.job([builders.part("A", 2, 2500)], [builders.offer("P1", 6000, None)])
    plan = hand_plan(job, ("P1", ["A", "A"]))
    assert proving.proof_lines(job, plan) == (
        "Least mass to buy, as a price is missing, SHS 40x40x3 to EN 10219-2, any grade, black: proven, rechecked",
    )
    tubes = builders.square_tube(), builders.part_of("SHS 50x50x3").section
    parts = [builders.part(mark, 2, 2500, section=tube) for mark, tube in zip("AB", tubes, strict=True)]
    offers = [builders.offer(f"P{mark}", 6000, None, section=tube) for mark, tube in zip("AB", tubes, strict=True)]
    two = builders.job(parts, offers)
    assert proving.proof_lines(two, hand_plan(two, ("PA", ["A", "A"]), ("PB", ["B", "B"]))) == (
        "Least mass to buy, as no price is known: proven, rechecked",
    )
    (group,) = plan.groups
    bars = (replace(group.bars[0], cost=18 * KG),)
    proof = replace(group.proof, status=Status.NOT_PROVEN, bound=18 * KG - 110_000, stopped_by="the node limit")
    plan = replace(plan, groups=(replace(group, bars=bars, proof=proof),))
    (line,) = proving.proof_lines(job, plan)
    assert line.endswith("not proven: at most 0.2 kg could be saved; stopped by the node limit")


def test_what_is_too_long_to_carry() -> None:
    offers = [builders.offer("P1", 6000, 30), builders.offer("P2", 12000, 17.7, merchant="Far Yard")]
    job = builders.job([builders.part("A", 2, 2500)], offers, longest_carry=6500)
    plan, other = (hand_plan(job, (id, ["A", "A"])) for id in ("P1", "P2"))
    assert proving.forgone_lines(job, plan) == ()
    assert proving.forgone_lines(job, replace(plan, if_delivered=other)) == (
        "Beyond the longest carry of 6.5 m, SHS 40x40x3 to EN 10219-2, any grade, black: 12 m from Far Yard would "
        "save 12.30 EUR "
        "(30.00 EUR as it is, 17.70 EUR with no limit, both proven) "
        "if delivered or cut by the merchant, whose charge for that is not counted",
    )


def test_a_plan_that_is_not_proven_says_that_it_cannot_tell_what_the_carry_costs() -> None:
    offers = [builders.offer("P1", 6000, 30), builders.offer("P2", 12000, 17.7, merchant="Far Yard")]
    job = builders.job([builders.part("A", 2, 2500)], offers, longest_carry=6500)
    plan = hand_plan(job, ("P1", ["A", "A"]), status=Status.NOT_PROVEN, bound=20 * CURRENCY)
    assert proving.forgone_lines(job, plan) == (
        "What lengths beyond the longest carry of 6.5 m would save is not stated: this plan is not proven",
    )
    shop = replace(job.workshop, longest_carry=0)
    assert proving.forgone_lines(replace(job, workshop=shop), plan) == ()
    unpriced = replace(job, offers=tuple(replace(offer, bar_price=None) for offer in job.offers))
    assert proving.forgone_lines(unpriced, plan) == (), "by mass each section is proven by itself"


def test_what_is_delivered_as_it_is_too_long_to_fetch() -> None:
    # The same bar either way: by hand 30 + 75 delivered, 30 fetched; Far Yard's is too long and too dear.
    yard = Merchant(name="Yard", delivers=True, delivery=75 * CURRENCY)
    offers = [builders.offer("P1", 8000, 30), builders.offer("P2", 9000, 300, merchant="Far Yard")]
    job = builders.job([builders.part("A", 1, 7000)], offers, longest_carry=6500, merchants=[yard])
    assert proving.forgone_lines(job, plan_job(job)) == (
        "Lengths beyond the longest carry of 6.5 m would save 75.00 EUR "
        "(105.00 EUR as it is, 30.00 EUR with no limit, both proven) if fetched, not delivered",
    )


def test_what_is_too_long_to_carry_by_mass() -> None:
    offers = [builders.offer("P1", 6000, None), builders.offer("P2", 8000, None)]
    job = builders.job([builders.part("A", 3, 2500)], offers, longest_carry=6500)
    (line,) = proving.forgone_lines(job, plan_job(job))
    assert "8 m from Yard would save 12.0 kg of steel if delivered" in line


def test_how_long_writing_took_is_told_from_planning() -> None:
    assert proving.times_text(100.0, 104.96, 106.0) == "Planned in 5.0 s, written in 1.0 s."
