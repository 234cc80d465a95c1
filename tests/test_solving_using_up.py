"""At equal money the rack shrinks: by hand, and against every plan of least cost that tiny jobs have."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from random import Random

from cutplan import actions
from cutplan.model import Job, Offcut, Plan, groups_of
from cutplan.solving.using_up import left_lying, onto_rack, unused, using_up
from tests import rack_left
from tests.builders import job, offcut, offer, part
from tests.effort import seeds
from tests.solver_instances import instance_for

NOT_FOUND = 0.02
"""In how many jobs the second goal may be missed by a piece: it is sought, not proven. Measured: 11 of 1,000."""


def used(plan: Plan) -> Counter[str]:
    return Counter(bar.source for bar in plan.bars)


def planned(rack: Sequence[Offcut], value: int = 0) -> Plan:
    """Two parts of 1400 from a rack, or from a length of 3 m for 20."""
    subject = job(
        [part("A", 2, 1400)], [offer("P3", 3000, 20)], rack, kerf="2.5", end_trim=10, keep=300,
        offcut_value_per_mm=value,
    )  # fmt: skip
    plan = actions.plan(subject)
    (group,) = groups_of(subject)
    assert rack_left.of_plan(subject, group, plan.groups[0]) == rack_left.best(subject, group)
    return plan


def test_two_old_offcuts_are_cut_and_a_new_length_on_the_rack_stays() -> None:
    full = offcut("F1", 6000, ends="mill mill")
    assert used(planned([offcut("K1", 1500), offcut("K2", 1450), full])) == {"K1": 1, "K2": 1}


def test_two_offcuts_are_cut_and_no_length_is_bought_where_both_cost_the_same() -> None:
    assert used(planned([offcut("K1", 1500, 10), offcut("K2", 1450, 10)])) == {"K1": 1, "K2": 1}
    assert used(planned([offcut("K1", 1500, 10), offcut("K2", 1450, 10.01)])) == {"P3": 1}


def test_three_offcuts_share_what_a_length_would_hold() -> None:
    subject = job([part("A", 3, 900)], [offer("P3", 3000, 21)], [offcut(f"K{n}", 1000, 7) for n in range(3)], keep=300)
    assert used(actions.plan(subject)) == {"K0": 1, "K1": 1, "K2": 1}


def test_a_length_that_lies_there_goes_before_one_that_is_bought_at_what_it_cost() -> None:
    """What came lies on the rack at its price: cut from either, 3100 mm are left to keep, but one is paid already."""
    subject = job([part("A", 2, 1400)], [offer("P6", 6000, 20)], [offcut("F1", 6000, 20, ends="mill mill")], keep=300)
    assert used(actions.plan(subject)) == {"F1": 1}
    both = job([part("A", 3, 4000)], [offer("P6", 6000, 20)], [offcut("F1", 6000, 20, ends="mill mill")], keep=300)
    assert used(actions.plan(both)) == {"F1": 1, "P6": 2}


def test_a_piece_that_leaves_an_offcut_is_a_piece_still() -> None:
    """Cut from both offcuts, as many would be left as from one; fewer bars then decide."""
    assert used(planned([offcut("K1", 3400), offcut("K2", 3400)])).total() == 1


def test_what_a_bar_does_to_the_rack() -> None:
    instance = instance_for(
        job([part("A", 2, 1400)], [offer("P3", 3000, 20)], [offcut("K1", 1500), offcut("F1", 6000)], keep=300)
    )
    assert [left_lying(instance, source, (1,)) for source in range(3)] == [0, -1, 0]
    assert unused(instance, {(1, (1,)): 1}) == {2: 1}
    tries = iter(range(100))
    assert list(onto_rack(instance, (2, (2,)), {1: 1}, 3, tries)) == [Counter({(1, (1,)): 1, (2, (1,)): 1})]
    assert list(onto_rack(instance, (1, (1,)), {0: 1}, 3, tries)) == [], "dearer"


def test_two_bars_exchange_several_parts_so_that_one_is_used_up() -> None:
    """1150 on 1500 and 3 x 720 on 3 m: two of 720 fill the 1500."""
    instance = instance_for(
        job([part("A", 1, 1150), part("B", 3, 720)], [offer("P3", 3000, 20)], [offcut("K1", 1500)], keep=300)
    )
    found = list(using_up(instance, (1, (1, 0)), (0, (0, 3)), iter(range(100))))
    assert Counter({(1, (0, 2)): 1, (0, (1, 1)): 1}) in found


def some_job(seed: int) -> Job:
    """A rack of offcuts and full lengths, of which many ways to use them cost the same."""
    random = Random(seed)
    parts = [
        part(f"P{n}", random.randint(1, 3), random.choice([450, 700, 720, 900, 1150, 1400, 1450]))
        for n in range(random.randint(1, 3))
    ]
    rack = []
    for n in range(random.randint(1, 5)):
        if random.random() < 0.35:
            rack.append(offcut(f"F{n}", random.choice([3000, 6000]), random.choice([0, 0, 0, 20]), ends="mill mill"))
        else:
            length = random.choice([500, 760, 800, 980, 1200, 1500, 1510, 2000, 2400])
            rack.append(offcut(f"K{n}", length, random.choice([0, 0, 0, 10, 10])))
    offers = [offer("P3", 3000, 20), offer("P6", 6000, random.choice([40, 35]))]
    return job(
        parts, offers, rack, kerf="2.5", end_trim=random.choice([0, 10]), keep=300,
        safe_hold=random.choice([0, 0, 120]),
    )  # fmt: skip


def test_against_every_plan_of_least_cost() -> None:
    """The money is always least; of what lies on the rack a piece too many is left where exchanges do not find it."""
    missed = []
    tried = seeds(300)
    for seed in tried:
        subject = some_job(seed)
        (group,) = groups_of(subject)
        plan = actions.plan(subject)
        cost, lying, _ = rack_left.of_plan(subject, group, plan.groups[0])
        least_cost, least_lying, _ = rack_left.best(subject, group)
        assert cost == least_cost
        assert least_lying <= lying <= least_lying + 1
        missed += [seed] if lying > least_lying else []
    assert len(missed) <= NOT_FOUND * len(tried), missed
