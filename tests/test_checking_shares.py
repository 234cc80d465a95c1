"""Leaves that tell bars apart: what their shares are, whether they cover their case, what bars come to at least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from cutplan.checking.shares import Share, case_failure, least_sum, shares_of, split_failures
from cutplan.model import Group, Leaf, Split, groups_of
from tests.builders import job, offer, part
from tests.effort import runs
from tests.share_counting import least_by_counting, some_sum

# A and C are cut alike: five of them.
GROUP = groups_of(job([part("A", 3, 300), part("B", 2, 400), part("C", 2, 300)], [offer("P", 1000, 10)]))[0]
A, B, C = range(3)


def split(part: int, low: int, high: int, *, copies: int = 1, share: int = 0) -> Split:
    return Split(share=share, part=part, copies=copies, low=low, high=high)


def kept(low: int, high: int, *, share: int = 0) -> Split:
    return Split(share=share, part=0, copies=0, low=low, high=high, kept=True)


def test_bars_whose_left_over_is_kept_are_a_share() -> None:
    """Of these, those with a B; of the other source's bars with a B, those kept."""
    other = GROUP.parts[B].laid_alike
    splits = [kept(0, 2), split(B, 0, 1, share=2), split(B, 0, 1, share=1), kept(0, 1, share=4)]
    assert shares_of(GROUP.parts, 2, splits) == (
        Share(0, kept=False),
        Share(1, (), ((other, 0),)),
        Share(0, (), ((other, 0),), True),
        Share(0, ((other, 1),), (), True),
        Share(1, ((other, 1),), (), False),
        Share(1, ((other, 1),), (), True),
    )


def test_splits_leave_shares_by_what_is_cut_alike() -> None:
    """Bars with two or more of A and C, of these those with a B, and of the others those with one of A and C."""
    alike, other = GROUP.parts[A].laid_alike, GROUP.parts[B].laid_alike
    splits = [split(A, 0, 2, copies=2), split(B, 0, 1, share=2), split(C, 0, 5)]
    assert shares_of(GROUP.parts, 2, splits) == (
        Share(0, (), ((alike, 0),)),
        Share(1),
        Share(0, ((alike, 2),), ((other, 0),)),
        Share(0, ((alike, 2), (other, 1))),
        Share(0, ((alike, 1),), ((alike, 1),)),
    )


@pytest.mark.parametrize("seeds", runs(range(400, 800), of=50))
def test_the_least_sum_equals_trying_every_number(seeds: range) -> None:
    for seed in seeds:
        ranges, splits, margins = some_sum(seed)
        assert least_sum(ranges, splits, margins) == least_by_counting(ranges, splits, margins), seed


def leaf(*splits: Split) -> Leaf:
    return Leaf(ranges=((0, 7), (0, 7)), duals=(0, 0, 0), splits=splits)


@pytest.mark.parametrize(
    ("splits", "told"),
    [
        ((split(A, 0, 5),), []),
        ((split(A, 0, 5), split(B, 0, 2, share=2)), []),
        ((split(A, 0, 5, share=2),), ["leaf 4 splits a share or by a part that there is none of"]),
        ((split(A, 0, 5, share=-1),), ["leaf 4 splits a share or by a part that there is none of"]),
        ((split(3, 0, 5),), ["leaf 4 splits a share or by a part that there is none of"]),
        ((split(-1, 0, 5),), ["leaf 4 splits a share or by a part that there is none of"]),
        ((split(A, 0, 5, copies=0),), ["leaf 4 splits by 0 copies in 0 to 5 bars"]),
        ((kept(0, 7),), []),
        ((kept(2, 1),), ["leaf 4 splits by 0 copies in 2 to 1 bars"]),
        ((kept(0, 7, share=2),), ["leaf 4 splits a share or by a part that there is none of"]),
        ((replace(kept(0, 7), part=1),), ["leaf 4 splits by what is kept and by a part"]),
        ((replace(kept(0, 7), copies=1),), ["leaf 4 splits by what is kept and by a part"]),
        ((split(A, 2, 1),), ["leaf 4 splits by 1 copies in 2 to 1 bars"]),
        ((split(A, -1, 5),), ["leaf 4 splits by 1 copies in -1 to 5 bars"]),
        ((split(A, 0, 5), split(A, 2, 1)), ["leaf 4 splits by 1 copies in 2 to 1 bars"]),
    ],
)
def test_splits_that_say_nothing(splits: Sequence[Split], told: list[str]) -> None:
    assert list(split_failures(GROUP, 4, leaf(*splits))) == told


def failure(*leaves: Leaf, group: Group = GROUP) -> str | None:
    return case_failure(group, list(enumerate(leaves, start=1)))


def test_leaves_that_cover_their_case() -> None:
    few, many = split(A, 0, 2), split(A, 3, 5)
    assert failure(leaf()) is None
    assert failure(leaf(few), leaf(many)) is None
    assert failure(leaf(many), leaf(few)) is None
    # Below one of them the bars are told apart further; five of A and C make two bars of two at most.
    further = [leaf(many, split(B, 0, 0, share=2)), leaf(many, split(B, 1, 2, share=2))]
    assert failure(*further, leaf(few)) is None
    assert failure(leaf(split(C, 0, 0, copies=2)), leaf(split(C, 1, 2, copies=2))) is None
    # Seven pieces are on seven bars at most.
    assert failure(leaf(kept(0, 2)), leaf(kept(3, 7))) is None
    assert failure(leaf(kept(0, 0), few), leaf(kept(1, 7)), leaf(kept(0, 0), many)) is None
    assert failure(leaf(split(A, 0, 99))) is None, "numbers beyond what is wanted are in no plan"


@pytest.mark.parametrize(
    ("leaves", "told"),
    [
        ([leaf(split(A, 0, 2))], "the leaves beside leaf 1 of the proof end at 2 of 5 bars"),
        ([leaf(split(C, 0, 1, copies=2))], "the leaves beside leaf 1 of the proof end at 1 of 2 bars"),
        (
            [leaf(split(A, 1, 5))],
            "leaf 1 of the proof does not go on where its neighbour ends, at 0 bars",
        ),
        (
            [leaf(split(A, 0, 2)), leaf(split(A, 4, 5))],
            "leaf 2 of the proof does not go on where its neighbour ends, at 3 bars",
        ),
        (
            [leaf(split(A, 0, 2)), leaf(split(A, 2, 5))],
            "leaf 2 of the proof does not go on where its neighbour ends, at 3 bars",
        ),
        ([leaf(kept(0, 2)), leaf(kept(3, 6))], "the leaves beside leaf 1 of the proof end at 6 of 7 bars"),
        ([leaf(kept(1, 7))], "leaf 1 of the proof does not go on where its neighbour ends, at 0 bars"),
        ([leaf(kept(0, 2)), leaf(split(A, 3, 5))], "leaves 1 and 2 of the proof split the same bars in two ways"),
        (
            [leaf(kept(0, 2)), leaf(replace(kept(3, 7), kept=False))],
            "leaves 1 and 2 of the proof split the same bars in two ways",
        ),
        ([leaf(), leaf()], "leaves 1 and 2 of the proof overlap"),
        ([leaf(split(A, 0, 5)), leaf()], "leaves 2 and 1 of the proof overlap"),
        ([leaf(split(A, 0, 5)), leaf(split(A, 0, 5))], "leaves 1 and 2 of the proof overlap"),
        (
            [leaf(split(A, 0, 2)), leaf(split(C, 3, 5))],
            "leaves 1 and 2 of the proof split the same bars in two ways",
        ),
        (
            [leaf(split(A, 0, 2)), leaf(split(A, 3, 5, share=1))],
            "leaves 1 and 2 of the proof split the same bars in two ways",
        ),
        (
            [leaf(split(A, 0, 2)), leaf(split(A, 3, 5, copies=2))],
            "leaves 1 and 2 of the proof split the same bars in two ways",
        ),
        (
            [leaf(split(A, 0, 2)), leaf(split(A, 3, 5), split(B, 0, 1))],
            "the leaves beside leaf 2 of the proof end at 1 of 2 bars",
        ),
    ],
)
def test_leaves_that_do_not_cover_their_case_once(leaves: list[Leaf], told: str) -> None:
    assert failure(*leaves) == told
