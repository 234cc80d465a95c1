"""What a change to a job may do to its cost: nothing where it says the same, never more where it allows more."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cutplan.model import Goal, Job, Status, groups_of
from cutplan.units import CURRENCY
from tests.effort import examples
from tests.properties.small_jobs import jobs
from tests.properties.test_second_opinion import SMALL, planned, settings

FEWER = settings(SMALL, max_examples=examples(80, 3))
FEWEST = settings(SMALL, max_examples=examples(40))


def cost(job: Job) -> int | None:
    """The proven cost of a job: its money, and the mass of its groups by mass; None when it has no plan."""
    plan = planned(job)
    if plan is None:
        return None
    assume(plan.status is not Status.NOT_PROVEN)
    return plan.cost + sum(bar.cost for group in plan.groups if group.goal is Goal.MASS for bar in group.bars)


@FEWER
@given(jobs(sections=2), st.randoms(use_true_random=False))
def test_the_order_of_lines_changes_no_cost(job: Job, draw: Random) -> None:
    shuffled = replace(
        job,
        parts=tuple(draw.sample(job.parts, len(job.parts))),
        offers=tuple(draw.sample(job.offers, len(job.offers))),
        offcuts=tuple(draw.sample(job.offcuts, len(job.offcuts))),
    )
    assert cost(shuffled) == cost(job)


@pytest.mark.thorough
@FEWER
@given(jobs(sections=2))
def test_a_line_split_in_two_changes_no_cost(job: Job) -> None:
    first, *others = sorted(job.parts, key=lambda part: -part.quantity)
    assume(first.quantity > 1)
    halves = (replace(first, quantity=1), replace(first, mark=first.mark + "b", quantity=first.quantity - 1))
    assert cost(replace(job, parts=(*halves, *others))) == cost(job)


def stretched(job: Job, k: int) -> Job:
    """Every length times ``k``; what a left over is worth per length divided by it."""
    at = job.workshop
    saw = replace(at.saw, kerf=at.saw.kerf * k, end_trim=at.saw.end_trim * k, safe_hold=at.saw.safe_hold * k)
    return replace(
        job,
        parts=tuple(replace(part, length=part.length * k, depth=part.depth * k) for part in job.parts),
        offers=tuple(replace(offer, length=offer.length * k, counted=offer.counted * k) for offer in job.offers),
        offcuts=tuple(replace(offcut, length=offcut.length * k) for offcut in job.offcuts),
        workshop=replace(
            at,
            saw=saw,
            keep=tuple((family, length * k) for family, length in at.keep),
            offcut_value_per_mm=tuple((family, rate // k) for family, rate in at.offcut_value_per_mm),
            longest_carry=at.longest_carry * k,
        ),
    )


@FEWER
@given(jobs(sections=2), st.sampled_from([2, 7]))
def test_all_lengths_times_a_number_change_no_cost(job: Job, k: int) -> None:
    # Kerfs along a mitre are rounded up to a tenth of a millimetre, and mass grows with length.
    assume(not any(part.mitred for part in job.parts) or job.workshop.saw.kerf == 0)
    longer = stretched(job, k)
    assume(all(b.short_point == a.short_point * k for a, b in zip(job.parts, longer.parts, strict=True)))
    assume(all(group.priced for group in groups_of(job)))
    assert cost(longer) == cost(job)


@pytest.mark.thorough
@FEWER
@given(jobs(sections=2), st.integers(0, 3))
def test_a_longer_catalogue_never_costs_more(job: Job, leave_out: int) -> None:
    assume(leave_out < len(job.offers))
    # A price left out can turn a group from mass to money.
    assume(all(offer.bar_price is not None for offer in job.offers))
    shorter = replace(job, offers=job.offers[:leave_out] + job.offers[leave_out + 1 :])
    with_all, without = cost(job), cost(shorter)
    assert without is None or (with_all is not None and with_all <= without)


@pytest.mark.thorough
@FEWER
@given(jobs(sections=2))
def test_a_thinner_kerf_never_costs_more(job: Job) -> None:
    costs = []
    for kerf in (0, 1_000_000, 2_500_000, 4_000_000):
        costs.append(cost(replace(job, workshop=replace(job.workshop, saw=replace(job.workshop.saw, kerf=kerf)))))
    for thin, thick in pairwise(costs):
        assert thick is None or (thin is not None and thin <= thick)


def no_dearer(changed: Job, job: Job) -> bool:
    """Is the changed job planned for at most the cost of the other, and planned where that is?"""
    before = cost(job)
    if before is None:
        return True
    after = cost(changed)
    return after is not None and after <= before


@pytest.mark.thorough
@FEWEST
@given(jobs(sections=2), st.data())
def test_more_offcuts_never_cost_more(job: Job, data: st.DataObject) -> None:
    assume(job.offcuts)
    more = data.draw(st.lists(st.sampled_from(job.offcuts), min_size=1, max_size=2))
    added = tuple(replace(offcut, mark=f"{offcut.mark}+{n}", book_value=0) for n, offcut in enumerate(more))
    assert no_dearer(replace(job, offcuts=(*job.offcuts, *added)), job)
    first, *others = job.offcuts
    assert no_dearer(replace(job, offcuts=(replace(first, quantity=first.quantity + 1), *others)), job)


@pytest.mark.thorough
@FEWEST
@given(jobs(sections=2))
def test_offcuts_under_one_mark_are_as_many_of_their_own(job: Job) -> None:
    assume(any(offcut.quantity > 1 for offcut in job.offcuts))
    apart = tuple(
        replace(offcut, mark=f"{offcut.mark}+{n}", quantity=1) for offcut in job.offcuts for n in range(offcut.quantity)
    )
    assert cost(replace(job, offcuts=apart)) == cost(job)


@FEWEST
@given(jobs(sections=2), st.integers(0, 3), st.sampled_from([1, CURRENCY // 4, 5 * CURRENCY]))
def test_a_lower_price_never_costs_more(job: Job, place: int, less: int) -> None:
    # Where left overs have a value, a bar may not cost less than what it leaves.
    assume(place < len(job.offers) and not job.workshop.offcut_value_per_mm)
    offer = job.offers[place]
    assume(offer.bar_price is not None)
    lower = replace(offer, bar_price=max(0, (offer.bar_price or 0) - less))
    # A merchant's own minimum order makes up for a lower price, and never for more than it.
    assert no_dearer(replace(job, offers=(*job.offers[:place], lower, *job.offers[place + 1 :])), job)


@pytest.mark.thorough
@FEWEST
@given(jobs(sections=2), st.integers(0, 3))
def test_more_to_be_had_never_costs_more(job: Job, place: int) -> None:
    assume(place < len(job.offers) and job.offers[place].available is not None)
    offer = job.offers[place]
    for available in ((offer.available or 0) + 1, None):
        more = replace(offer, available=available)
        assert no_dearer(replace(job, offers=(*job.offers[:place], more, *job.offers[place + 1 :])), job)
