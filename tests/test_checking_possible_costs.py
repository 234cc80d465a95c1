"""What bars of a case can cost, by hand and against every number of bars tried."""

from __future__ import annotations

import random
from itertools import product

import pytest

from cutplan.checking.carry_pieces import sources_of
from cutplan.checking.possible_costs import next_cost
from cutplan.checking.problem import Problem
from cutplan.checking.proof import ProofReview, review_proof
from cutplan.checking.reckoning import reckonings
from cutplan.model import Goal, Job, Leaf, Merchant, Proof, Status, Work, groups_of
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import seeds

CENT = CURRENCY // 100


def problem_of(job: Job) -> Problem:
    """The one group of a job as a bound sees it."""
    (group,) = groups_of(job)
    return Problem(
        parts=group.parts,
        sources=tuple(sources_of(job, group, Goal.MONEY).values()),
        hold=0,
        keep=0,
        most_kept=0,
        step=1,
        denominator=1,
        reckoning=reckonings(group.parts, job.workshop.saw.kerf)[0][0],
        flush=frozenset(),
    )


def fetched(*, charge: int = 2, prices: tuple[str, str] = ("60", "117"), book: str = "8.29", **at: object) -> Job:
    """6 m in two pieces, 12 m in four, and an offcut."""
    merchant = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=charge * CURRENCY)
    offers = [
        builders.offer(f"P{n}", length, price, merchant="Yard")
        for n, (length, price) in enumerate(zip((6000, 12000), prices, strict=True))
    ]
    parts, offcuts = [builders.part("A", 9, 900)], [builders.offcut("R", 1000, book)]
    return builders.job(parts, offers, offcuts, longest_carry=3900, merchants=[merchant], **at)


def at(job: Job, ranges: tuple[tuple[int, int], ...], bound: str) -> float:
    return next_cost(problem_of(job), ranges, round(float(bound) * CURRENCY)) / CURRENCY


def test_with_numbers_settled_only_further_cuts_cost_more() -> None:
    """62 + 123 + 8.29 = 193.29, and 2 for every cut more."""
    one_each = ((1, 1), (1, 1), (1, 1))
    assert at(fetched(), one_each, "150") == 151.29
    assert at(fetched(), one_each, "193.30") == 195.29
    assert at(fetched(), one_each, "195.29") == 195.29


def test_open_numbers_add_what_their_bars_cost() -> None:
    """62, 123 and 2 have 1 in common: whole, or 8.29 more."""
    assert at(fetched(), ((0, 9), (0, 9), (0, 1)), "98.30") == 99
    assert at(fetched(), ((0, 9), (0, 9), (0, 1)), "98.20") == 98.29
    assert at(fetched(), ((0, 9), (0, 9), (0, 0)), "98.01") == 99
    # No bar of 12 m: 62 and 2 are even.
    assert at(fetched(), ((0, 9), (0, 0), (1, 1)), "98.30") == 100.29


def test_a_source_of_which_very_many_may_be_had_adds_what_all_have_in_common() -> None:
    """Three of 60 and one of 117: 60, 117, 120, 177, 180 and so on; of 9,000 each nothing but multiples of 3."""
    assert at(fetched(charge=0), ((0, 3), (0, 1), (0, 0)), "61") == 117
    assert at(fetched(charge=0), ((0, 9000), (0, 0), (0, 0)), "61") == 120
    assert at(fetched(charge=0), ((0, 9000), (0, 9000), (0, 0)), "61") == 63


def test_a_bound_above_all_that_bars_can_cost_is_rounded_up() -> None:
    """Of all sources, offcut and all, whole cents are common."""
    assert at(fetched(charge=0), ((0, 1), (0, 0), (0, 0)), "61.001") == 61.01


def test_work_comes_in_whole_amounts_too() -> None:
    """62 and 123 for a bar and 0.50 a stroke, that of START with it: costs are multiples of 0.50 from there."""
    job = fetched(book="8.30", work=Work(per_cut=CURRENCY // 2))
    assert at(job, ((1, 1), (0, 0), (1, 1)), "70.35") == 70.8
    assert at(job, ((1, 1), (0, 0), (0, 0)), "70.35") == 70.5


def test_any_cost_is_possible_where_left_overs_have_a_value() -> None:
    assert at(fetched(offcut_value_per_mm=5000), ((1, 1), (0, 0), (1, 1)), "70.35") == 70.35


@pytest.mark.parametrize("seed", seeds(400))
def test_no_number_of_bars_costs_anything_between(seed: int) -> None:
    draw = random.Random(f"possible {seed}")
    prices = tuple(str(draw.choice([draw.randint(20, 90), draw.randint(2000, 9000) / 100])) for _ in range(2))
    charge, book = draw.choice([0, 1, 2, 5, 30]), str(draw.choice([0, 4, 8.29, draw.randint(1, 900) / 100]))
    problem = problem_of(fetched(charge=charge, prices=prices, book=book))  # type: ignore[arg-type]
    ranges = []
    for most in (9, 9, 1):
        low = draw.choice([0, draw.randint(0, most)])
        ranges.append((low, draw.choice([low, most, draw.randint(low, most)])))
    bound = draw.randint(0, 400 * 100) * CENT + draw.choice([0, 1])
    numbers = product(*(range(low, high + 1) for low, high in ranges))
    pieces = range(60 if charge and any(high for _, high in ranges[:2]) else 1)
    costs = {
        sum(n * source.price for n, source in zip(bars, problem.sources, strict=True)) + more * charge * CURRENCY
        for bars in numbers
        for more in (pieces if any(bars[:2]) else (0,))
    }
    true = min((cost for cost in costs if cost >= bound), default=None)
    found = next_cost(problem, ranges, bound)
    assert found >= bound
    assert true is None or found <= true
    if true is not None and not charge and ranges[0] == ranges[1] == (0, 9):
        assert found == true, "with so few bars all costs are told apart"


def test_a_proof_is_rounded_by_the_numbers_of_its_leaves_and_refused_where_they_leave_some_out() -> None:
    """Nine parts worth 7 are 63; no length costs less than it holds: 62 for six, 123 for twelve, 8.29 for one."""
    job = fetched()
    (group,) = groups_of(job)

    def review(*ranges: tuple[tuple[int, int], ...], dual: int = 0) -> ProofReview:
        leaves = tuple(Leaf(ranges=some, duals=(dual,)) for some in ranges)
        proof = Proof(
            sources=("P0", "P1", "R"), status=Status.NOT_PROVEN, denominator=1, step=1, leaves=leaves, bound=0
        )
        return review_proof(job, group, proof)

    low, rest = ((0, 9), (0, 9), (0, 0)), ((0, 9), (0, 9), (1, 1))
    assert review(low, rest, dual=7 * CURRENCY).bound == 63 * CURRENCY
    assert review(rest, low, dual=7 * CURRENCY + 1).bound == 64 * CURRENCY
    assert review(((0, 9), (0, 9), (1, 1))).failures == (
        "the leaves of the proof cover 100 of 200 cases of bar counts",
    )
    assert review(low, ((0, 9), (0, 8), (1, 1))).bound is None
