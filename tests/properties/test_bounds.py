"""On tiny jobs correct plans pass, leaves bound what listing every set bounds, and never more than the least cost."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from cutplan.checking import check, review
from cutplan.checking.proof import review_proof
from cutplan.model import Group, Job, Leaf, Proof, Split, Status, groups_of
from tests.brute_force import leaf_bound, least_cost, least_group_cost, stocks_of
from tests.effort import examples
from tests.first_fit import DoesNotFit, first_fit_plan
from tests.strategies import STEPS, tiny_jobs

fewer = settings(max_examples=examples(150), deadline=None, suppress_health_check=[HealthCheck.filter_too_much])


@fewer
@given(tiny_jobs(), STEPS)
def test_first_fit_plans_pass(tiny: Job, step: int) -> None:
    try:
        plan = first_fit_plan(tiny, step=step)
    except DoesNotFit:
        assume(False)
    assert check(tiny, plan) == ()
    assert review(tiny, plan).bars == len(list(plan.bars))


@fewer
@given(tiny_jobs(), STEPS)
def test_bound_and_cost_enclose_the_least_cost(tiny: Job, step: int) -> None:
    try:
        plan = first_fit_plan(tiny, step=step)
    except DoesNotFit:
        assume(False)
    least = least_cost(tiny)
    assert least is not None
    assert plan.bound <= least <= plan.cost


@settings(fewer, max_examples=examples(150, 3))
@given(tiny_jobs(), STEPS, st.data())
def test_any_leaves_bound_what_listing_bounds_and_never_more_than_the_least_cost(
    tiny: Job, step: int, data: st.DataObject
) -> None:
    """Duals are drawn at random: whatever they are, the bound is valid. One source's counts are split in two leaves."""
    group = groups_of(tiny)[0]
    stocks = stocks_of(tiny, group)
    assume(stocks)
    denominator = data.draw(st.sampled_from([1, 7, 1000]))
    highest = max(stock.price for stock in stocks) * denominator
    root = [(0, stock.most) for stock in stocks]
    split = data.draw(st.integers(0, len(stocks) - 1))
    at = data.draw(st.integers(0, max(0, stocks[split].most - 1)))
    boxes = [root]
    if stocks[split].most > 0:
        low, high = list(root), list(root)
        low[split], high[split] = (0, at), (at + 1, stocks[split].most)
        boxes = [low, high]
    leaves = tuple(
        Leaf(ranges=tuple(box), duals=tuple(data.draw(st.integers(0, highest)) for _ in group.parts)) for box in boxes
    )
    names = tuple(stock.name for stock in stocks)
    proof = Proof(sources=names, status=Status.NOT_PROVEN, denominator=denominator, step=step, leaves=leaves, bound=0)
    answer = review_proof(tiny, group, proof)
    listed = min(leaf_bound(tiny, group, names, leaf, denominator=denominator, step=step) for leaf in leaves)
    assert answer.failures == ()
    assert answer.bound is not None
    # Where parts are mitred, listing knows the best order of every set, and adding up does not.
    assert answer.bound <= listed if mitred(group) else answer.bound == listed
    least = least_group_cost(tiny, group)
    assert least is None or answer.bound <= least


def mitred(group: Group) -> bool:
    """Is any part mitred?"""
    return any(part.mitred for part in group.parts)


@st.composite
def split_leaves(draw: st.DrawFn, group: Group, root: tuple[tuple[int, int], ...], highest: int) -> tuple[Leaf, ...]:
    """Leaves that tell bars apart, as one tree of at most two splits makes them, in any order."""

    def grown(splits: tuple[Split, ...]) -> list[Leaf]:
        if len(splits) == 2 or (splits and draw(st.booleans())):
            duals = tuple(draw(st.integers(0, highest)) for _ in group.parts)
            return [Leaf(ranges=root, duals=duals, splits=splits)]
        if not any(split.kept for split in splits) and draw(st.booleans()):
            at, share = draw(st.integers(0, group.pieces)), draw(st.integers(0, len(root) + len(splits) - 1))
            kept = Split(share=share, part=0, copies=0, low=0, high=at, kept=True)
            further = grown((*splits, replace(kept, low=at + 1, high=group.pieces))) if at < group.pieces else []
            return grown((*splits, kept)) + further
        place = draw(st.integers(0, len(group.parts) - 1))
        alike = sum(part.quantity for part in group.parts if part.laid_alike == group.parts[place].laid_alike)
        copies = draw(st.integers(1, alike))
        at = draw(st.integers(0, alike // copies))
        share = draw(st.integers(0, len(root) + len(splits) - 1))
        leaves = []
        for low, high in ((0, at), (at + 1, alike // copies)):
            if low <= high:
                leaves += grown((*splits, Split(share=share, part=place, copies=copies, low=low, high=high)))
        return leaves

    return tuple(draw(st.permutations(grown(()))))


@fewer
@given(tiny_jobs(most_parts=2), st.data())
def test_leaves_that_tell_bars_apart_bound_what_listing_bounds(tiny: Job, data: st.DataObject) -> None:
    """Whatever the splits and duals are."""
    group = groups_of(tiny)[0]
    stocks = stocks_of(tiny, group)
    assume(0 < len(stocks) <= 2 and group.pieces <= 5)
    denominator, step = data.draw(st.sampled_from([1, 7, 1000])), data.draw(STEPS)
    root = tuple((0, stock.most) for stock in stocks)
    leaves = data.draw(split_leaves(group, root, max(stock.price for stock in stocks) * denominator))
    names = tuple(stock.name for stock in stocks)
    proof = Proof(sources=names, status=Status.NOT_PROVEN, denominator=denominator, step=step, leaves=leaves, bound=0)
    answer = review_proof(tiny, group, proof)
    assert answer.failures == ()
    assert answer.bound is not None
    listed = min(leaf_bound(tiny, group, names, leaf, denominator=denominator, step=step) for leaf in leaves)
    assert answer.bound <= listed if mitred(group) else answer.bound == listed
    least = least_group_cost(tiny, group)
    assert least is None or answer.bound <= least


@fewer
@given(tiny_jobs(most_parts=2))
def test_a_bound_raised_by_one_is_caught(tiny: Job) -> None:
    try:
        plan = first_fit_plan(tiny)
    except DoesNotFit:
        assume(False)
    planned = plan.groups[0]
    raised = replace(planned.proof, bound=planned.proof.bound + 1)
    tampered = replace(plan, groups=(replace(planned, proof=raised), *plan.groups[1:]))
    assert any("bound" in failure or "at least" in failure for failure in check(tiny, tampered))
