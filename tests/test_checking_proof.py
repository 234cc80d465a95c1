"""Proofs worked through against bounds found by hand, and proofs that prove nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking.proof import ProofReview, review_proof
from cutplan.model import Job, Leaf, Part, Proof, Split, Status, Work, groups_of
from cutplan.units import CURRENCY
from tests.builders import job, mm, offcut, offer, part

# A bar of 1000 for 10 or 1500 for 14; P of 500, Q of 750.
TINY = job([part("P", 4, 500), part("Q", 2, 750)], [offer("A", 1000, 10), offer("B", 1500, 14)], [offcut("R", 500, 1)])


def leaf(ranges: Sequence[tuple[int, int]], *euros: float, denominator: int = 100) -> Leaf:
    return Leaf(ranges=tuple(ranges), duals=tuple(round(value * CURRENCY * denominator) for value in euros))


def proof(*leaves: Leaf, sources: Sequence[str] = ("A", "B", "R"), **other: Any) -> Proof:
    return Proof(
        sources=tuple(sources),
        status=Status.NOT_PROVEN,
        denominator=other.pop("denominator", 100),
        step=other.pop("step", 1),
        leaves=leaves,
        bound=0,
        **other,
    )


def worked(tiny: Job, subject: Proof) -> ProofReview:
    return review_proof(tiny, groups_of(tiny)[0], subject)


def bound(tiny: Job, subject: Proof) -> float:
    answer = worked(tiny, subject)
    assert answer.failures == ()
    assert answer.bound is not None
    return answer.bound / CURRENCY


ROOT = [(0, 6), (0, 6), (0, 1)]


def test_root_bound_by_hand() -> None:
    """P worth 4 2/3, Q worth 7: A holds at most 2 P (9.33), B 3 P or 2 Q (14). R holds one P at 1: margin -3.67.

    4 x 4.66 + 2 x 7 - 3.66 = 28.98, up to the next whole euro, as 10, 14 and 1 are whole.
    """
    assert bound(TINY, proof(leaf(ROOT, 4.66, 7))) == 29


def test_leaves_are_worked_one_by_one_and_the_least_counts() -> None:
    """Without R the offcut's margin is not spent: 4 x 4.66 + 14 = 32.64, up to 33."""
    without, with_it = [(0, 6), (0, 6), (0, 0)], [(0, 6), (0, 6), (1, 1)]
    assert bound(TINY, proof(leaf(without, 4.66, 7), leaf(with_it, 4.66, 7))) == 29
    assert bound(TINY, proof(leaf(without, 4.66, 7), leaf(with_it, 0, 0))) == 1 + 0


def test_least_counts_are_paid_for() -> None:
    """At least two bars A, duals 0: two times 10; none of B and R is needed."""
    leaves = [leaf([(0, 1), (0, 6), (0, 1)], 9, 9), leaf([(2, 6), (0, 6), (0, 1)], 0, 0)]
    assert bound(TINY, proof(leaves[1], leaf([(0, 1), (0, 6), (0, 1)], 0, 0))) == 0
    assert worked(TINY, proof(*leaves)).leaves == 2
    only = job([part("P", 4, 500)], [offer("A", 1000, 10)])
    assert bound(only, proof(leaf([(0, 1)], 100), leaf([(2, 4)], 0), sources=["A"])) == 20


def test_rounding_up_to_what_all_costs_are_a_multiple_of() -> None:
    """4 parts worth 4.90 in bars of 10: 19.60, up to 20; with a value on left overs nothing is rounded."""
    only = job([part("P", 4, 500)], [offer("A", 1000, 10)])
    assert bound(only, proof(leaf([(0, 4)], 4.9), sources=["A"])) == 20
    valued = job([part("P", 4, 500)], [offer("A", 1000, 10)], offcut_value_per_mm=1)
    assert bound(valued, proof(leaf([(0, 4)], 4.9), sources=["A"])) == 19.6


def test_the_value_of_a_left_over_lowers_the_bound() -> None:
    """One P leaves 500 worth 1: 10 - 1 - 5 = 4; two P leave nothing: 10 - 10 = 0. With P worth 6: 12 - 10, -2."""
    valued = job([part("P", 2, 500)], [offer("A", 1000, 10)], offcut_value_per_mm=2000, keep=300)
    assert bound(valued, proof(leaf([(0, 2)], 5), sources=["A"])) == 10
    assert bound(valued, proof(leaf([(0, 2)], 6), sources=["A"])) == 12 - 2 * 2
    # Worth nothing, the empty bar counts: 10 less 1000 mm x 0.002.
    assert bound(valued, proof(leaf([(0, 0)], 0), leaf([(1, 2)], 0), sources=["A"])) == 0
    assert bound(valued, proof(leaf([(0, 0)], 9), leaf([(1, 2)], 0), sources=["A"])) == 8


def test_safe_hold_raises_the_bound() -> None:
    """Ten of 100 fill a bar of 1000; a hold of 120 allows eight, or more with one of 200 in."""
    short = job([part("S", 20, 100)], [offer("A", 1000, 10)], safe_hold=120)
    assert bound(short, proof(leaf([(0, 20)], 1.25), sources=["A"])) == 30
    free = job([part("S", 20, 100)], [offer("A", 1000, 10)])
    assert bound(free, proof(leaf([(0, 20)], 1), sources=["A"])) == 20
    mixed = job([part("S", 8, 100), part("L", 1, 200)], [offer("A", 1000, 10)], safe_hold=120)
    # 8 S and L fill one bar: worth 1.25 each and nothing for L, the margin is 0.
    assert bound(mixed, proof(leaf([(0, 9)], 1.25, 0), sources=["A"])) == 10


def test_a_whole_bar_needs_no_hold() -> None:
    """A bar of 100 that is the part; the hold of 120 forbids every cut of it."""
    whole = job([part("S", 2, 100)], [offer("A", 100, 3)], safe_hold=120)
    assert bound(whole, proof(leaf([(0, 2)], 3), sources=["A"])) == 6
    assert bound(whole, proof(leaf([(0, 2)], 4), sources=["A"])) == 8 - 2 * 1
    cut = job([part("S", 2, 90)], [offer("A", 100, 3)], safe_hold=120)
    assert bound(cut, proof(leaf([(0, 2)], 400), sources=["A"])) == 801  # no bar can hold one: any bound is true


def test_a_coarse_step_only_weakens_the_bound() -> None:
    """In steps of 300 mm a P counts as one step and a bar of 1000 takes three: 20 - 2 x ..., each bar margin -5."""
    only = job([part("P", 4, 500)], [offer("A", 1000, 10)])
    assert bound(only, proof(leaf([(0, 4)], 5), sources=["A"])) == 20
    assert bound(only, proof(leaf([(0, 4)], 5), sources=["A"], step=mm(300))) == 0


def test_a_part_shorter_than_the_step_counts_as_nothing() -> None:
    """By steps of 600 mm any bar holds all four of P, one of 1000 a Q beside them, one of 1500 two."""
    assert bound(TINY, proof(leaf(ROOT, 0, 7), step=mm(600))) == 14
    assert bound(TINY, proof(leaf(ROOT, 2.5, 2), step=mm(600))) == 14 - 6 * 2 - 9
    assert bound(TINY, proof(leaf(ROOT, 2.5, 2), step=1)) == 13
    assert bound(TINY, proof(leaf(ROOT, 2.5, 2, denominator=10**11), denominator=10**11)) == 13


def test_grades_are_kept_apart() -> None:
    """P wants S355, which only B is; A at 10 serves Q alone."""
    graded = job(
        [part("P", 2, 500, grade="S355"), part("Q", 2, 500)], [offer("A", 1000, 10), offer("B", 1000, 16, grade="S355")]
    )
    assert bound(graded, proof(leaf([(0, 4), (0, 4)], 8, 5), sources=["A", "B"])) == 26


def test_what_a_cut_costs_everywhere_is_a_step_of_its_own_unless_a_bar_serves_uncut() -> None:
    """Five cuts at 0.70, and four parts worth 4.90 beyond them in bars of 10: 19.60, up to 20, and 3.50.

    An offcut as long as the part may spare a cut, so that every multiple of 0.10 is possible: 23.10. Where its
    grade does not serve the part it spares none.
    """
    for grade, least in (("S235", 23.1), ("", 23.5)):
        graded = job(
            [part("P", 4, 400, grade="S235"), part("Q", 1, 150)],
            [offer("A", 1000, 10, grade="S235")],
            [offcut("R", 400, 6, grade=grade)],
            work=Work(per_cut=700_000),
        )
        assert bound(graded, proof(leaf([(0, 5), (0, 1)], 5.6, 0.7), sources=["A", "R"])) == least


def test_by_mass() -> None:
    """3 kg a metre: two bars of 1000 for four halves are 6 kg."""
    unpriced = job([part("P", 4, 500)], [offer("A", 1000, None)], offcut_value_per_mm=2000)
    subject = proof(Leaf(ranges=((0, 4),), duals=(1_500_000,)), sources=["A"], denominator=1)
    assert worked(unpriced, subject).bound == 6_000_000


def test_what_cannot_be_cut_from_what_is_allowed_is_bounded_as_high_as_wanted() -> None:
    """With no source but an offcut too short, duals of a million euros are true."""
    short = job([part("P", 1, 500)], [offer("A", 1000, 10)], [offcut("R", 400, 1)])
    assert bound(short, proof(leaf([(0, 1)], 1_000_000), sources=["R"])) == 1_000_000


def test_an_offcut_called_like_an_offer() -> None:
    twin = job([part("P", 2, 500)], [offer("X", 1000, 10)], [offcut("X", 400)])
    assert bound(twin, proof(leaf([(0, 2), (0, 1)], 5), sources=["X", "X"])) == 10


@pytest.mark.parametrize(
    ("subject", "told"),
    [
        (proof(leaf(ROOT, 1, 1), sources=["A", "B"]), "the proof's sources do not end with all offcuts of the group"),
        (proof(leaf(ROOT, 1, 1), sources=["A", "C", "R"]), "the proof speaks of C, which is no offer of the group"),
        (proof(leaf(ROOT, 1, 1), sources=["A", "A", "R"]), "the proof names an offer twice"),
        (proof(leaf(ROOT, 1, 1), denominator=0), "the proof's denominator and working step are at least 1"),
        (proof(leaf(ROOT, 1, 1), step=0), "the proof's denominator and working step are at least 1"),
        (proof(leaf(ROOT[:2], 1, 1)), "leaf 1 has 2 ranges for 3 sources"),
        (proof(leaf(ROOT, 1)), "leaf 1 has 1 duals for 2 parts"),
        (proof(leaf(ROOT, 1, -1)), "leaf 1 has a negative dual"),
        (proof(leaf([(0, 7), (0, 6), (0, 1)], 1, 1)), "leaf 1: the range 0 to 7 of A does not lie in 0 to 6"),
        (proof(leaf([(0, 6), (0, 6), (0, 2)], 1, 1)), "leaf 1: the range 0 to 2 of R does not lie in 0 to 1"),
        (proof(leaf([(2, 1), (0, 6), (0, 1)], 1, 1)), "leaf 1: the range 2 to 1 of A does not lie in 0 to 6"),
        (proof(leaf([(-1, 6), (0, 6), (0, 1)], 1, 1)), "leaf 1: the range -1 to 6 of A does not lie in 0 to 6"),
        (proof(leaf([(0, 5), (0, 6), (0, 1)], 1, 1)), "the leaves of the proof cover 84 of 98 cases of bar counts"),
        (proof(leaf(ROOT, 1, 1), leaf([(6, 6), (0, 0), (0, 0)], 1, 1)), "leaves 1 and 2 of the proof overlap"),
        (proof(), "the leaves of the proof cover 0 of 98 cases of bar counts"),
        (proof(leaf(ROOT, 1e13, 1)), "leaf 1 cannot be rechecked: the duals are too large for 64-bit sums"),
    ],
)
def test_what_is_no_proof(subject: Proof, told: str) -> None:
    answer = worked(TINY, subject)
    assert answer == ProofReview(failures=(told,), bound=None, leaves=0)


def test_counts_beyond_the_number_of_parts_need_no_leaf() -> None:
    """Nine of A are to be had, four parts are wanted: a plan never has more than four bars."""
    only = job([part("P", 4, 500)], [offer("A", 1000, 10, available=9)])
    for most in (4, 9):
        assert bound(only, proof(leaf([(0, most)], 5), sources=["A"])) == 20
    assert worked(only, proof(leaf([(0, 3)], 5), sources=["A"])).failures


def test_too_many_steps_are_refused() -> None:
    odd = job([part("P", 1, "500.000001"), part("Q", 1, 400)], [offer("A", 1000, 10)])
    (told,) = worked(odd, proof(leaf([(0, 2)], 1, 1), sources=["A"])).failures
    assert told == "leaf 1 cannot be rechecked: 1000000000 working steps of 0.000001 mm are too many"


def test_a_common_multiple_of_the_lengths_keeps_the_arrays_short() -> None:
    """A step of 1 nm is no trouble where all lengths are multiples of 0.25 mm."""
    fine = job([part("P", 1, "500.25"), part("Q", 1, 400)], [offer("A", 1000, 10)])
    assert bound(fine, proof(leaf([(0, 2)], 5, 5), sources=["A"])) == 10


def test_long_steps_do_not_overflow_where_nothing_can_be_added() -> None:
    """Steps of 2 m: worth nothing, or both on one bar of 6 m, the parts leave a value to find and no set to add."""
    long = job([part("P", 2, 2000)], [offer("A", 6000, 30)], keep=300, offcut_value_per_mm=1000)
    assert bound(long, proof(leaf([(0, 0)], 20), leaf([(1, 2)], 0), sources=["A"], step=mm(2000))) == 30 - 6
    apart, together = (
        replace(leaf([(0, 2)], 15), splits=(Split(share=0, part=0, copies=2, low=bars, high=bars),)) for bars in (0, 1)
    )
    # Both on one bar leave 2 m of it, worth 2.
    assert bound(long, proof(apart, together, sources=["A"], step=mm(2000))) == 30 - 2
    only = job([part("P", 2, 2000)], [offer("A", 6000, 30)])
    assert bound(only, proof(apart, together, sources=["A"], step=mm(2000))) == 30


def test_the_same_duals_in_many_leaves_are_worked_once() -> None:
    """A different answer for the same duals would show as another bound."""
    first = leaf([(0, 2), (0, 6), (0, 1)], 4.66, 7)
    second = replace(first, ranges=((3, 6), (0, 6), (0, 1)))
    assert bound(TINY, proof(first, second)) == 29


def test_a_value_too_large_for_64_bits_is_refused() -> None:
    """4000 a millimetre makes a metre worth 4 million; over a denominator of ten million that no longer fits."""
    dear = job([part("P", 1, 500)], [offer("A", 1000, 4_000_000)], offcut_value_per_mm=4_000_000_000)
    (told,) = worked(dear, proof(leaf([(0, 1)], 0), sources=["A"], denominator=10**7)).failures
    assert (
        told == "leaf 1 cannot be rechecked: the denominator or the value of a left over is too large for 64-bit sums"
    )


def test_who_shares_a_set_up_is_asked_once_for_each_part(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    known = Part.cut_alike.__get__

    def counted(asker: Part) -> Any:
        asked.append(asker.mark)
        return known(asker)

    monkeypatch.setattr(Part, "cut_alike", property(counted))
    counts = []
    for number in (20, 40):
        asked.clear()
        parts = [part(f"P{n}", 1, 300 + n) for n in range(number)]
        tiny = job(parts, [offer("A", 1000, 10)], work=Work(per_setup=CURRENCY))
        worked(tiny, proof(leaf([(0, number)], *[1.0] * number), sources=("A",)))
        counts.append(len(asked))
    assert 0 < counts[1] <= 2 * counts[0]
