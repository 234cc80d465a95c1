"""What bars cost at least beyond the worth of their parts, where neighbours share cuts: held to listing every set."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from cutplan.checking.proof import ProofReview, review_proof
from cutplan.model import Job, Leaf, Merchant, Proof, Split, Status, groups_of
from tests.brute_force import leaf_bound, least_group_cost, stocks_of
from tests.builders import job, offer, part
from tests.effort import seeds
from tests.test_laying import mitred_job

DENOMINATOR = 1000


def reviewed(made: Job, leaf: Leaf, step: int) -> ProofReview:
    group = groups_of(made)[0]
    sources = tuple(stock.name for stock in stocks_of(made, group))
    proof = Proof(
        sources=sources, status=Status.NOT_PROVEN, denominator=DENOMINATOR, step=step, leaves=(leaf,), bound=0
    )
    return review_proof(made, group, proof)


def sharing(seed: int, ends: list[tuple[float, float]] | None = None) -> Job:
    made = mitred_job(seed, most_pieces=4, ends=ends)
    return replace(made, workshop=replace(made.workshop, saw=replace(made.workshop.saw, share_mitres=True)))


def some_leaf(made: Job, draw: random.Random) -> Leaf:
    """One that covers every case, with duals of some size."""
    group = groups_of(made)[0]
    stocks = stocks_of(made, group)
    scale = max(stock.price for stock in stocks) * DENOMINATOR / max(stock.length for stock in stocks)
    duals = tuple(int(part.length * scale * draw.uniform(0.6, 1.3)) for part in group.parts)
    return Leaf(ranges=tuple((0, stock.most) for stock in stocks), duals=duals)


@pytest.mark.parametrize("seed", seeds(60))
@pytest.mark.parametrize("step", [50_000, 7_000_000])
def test_whatever_the_duals_nothing_bounds_above_the_least_cost(seed: int, step: int) -> None:
    made = sharing(seed)
    group = groups_of(made)[0]
    leaf = some_leaf(made, random.Random(seed))
    answer = reviewed(made, leaf, step)
    assert answer.failures == ()
    assert answer.bound is not None
    listed = leaf_bound(made, group, [s.name for s in stocks_of(made, group)], leaf, denominator=DENOMINATOR, step=step)
    truth = least_group_cost(made, group)
    assert answer.bound <= listed
    assert truth is None or listed <= truth


@pytest.mark.parametrize("seed", seeds(60))
def test_with_one_angle_the_bound_is_that_of_listing_every_set(seed: int) -> None:
    """Where no cut has a price and nothing must be held."""
    made = sharing(seed, ends=[(45, 45), (45, 0), (0, 0)])
    saw = replace(made.workshop.saw, safe_hold=0)
    made = replace(made, workshop=replace(made.workshop, saw=saw, work=replace(made.workshop.work, per_cut=0)))
    group = groups_of(made)[0]
    if any(part.cut_to_fit for part in group.parts):
        return
    leaf = some_leaf(made, random.Random(seed))
    listed = leaf_bound(
        made, group, [s.name for s in stocks_of(made, group)], leaf, denominator=DENOMINATOR, step=50_000, rounded=False
    )
    bound = reviewed(made, leaf, 50_000).bound
    assert bound is not None
    assert listed <= bound < listed + 2_000_000 or made.workshop.offcut_value_per_mm


def test_eight_parts_of_a_frame_need_two_lengths() -> None:
    """1500 long point, 40 deep: four take 5,890.8 mm, five do not fit, so a length is worth no more than four parts."""
    made = job(
        [part("P", 8, 1500, mitres=(45, 45))], [offer("A", 6000, 30)], kerf="2.5", end_trim=10, share_mitres=True
    )
    leaf = Leaf(ranges=((0, 8),), duals=(7_500_000 * DENOMINATOR,))
    assert reviewed(made, leaf, 50_000).bound == 60_000_000
    apart = replace(made, workshop=replace(made.workshop, saw=replace(made.workshop.saw, share_mitres=False)))
    leaf = Leaf(ranges=((0, 8),), duals=(10_000_000 * DENOMINATOR,))
    assert reviewed(apart, leaf, 50_000).bound == 90_000_000


def test_states_that_are_too_many_for_the_step_are_not_told_apart() -> None:
    """6 m in steps of 0.002 mm, beside square parts: 18 million in six states. Every set is then counted as one whose
    mitres save most: four frame parts take 4 x 1460 + 3 x 3.6, without the 40 of the last slant, and five no less than
    7,314.4.
    """
    made = job(
        [part("P", 8, 1500, mitres=(45, 45)), part("Q", 1, 100)], [offer("A", 6000, 30)], kerf="2.5", end_trim=10
    )
    leaf = Leaf(ranges=((0, 9),), duals=(7_500_000 * DENOMINATOR, 0))
    assert reviewed(made, leaf, 2_000).bound == reviewed(made, leaf, 50_000).bound == 60_000_000
    telling = Leaf(ranges=((0, 9),), duals=(7_500_000 * DENOMINATOR, 60_000 * DENOMINATOR))
    finer, coarser = (reviewed(made, telling, step).bound for step in (2_000, 50_000))
    assert finer is not None
    assert coarser is not None
    assert finer <= coarser


def test_bars_told_apart_by_what_they_hold() -> None:
    """With four of them on some bars or on none: five never lie on one, so that the cases cost no less."""
    made = job(
        [part("P", 8, 1500, mitres=(45, 45))], [offer("A", 6000, 30)], kerf="2.5", end_trim=10, share_mitres=True
    )
    split = Split(share=0, part=0, copies=4, low=0, high=0)
    few = Leaf(ranges=((0, 8),), duals=(10_000_000 * DENOMINATOR,), splits=(split,))
    many = Leaf(ranges=((0, 8),), duals=(7_500_000 * DENOMINATOR,), splits=(replace(split, low=1, high=8),))
    group = groups_of(made)[0]
    proof = Proof(
        sources=("A",), status=Status.NOT_PROVEN, denominator=DENOMINATOR, step=50_000, leaves=(few, many), bound=0
    )
    answer = review_proof(made, group, proof)
    assert answer.failures == ()
    assert answer.bound == 60_000_000


def test_counted_in_steps_even_an_empty_bar_may_seem_to_spare_a_stroke() -> None:
    """A part that is the bar costs no cut. In steps that it does not fill that is seen of every set, of none too."""
    yard = Merchant(name="Yard", cuts_to_plan=True, cut_charge=500_000)
    made = job([part("P", 1, 1250)], [offer("A", 1250, 0), offer("B", 600, 0)], kerf=0, end_trim=0, merchants=(yard,))
    group, leaf = groups_of(made)[0], Leaf(ranges=((0, 1), (0, 1)), duals=(0,))
    listed = leaf_bound(made, group, ["A", "B"], leaf, denominator=DENOMINATOR, step=7_000_000)
    assert reviewed(made, leaf, 7_000_000).bound == listed == -500_000
    assert least_group_cost(made, group) == 0
    assert reviewed(made, leaf, 1_000_000).bound == 0
