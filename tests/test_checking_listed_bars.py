"""Leaves over bars that are listed: never above the least cost, whatever duals they have and whatever is listed."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from cutplan.checking.proof import ProofReview, review_proof
from cutplan.model import Group, Job, Leaf, Listing, Proof, Split, Status, Work, groups_of
from cutplan.units import CURRENCY
from tests.brute_force import least_group_cost, stocks_of
from tests.builders import job, offer, part
from tests.effort import seeds
from tests.properties.test_told_apart import some_job

DENOMINATOR = 1000
EVERYTHING = 10**12
"""A cost so high that no bar is too dear for a plan that costs less."""


def reviewed(made: Job, leaves: Sequence[Leaf]) -> ProofReview:
    group = groups_of(made)[0]
    sources = tuple(stock.name for stock in stocks_of(made, group))
    proof = Proof(
        sources=sources, status=Status.NOT_PROVEN, denominator=DENOMINATOR, step=100_000, leaves=tuple(leaves), bound=0
    )
    return review_proof(made, group, proof)


def some_duals(draw: random.Random, made: Job, group: Group) -> tuple[int, ...]:
    """About what the parts are worth for their length."""
    stocks = stocks_of(made, group)
    scale = max(stock.price for stock in stocks) * DENOMINATOR / max(stock.length for stock in stocks)
    return tuple(int(part.length * scale * draw.uniform(0.6, 1.4)) for part in group.parts)


def some_keep_dual(draw: random.Random, made: Job) -> int:
    return draw.randint(0, 200_000 * DENOMINATOR) if made.workshop.most_kept is not None else 0


def whole_leaf(draw: random.Random, made: Job) -> Leaf:
    """One that covers every case."""
    group = groups_of(made)[0]
    ranges = tuple((0, stock.most) for stock in stocks_of(made, group))
    return Leaf(ranges=ranges, duals=some_duals(draw, made, group), keep_dual=some_keep_dual(draw, made))


@pytest.mark.parametrize("kept", [True, False])
@pytest.mark.parametrize("seed", seeds(200))
def test_a_list_of_everything_bounds_what_all_sets_do(seed: int, kept: bool) -> None:
    draw, made = random.Random(seed), some_job(seed)
    leaf, parts = whole_leaf(draw, made), groups_of(made)[0].parts
    listing = Listing(duals=(0,) * len(parts), below=EVERYTHING, kept=kept)
    plain, over_list = reviewed(made, [leaf]), reviewed(made, [replace(leaf, listing=listing)])
    assert plain.failures == over_list.failures == ()
    assert plain.bound is not None
    assert over_list.bound is not None
    # Over the list a bound is raised to a multiple of what costs share; and parts laid alike count by the highest dual
    # among them.
    alike = len({part.laid_alike for part in parts}) < len(parts)
    truth = least_group_cost(made, groups_of(made)[0])
    assert alike or plain.bound <= over_list.bound
    assert over_list.bound <= (EVERYTHING if truth is None else truth)


def some_tree(draw: random.Random, made: Job, whole: Leaf) -> list[Leaf]:
    """Leaves over one list that tell bars apart by up to three splits, of any share made so far, with any duals.

    Where bars whose left over is kept are not listed, these are told apart of sources alone and by nothing else.
    """
    group = groups_of(made)[0]
    assert whole.listing is not None
    all_listed = whole.listing.kept

    def grown(splits: tuple[Split, ...]) -> list[Leaf]:
        if len(splits) == 3 or draw.random() < 0.3:
            worth = 3_000_000 * DENOMINATOR
            return [
                replace(
                    whole,
                    duals=some_duals(draw, made, group),
                    splits=splits,
                    split_duals=tuple(
                        draw.choice([0, draw.randint(-worth, worth)]) * (all_listed or not split.kept)
                        for split in splits
                    ),
                )
            ]
        place, share = draw.randrange(len(group.parts)), draw.randrange(len(whole.ranges) + len(splits))
        alike = sum(one.quantity for one in group.parts if one.laid_alike == group.parts[place].laid_alike)
        copies, kept = draw.randint(1, alike), draw.random() < 0.4
        if not all_listed and kept:
            share = draw.randrange(len(whole.ranges))
        elif not all_listed and share >= len(whole.ranges) and splits[share - len(whole.ranges)].kept:
            share = splits[share - len(whole.ranges)].share
        most = group.pieces if kept else alike // copies
        first = Split(share=share, part=0 if kept else place, copies=0 if kept else copies, low=0, high=0, kept=kept)
        at = draw.randint(0, most)
        numbers = [(0, at), (at + 1, most)] if at < most else [(0, most)]
        return [leaf for low, high in numbers for leaf in grown((*splits, replace(first, low=low, high=high)))]

    return grown(())


def narrowed(draw: random.Random, made: Job, group: Group, leaf: Leaf) -> Leaf:
    """A leaf whose list is made within some of its first splits by what is kept, by other duals."""
    assert leaf.listing is not None
    first = next((k for k, split in enumerate(leaf.splits) if not split.kept), len(leaf.splits))
    splits = draw.randint(0, first)
    duals = some_duals(draw, made, group) if splits else leaf.listing.duals
    return replace(leaf, listing=replace(leaf.listing, splits=splits, duals=duals))


@pytest.mark.parametrize("kept", [True, False])
@pytest.mark.parametrize("seed", seeds(400))
def test_no_leaves_over_any_list_bound_above_the_least_cost(seed: int, kept: bool) -> None:
    draw, made = random.Random(seed), some_job(seed)
    group = groups_of(made)[0]
    truth = least_group_cost(made, group)
    whole = whole_leaf(draw, made)
    below = int((truth or 30_000_000) * draw.choice([1, 1, draw.uniform(0.9, 1.1)])) + draw.choice([0, 1, 1])
    listing = Listing(duals=some_duals(draw, made, group), keep_dual=some_keep_dual(draw, made), below=below)
    listing = replace(listing, kept=kept)
    leaves = some_tree(draw, made, replace(whole, listing=listing))
    if not kept:
        leaves = [narrowed(draw, made, group, leaf) for leaf in leaves]
    answer = reviewed(made, leaves)
    assert answer.failures == ()
    assert answer.bound is not None
    assert answer.bound <= below
    assert truth is None or answer.bound <= truth


VALUED = job([part("P", 3, 400), part("Q", 2, 300)], [offer("A", 1000, 10)], keep=150, offcut_value_per_mm=2000)
LISTING = Listing(duals=(4_000_000 * DENOMINATOR, 3_000_000 * DENOMINATOR), below=19_000_000)
LEAF = Leaf(ranges=((0, 5),), duals=LISTING.duals, listing=LISTING)
KEPT = Split(share=0, part=0, copies=0, low=0, high=5, kept=True)


def test_what_cannot_be_in_a_plan_for_less_is_left_out() -> None:
    """P for 4 and Q for 3: all parts are worth 18, and P with two Q just its bar of 10, so that no plan is below 18.

    Two P leave 200 for 0.40, 9.60 less 8 is 1.60 more; P and Q 9.40 - 7, two Q 9.20 - 6, and what is less costs more
    still. For less than 19 no bar may cost as much as 1 more, which leaves P with two Q alone: there a P may be worth
    10 and Q nothing, 30 for three P. Over all sets two P are worth 10.40 too much then, on five bars: 30 - 52.
    """
    assert reviewed(VALUED, [replace(LEAF, listing=None)]).bound == 18_000_000
    duals = (10_000_000 * DENOMINATOR, 0)
    assert reviewed(VALUED, [replace(LEAF, duals=duals)]).bound == 19_000_000
    assert reviewed(VALUED, [replace(LEAF, duals=duals, listing=None)]).bound == -22_000_000
    # For less than 19.61 two P may be cut: again they are worth too much.
    further = Listing(duals=LEAF.duals, below=19_610_000)
    assert reviewed(VALUED, [replace(LEAF, duals=duals, listing=further)]).bound == -22_000_000


@pytest.mark.parametrize(("splits", "bound"), [(0, "11.1"), (1, "15.1")])
def test_a_list_is_shorter_within_numbers_of_bars_whose_left_over_is_kept(splits: int, bound: str) -> None:
    """As above two P for 10 cost 2 more than they are worth, so that for less than 21 they are listed too.

    Where one bar is kept, which costs 1.60 more at least, 1.40 is left for the others: P with two Q alone is listed.
    With P at 5.50 and Q at nothing, all parts are worth 16.50, two P 1.40 more than a kept bar of them, and 1 more than
    each of four that keep nothing, if those are listed.
    """
    listing = replace(LISTING, kept=False, below=_money("21"))
    leaves = [
        replace(LEAF, listing=listing, splits=(replace(KEPT, low=low, high=high),), split_duals=(0,))
        for low, high in ((0, 0), (1, 1), (2, 5))
    ]
    duals = (_money("5.5") * DENOMINATOR, 0)
    leaves[1] = replace(leaves[1], duals=duals, listing=replace(listing, splits=splits))
    assert reviewed(VALUED, leaves).bound == _money(bound)


def _money(text: str) -> int:
    return int(Fraction(text) * CURRENCY)


@pytest.mark.parametrize(
    ("below", "p", "bound"),
    [
        # P with two Q alone, for 10: plans of these cost 10 or 20.
        ("19", "4", "19"),
        ("19", "1.3", "10"),
        ("19", "1.34", "19"),
        # And two P, for 9.60: costs are multiples of 0.40.
        ("19.61", "4", "18"),
        ("19.61", "3.9", "18"),
        ("19.61", "3.867", "18"),
        ("19.61", "3.866", "17.6"),
    ],
)
def test_a_bound_is_raised_to_what_bars_that_are_listed_can_cost_together(below: str, p: str, bound: str) -> None:
    """Three P at ``p`` and two Q at 3, no bar worth more than it costs; a bound is a multiple of what costs share."""
    listing = replace(LISTING, below=_money(below))
    leaf = replace(LEAF, duals=(_money(p) * DENOMINATOR, LEAF.duals[1]), listing=listing)
    assert reviewed(VALUED, [leaf]).bound == _money(bound)


@pytest.mark.parametrize(("kept", "bound"), [(True, "21.250005"), (False, "19.250005")])
def test_cuts_that_every_plan_has_are_left_aside_when_a_bound_is_raised(kept: bool, bound: str) -> None:
    """P with two Q and two P are listed, each for 10 and 0.250001 a part, which for five parts every plan has.

    Without it the bars cost 20, not 18 as by the duals, or a millionth less for each Q. Bars whose left over is kept
    cost 10 less a multiple of 0.0002, as each tenth of a millimetre is worth that.
    """
    work = Work(per_cut=_money("0.250001"))
    valued: dict[str, Any] = {"end_trim": 5, "keep": 310, "offcut_value_per_mm": 2000, "work": work}
    made = job([part("P", 3, 400), part("Q", 2, 300)], [offer("A", 1010, "9.749999")], **valued)
    duals = (_money("4.250001") * DENOMINATOR, _money("3.25") * DENOMINATOR)
    leaf = replace(LEAF, duals=duals, listing=replace(LISTING, duals=duals, below=_money("22"), kept=kept))
    assert reviewed(made, [leaf]).bound == _money(bound)
    assert least_group_cost(made, groups_of(made)[0]) == _money("21.250005")


@pytest.mark.parametrize(
    ("numbers", "bound"),
    [
        # Three P for 30; no bar that is listed is worth more than it costs, which is 10.
        ((0, 0), "30"),
        # Up to so many bars with two P, each worth 10.40 more than it costs.
        ((0, 1), "19.6"),
        ((0, 2), "9.2"),
        # And so many at least; a bar that is bought to be kept costs 8, two P in it 9.60.
        ((1, 2), "9.2"),
        ((3, 5), "-22"),
    ],
)
def test_numbers_of_bars_whose_left_over_is_kept_are_counted(numbers: tuple[int, int], bound: str) -> None:
    """With P at 10 and Q at nothing; nothing is below 19, so that more is not said than that."""
    leaf = replace(LEAF, duals=(10_000_000 * DENOMINATOR, 0), listing=replace(LISTING, kept=False))
    low, high = numbers
    cases = [(low, high), *([(0, low - 1)] if low else []), *([(high + 1, 5)] if high < 5 else [])]
    leaves = [
        replace(leaf, splits=(replace(KEPT, low=first, high=last),), split_duals=(0,), ranges=((0, 5),))
        for first, last in cases
    ]
    # Of all others the duals of the listing are taken, which show 18 at least, and 1.60 more where one is kept.
    leaves[1:] = [replace(one, duals=LISTING.duals) for one in leaves[1:]]
    assert reviewed(VALUED, leaves).bound == min(_money(bound), LISTING.below)


@pytest.mark.parametrize(
    ("leaves", "told"),
    [
        ([replace(LEAF, split_duals=(1,))], "leaf 1 has 1 duals for 0 splits"),
        ([replace(LEAF, splits=(KEPT,))], "leaf 1 has 0 duals for 1 splits"),
        ([replace(LEAF, listing=None, splits=(KEPT,), split_duals=(0,))], "leaf 1 has 1 duals for 1 splits"),
        (
            [replace(LEAF, listing=Listing(duals=(1,), below=1))],
            "the listing of leaf 1 has 1 duals for 2 parts",
        ),
        (
            [replace(LEAF, listing=Listing(duals=(1, -1), below=1))],
            "the listing of leaf 1 has a negative dual",
        ),
        (
            [replace(LEAF, listing=Listing(duals=(1, 1), keep_dual=1, below=1))],
            "the listing of leaf 1 charges kept left overs, whose number is not limited",
        ),
        (
            [
                replace(
                    LEAF,
                    listing=replace(LISTING, kept=False),
                    splits=(KEPT, Split(share=1, part=0, copies=1, low=0, high=3)),
                    split_duals=(0, 0),
                )
            ],
            "leaf 1 tells apart by a part bars that are not listed",
        ),
        (
            [
                replace(
                    LEAF,
                    listing=replace(LISTING, kept=False),
                    splits=(Split(share=0, part=0, copies=1, low=0, high=3), replace(KEPT, share=1)),
                    split_duals=(0, 0),
                )
            ],
            "leaf 1 tells apart by what is kept bars that are listed, or kept all",
        ),
        (
            [replace(LEAF, listing=replace(LISTING, kept=False), splits=(KEPT,), split_duals=(1,))],
            "leaf 1 has a dual for a number of bars that are not listed",
        ),
        *(
            (
                [replace(LEAF, listing=replace(LISTING, kept=kept, splits=splits), splits=(KEPT,), split_duals=(0,))],
                f"the listing of leaf 1 says that it is made within {splits} splits by what is kept",
            )
            for kept, splits in ((False, 2), (False, -1), (True, 1))
        ),
        (
            [
                replace(
                    LEAF,
                    listing=replace(LISTING, kept=False, splits=1),
                    splits=(Split(share=0, part=0, copies=1, low=0, high=3),),
                    split_duals=(0,),
                )
            ],
            "the listing of leaf 1 says that it is made within 1 splits by what is kept",
        ),
        (
            [
                replace(LEAF, splits=(replace(KEPT, high=1),), split_duals=(0,)),
                replace(LEAF, splits=(replace(KEPT, low=2),), listing=None),
            ],
            "leaves 1 and 2 of the proof split the same bars in two ways",
        ),
    ],
)
def test_listings_that_say_nothing(leaves: list[Leaf], told: str) -> None:
    answer = reviewed(VALUED, leaves)
    assert told in answer.failures
    assert answer.bound is None


def test_leaves_of_a_case_list_bars_whose_left_over_is_kept_all_or_none() -> None:
    """The cheapest plan has two bars with P, 9.60 where the left over is kept, and one of 10: two of all, one listed.

    Leaves for one of all bars, and for two of those whose left over is not kept, would both pass it over, at 25 and 20.
    """
    with_p = Split(share=0, part=0, copies=1, low=0, high=1)
    listing = replace(LISTING, below=_money("25"))
    one_of_all = replace(LEAF, duals=(_money("20") * DENOMINATOR, 0), listing=listing, splits=(with_p,))
    one_of_all = replace(one_of_all, split_duals=(_money("-30.4") * DENOMINATOR,))
    two_of_others = replace(LEAF, duals=(0, 0), listing=replace(listing, kept=False))
    two_of_others = replace(two_of_others, splits=(replace(with_p, low=2, high=3),))
    two_of_others = replace(two_of_others, split_duals=(_money("10") * DENOMINATOR,))
    assert least_group_cost(VALUED, groups_of(VALUED)[0]) == _money("19.6")
    for leaves in ([one_of_all, two_of_others], [two_of_others, one_of_all]):
        answer = reviewed(VALUED, leaves)
        assert answer.failures == ("leaves 1 and 2 of the proof split the same bars in two ways",)
        assert answer.bound is None


def test_sets_with_mitres_are_not_listed() -> None:
    mitred = job([part("P", 3, 400, mitres=(45, 45))], [offer("A", 1000, 10)])
    leaf = Leaf(ranges=((0, 3),), duals=(1,), listing=Listing(duals=(1,), below=1))
    (told,) = reviewed(mitred, [leaf]).failures
    assert told == "leaf 1 cannot be rechecked: sets are listed of whole lengths and square parts alone"


def test_numbers_that_could_overflow_are_refused() -> None:
    for leaf in (
        replace(LEAF, duals=(2**62, 0)),
        replace(LEAF, splits=(KEPT,), split_duals=(-(2**62),)),
        replace(LEAF, listing=Listing(duals=(2**61, 2**61), below=1)),
    ):
        (told,) = reviewed(VALUED, [leaf]).failures
        assert "too large for 64-bit sums" in told
