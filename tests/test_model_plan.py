"""What a Plan works out from itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Status
from tests.builders import job, mm, offer, part, square_tube
from tests.first_fit import first_fit_plan

PLAN = first_fit_plan(
    job(
        [part("P", 3, 600), part("Q", 1, 400, section=square_tube(50))],
        [offer("A", 1000, 10), offer("B", 1000, 12, section=square_tube(50))],
    )
)


def test_bars_of_all_groups() -> None:
    assert [(bar.number, bar.source) for bar in PLAN.bars] == [(1, "A"), (2, "A"), (3, "A"), (4, "B")]


def test_length_of_a_left_over() -> None:
    assert [bar.drop.length for bar in PLAN.bars] == [mm(400)] * 3 + [mm(600)]


def test_possible_saving() -> None:
    """Nothing once proven, however; otherwise what lies between cost and bound."""
    unsure = replace(PLAN, status=Status.NOT_PROVEN, cost=42, bound=40)
    assert unsure.possible_saving == 2
    assert replace(unsure, status=Status.BY_SEARCH, bound=42).possible_saving == 0
    assert replace(unsure, status=Status.RECHECKED, bound=42).possible_saving == 0


def test_a_bar_holds_a_part() -> None:
    with pytest.raises(ValueError, match="bar 1 holds no part"):
        replace(next(iter(PLAN.bars)), cuts=())
