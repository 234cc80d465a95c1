"""Of pieces that serve alike the oldest is used; cost, proof and every bar stay as they are."""

from __future__ import annotations

from dataclasses import replace

from cutplan import actions
from cutplan.model import Plan, SourceKind
from cutplan.planning import oldest_first
from tests import builders


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
