"""Of pieces that serve alike the oldest is used; cost, proof and every bar stay as they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations
from random import Random
from typing import Any

import pytest

from cutplan import actions
from cutplan.model import Fate, Job, Part, Plan, SourceKind
from cutplan.planning import oldest_first
from tests import builders
from tests.builders import mm
from tests.effort import seeds


def used(plan: Plan) -> list[str]:
    return [bar.source for bar in plan.bars if bar.kind is SourceKind.OFFCUT]


def test_the_first_of_those_alike() -> None:
    job = builders.job(
        [builders.part("A", 2, 900)],
        [builders.offer("P2", 6000, 35)],
        [
            builders.offcut("NEW1", 1000, grade="S235"),
            builders.offcut("OLD", 1000),
            builders.offcut("LOT", 1000, quantity=1),
            builders.offcut("LAST", 1000),
        ],
    )
    plan = actions.plan(job)
    latest = replace(
        plan,
        groups=tuple(
            replace(
                group,
                bars=tuple(replace(bar, source=mark) for bar, mark in zip(group.bars, ("LAST", "LOT"), strict=True)),
            )
            for group in plan.groups
        ),
    )
    assert actions.verify((job, latest)) == ()
    assert used(oldest_first(job, latest)) == ["OLD", "LOT"]
    assert actions.verify((job, oldest_first(job, latest))) == ()


def test_a_piece_that_differs_is_not_swapped() -> None:
    pieces = [builders.offcut("OLD", 1000, book=5), builders.offcut("MILL", 1000, ends="mill sawn"),
              builders.offcut("NEW", 1000)]  # fmt: skip
    job = builders.job([builders.part("A", 1, 1000)], [builders.offer("P2", 6000, 35)], pieces, end_trim=10)
    plan = actions.plan(job)
    assert used(plan) == used(oldest_first(job, plan)) == ["NEW"]


def test_several_of_one_mark() -> None:
    pieces = [builders.offcut("LOT", 1000, quantity=3), builders.offcut("NEW", 1000)]
    job = builders.job([builders.part("A", 4, 900)], [builders.offer("P2", 6000, 35)], pieces)
    plan = oldest_first(job, actions.plan(job))
    assert sorted(used(plan)) == ["LOT", "LOT", "LOT", "NEW"]
    assert actions.verify((job, plan)) == ()


def from_ledger(lengths: Sequence[float], parts: Sequence[Part], **settings: Any) -> tuple[Job, Plan]:
    """Pieces K1, K2 ..., the oldest first, and the plan before any is preferred to another for its age."""
    pieces = [builders.offcut(f"K{place}", length) for place, length in enumerate(lengths, 1)]
    subject = builders.job(parts, [builders.offer("P6", 6000, 35)], pieces, keep=300, **settings)
    return subject, actions.plan(subject)


def test_a_piece_that_is_used_up_may_be_an_older_longer_one() -> None:
    subject, plan = from_ledger([990, 950, 920], [builders.part("A", 2, 900)])
    assert sorted(used(plan)) == ["K2", "K3"]
    assert sorted(used(oldest_first(subject, plan))) == ["K1", "K2"]
    assert actions.verify((subject, oldest_first(subject, plan))) == ()


def test_a_piece_that_leaves_an_offcut_stays_the_shortest_that_serves() -> None:
    """A left over of it would be as old as the piece it is of."""
    subject, plan = from_ledger([2900, 1250], [builders.part("A", 1, 900)])
    assert used(plan) == used(oldest_first(subject, plan)) == ["K2"]


def test_older_pieces_are_not_taken_where_they_would_leave_an_offcut_or_hold_less() -> None:
    subject, plan = from_ledger([1201, 899, 900], [builders.part("A", 1, 900)])
    assert used(plan) == used(oldest_first(subject, plan)) == ["K3"]


def test_bars_make_room_for_one_another() -> None:
    """K1 serves A and B, K2 only A, which has K1 at first: the oldest two go, each to the bar it serves."""
    subject, plan = from_ledger([1000, 930, 990], [builders.part("A", 1, 900), builders.part("B", 1, 960)])
    assert sorted(used(plan)) == ["K2", "K3"]
    assert {bar.cuts[0].mark: bar.source for bar in oldest_first(subject, plan).bars} == {"A": "K2", "B": "K1"}


@pytest.mark.parametrize("seed", seeds(60))
def test_the_oldest_set_of_pieces_that_there_is(seed: int) -> None:
    """Against trying every way to give the bars of a plan to pieces that are used up by them."""
    random = Random(seed)
    parts = [builders.part(f"P{n}", random.randint(1, 2), random.randrange(600, 1000, 40)) for n in range(2)]
    lengths = [random.randrange(600, 1100, 25) for _ in range(5)]
    subject, plan = from_ledger(lengths, parts, kerf="2.5")
    gone = [bar for bar in plan.bars if bar.kind is SourceKind.OFFCUT and bar.drop.fate is not Fate.KEEP]
    stay = {bar.source for bar in plan.bars if bar not in gone}
    pieces = [piece for piece in subject.offcuts if piece.mark not in stay]
    ways = (
        [piece.mark for piece in way]
        for way in permutations(pieces, len(gone))
        if all(0 <= piece.length - bar.cuts[-1].end < mm("302.5") for bar, piece in zip(gone, way, strict=True))
    )
    best = min((sorted(way) for way in ways), default=[])
    older = oldest_first(subject, plan)
    assert actions.verify((subject, older)) == ()
    assert sorted(bar.source for bar in older.bars if bar.kind is SourceKind.OFFCUT and bar.source not in stay) == best
    assert older.cost == plan.cost
