"""Mitred parts on lengths cut for the carry: plans against trying every order, turn and way to share parts out."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.checking import check
from cutplan.model import Heel, Job, Plan, Status
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.units import CURRENCY, DEGREE
from tests.builders import job, mm, offcut, offer, part, part_of
from tests.carry_optimum import Bench, Mitred, Number, Yard, least
from tests.effort import seeds
from tests.test_carried import assert_a_long_carry_is_none, priced, yard

DEPTH = 40
"""Of SHS 40x40, across which every mitre runs; at 45 degrees as much lies beyond a short point. [mm]"""

ALONG = {0: Fraction(0), 2: Fraction(29, 10), 3: Fraction(43, 10)}
"""What a blade takes along the bar at 45 degrees: kerf / cos 45, rounded up to 0.1 mm, by hand."""


def drawn(seed: int) -> tuple[list[Mitred], Yard, Bench]:
    """Up to six parts, at least one of them mitred, two lengths, and terms of all kinds. [mm]"""
    draw = random.Random(seed)
    carry = draw.choice([3000, 3500, 4000, 4500, 3990])
    lengths = draw.sample([4000, 6000, 6500, 7500, 8000], 2)
    parts = [
        Mitred(draw.choice([draw.randint(60, 300) * 5, draw.randint(60, carry // 5 - 20) * 5, 1000, 1990]), a, b)
        for a, b in draw.choices([(True, True), (True, False), (False, False)], (5, 2, 2), k=draw.randint(2, 6))
    ]
    parts[0] = parts[0]._replace(a=True)
    kerf, shares = draw.choice([0, 2, 3]), draw.random() < 0.75
    terms = Yard(
        lengths=tuple((length, round(length / 1000 * draw.choice([8, 9, 10]))) for length in lengths),
        carry=carry,
        charge=draw.choice([0, 1, 2, 5, 30]),
        kerf=draw.choice([0, 2, 6]),
        tolerance=draw.choice([0, 5]),
        squared=draw.choice([True, False]),
    )
    hold, trim = draw.choice([0, 0, 120]), draw.choice([0, 10])
    return parts, terms, Bench(kerf=kerf, trim=trim, hold=hold, slanted=ALONG[kerf], saved=DEPTH if shares else 0)


def made_of(parts: list[Mitred], terms: Yard, bench: Bench) -> Job:
    """The same as a job."""
    return job(
        [part(f"P{n}", 1, str(one.length), mitres=(45 * one.a, 45 * one.b)) for n, one in enumerate(parts)],
        [offer(f"#{n}", str(length), str(price), merchant="Yard") for n, (length, price) in enumerate(terms.lengths)],
        kerf=str(bench.kerf),
        end_trim=str(bench.trim),
        safe_hold=str(bench.hold),
        longest_carry=str(terms.carry),
        share_mitres=bench.saved > 0,
        merchants=[
            yard(
                carry_cut_charge=int(terms.charge * CURRENCY),
                carry_kerf=mm(str(terms.kerf)),
                carry_tolerance=mm(str(terms.tolerance)),
                carry_cuts_squared=terms.squared,
            )
        ],
    )


def planned(made: Job) -> Plan | None:
    """The plan, which the checker has nothing against; None where there is none."""
    try:
        plan = plan_job(made, time_limit=30)
    except NoPlan:
        return None
    assert check(made, plan) == ()
    return plan


@pytest.mark.parametrize("seed", seeds(300))
def test_no_way_to_share_parts_out_costs_less(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    plan, true = planned(made_of(parts, terms, bench)), least(parts, terms, bench)
    if plan is None or true is None:
        assert plan is None
        assert true is None
        return
    cost: Number = Fraction(plan.cost, CURRENCY)
    assert Fraction(plan.bound, CURRENCY) <= true <= cost
    assert plan.status is Status.NOT_PROVEN or cost == true


@pytest.mark.parametrize("seed", seeds(40))
@pytest.mark.parametrize("most_kept", [None, 0, 1])
def test_work_and_left_overs_with_a_price_hold_before_the_checker(seed: int, most_kept: int | None) -> None:
    parts, terms, bench = drawn(seed)
    plan = planned(priced(made_of(parts, terms, bench), seed, most_kept))
    assert (plan is None) == (least(parts, terms, bench) is None)
    assert plan is None or plan.bound <= plan.cost


@pytest.mark.parametrize("seed", seeds(40))
def test_a_carry_above_every_length_is_none(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    assert_a_long_carry_is_none(made_of(parts, terms, bench))


@pytest.mark.parametrize("seed", seeds(60))
def test_no_plan_is_cheaper_than_with_no_limit_or_dearer_than_with_every_mitre_cut_by_itself(seed: int) -> None:
    """As much as can be shown without trying every way, where two mitres and pieces of the rack are in one group."""
    draw = random.Random(seed)
    parts, terms, bench = drawn(seed)
    made = made_of(parts, replace(terms, charge=0), bench)
    steep = [
        replace(each, end_b=replace(each.end_b, angle=30 * DEGREE), depth=each.section.height)
        if draw.random() < 0.5
        else each
        for each in made.parts
    ]
    rack = [offcut(f"R{n}", draw.randint(400, 2500), 5, "sawn mill") for n in range(draw.randint(0, 2))]
    made = replace(made, parts=tuple(steep), offcuts=tuple(rack))
    plan = planned(made)
    far = planned(replace(made, workshop=replace(made.workshop, longest_carry=0)))
    apart = planned(replace(made, workshop=replace(made.workshop, saw=replace(made.workshop.saw, share_mitres=False))))
    if plan is None:
        assert apart is None
        return
    assert far is not None
    assert far.bound <= plan.cost
    assert apart is None or plan.status is Status.NOT_PROVEN or plan.cost <= apart.cost


@pytest.mark.parametrize("seed", seeds(40))
def test_frames_of_angle_mitred_on_one_leg_hold_before_the_checker(seed: int) -> None:
    draw = random.Random(seed)
    parts, terms, bench = drawn(seed)
    made = made_of(parts, terms, bench)
    section = part_of("EA 50x50x5").section
    heels = (Heel.LONG_POINT, Heel.SHORT_POINT)
    legs = [
        replace(each, section=section, depth=section.height, heel=draw.choice(heels))
        if each.mitred
        else replace(each, section=section)
        for each in made.parts
    ]
    offers = tuple(replace(each, section=section) for each in made.offers)
    plan = planned(replace(made, parts=tuple(legs), offers=offers))
    assert plan is None or plan.bound <= plan.cost


@pytest.mark.parametrize(("length", "mitres", "lengths"), [(90, (45, 45), 11), (45, (45, 0), 6)])
def test_very_many_small_parts(length: int, mitres: tuple[int, int], lengths: int) -> None:
    """Hundreds on a length of 12 m, more than are put on its pieces in several ways.

    2500 parts of 90 - 40 + 1.5 mm are 128.75 m, and 1250 pairs of 2 x 45 - 40 + 1.5 + 1 mm are 65.625 m.
    """
    made = job(
        [part("A", 2500, length, mitres=mitres)],
        [offer("#1", 12000, 100, merchant="Yard")],
        kerf="1",
        end_trim=5,
        safe_hold=0,
        share_mitres=True,
        longest_carry=4000,
        merchants=[yard()],
    )
    plan = planned(made)
    assert plan is not None
    assert sum(len(bar.cuts) for bar in plan.bars) == 2500
    assert plan.cost == lengths * 100 * CURRENCY
