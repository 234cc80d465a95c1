"""A job held against its quote, and figures against minutes, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.costing.after import ALL, after_of, expected_of, suggested
from cutplan.costing.cost_figures import HourFigures
from cutplan.costing.handwork import tasks_of
from tests.costed import bench_planned
from tests.test_quote_words import offered

MONEY = 1_000_000


def test_minutes_by_word() -> None:
    """4 + 2 x 2 + 3 x 1.4 at the saw, 2 walls of 2, 6 ends of 6."""
    found = expected_of(tasks_of(*bench_planned(), HourFigures()))
    assert found == {"saw": 12_200, "drill": 4_000, "weld": 36_000, "coat": 0}


def test_what_is_as_quoted_comes_to_what_was_quoted() -> None:
    quote = offered()
    after = after_of(quote, quote.materials, None, {})
    assert (after.cost, after.left) == (quote.cost, quote.price - quote.cost)
    assert sum(item.cost for item in after.items) == after.cost


def test_what_was_bought_again_and_took_longer_by_hand() -> None:
    """70.00 of materials became 100.00, 52.2 min at 60.00 became 90: 30.00 and 37.80 more than 163.02."""
    quote = offered()
    shares = {"frame": (60 * MONEY, 40_000), "shelf": (40 * MONEY, 50_000)}
    after = after_of(quote, 100 * MONEY, 90_000, shares)
    assert after.cost == 230_820_000
    assert after.left == 203_780_000 - 230_820_000
    frame, shelf = after.items
    assert (frame.materials, shelf.materials) == (60 * MONEY, 40 * MONEY)
    assert (frame.minutes, shelf.minutes) == (40_000, 50_000)
    assert (frame.work, shelf.work) == (40 * MONEY, 50 * MONEY)
    assert frame.cost + shelf.cost == after.cost


@pytest.mark.parametrize(
    ("measured", "expected"),
    [
        ({}, {}),
        # Two jobs took half as long again at the drill: 1 and 1 min become 1.5.
        ({"drill": (2, 90_000, 60_000)}, {"hours.per_hole": 1500, "hours.per_hole_10_mm": 1500}),
        # All together counts where a kind was not told by itself; to a tenth of a minute.
        ({"saw": (1, 60_000, 60_000), ALL: (3, 100_000, 90_000)},
         {"hours.per_hole": 1100, "hours.per_hole_10_mm": 1100, "hours.per_weld_end": 3300,
          "hours.per_weld_100_mm": 2200}),
        ({"weld": (1, 60_000, 0)}, {}),
    ],
)  # fmt: skip
def test_what_minutes_say(measured: dict[str, tuple[int, int, int]], expected: dict[str, int]) -> None:
    found = suggested(replace(HourFigures()), measured)
    assert {each.key: each.better for each in found} == expected
    assert all(each.jobs == measured.get("drill", measured.get(ALL, (0,)))[0] for each in found)
