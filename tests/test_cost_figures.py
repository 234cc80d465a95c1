"""Figures of costs: times that grow with a size."""

from __future__ import annotations

import pytest

from cutplan.costing.cost_figures import CostFigures, HourFigures, minutes_by_size


@pytest.mark.parametrize(
    ("base", "per_step", "size", "step", "expected"),
    [
        (1000, 1000, 400, 1000, 1400),
        (1000, 0, 400, 1000, 1000),
        (0, 1, 1, 2, 1),
        (0, 1, 1, 3, 0),
    ],
)
def test_a_time_grows_with_the_size(base: int, per_step: int, size: int, step: int, expected: int) -> None:
    assert minutes_by_size(base, per_step, size, step) == expected


def test_nothing_is_charged_that_nobody_set() -> None:
    usual = CostFigures()
    assert (usual.hour_rate, usual.consumables, usual.transport, usual.overhead, usual.margin) == (0, 0, 0, 0, 0)
    assert usual.hours == HourFigures()
    assert usual.measured == frozenset()
