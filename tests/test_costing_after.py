"""A job held against its quote, and figures against minutes, by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

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
    after = after_of(quote, quote.materials, {}, {})
    assert (after.cost, after.left) == (quote.cost, quote.price - quote.cost)
    assert sum(item.cost for item in after.items) == after.cost


def test_what_was_bought_again_and_took_longer_by_hand() -> None:
    """70.00 of materials became 100.00, 52.2 min at 60.00 became 90: 30.00 and 37.80 more than 163.02."""
    quote = offered()
    shares = {"frame": (60 * MONEY, 40_000), "shelf": (40 * MONEY, 50_000)}
    after = after_of(quote, 100 * MONEY, {ALL: (90_000, 52_200)}, shares)
    assert after.cost == 230_820_000
    assert after.left == 203_780_000 - 230_820_000
    frame, shelf = after.items
    assert (frame.materials, shelf.materials) == (60 * MONEY, 40 * MONEY)
    assert (frame.minutes, shelf.minutes) == (40_000, 50_000)
    assert (frame.work, shelf.work) == (40 * MONEY, 50 * MONEY)
    assert frame.cost + shelf.cost == after.cost


@pytest.mark.parametrize(
    ("spent", "minutes", "as_quoted"),
    [
        # 36 of the 52.2 min quoted were for welds and 4 for holes: 20 at the saw and 50 at the welds leave the 4.
        ({"saw": (20_000, 12_200), "drill": (0, 4_000), "weld": (50_000, 36_000)}, 74_000, ("drill",)),
        ({"saw": (20_000, 12_200), "drill": (0, 4_000), "weld": (0, 36_000)}, 60_000, ("drill", "weld")),
        # By other figures twice as much was expected when it was recorded: as quoted are the shares, not those minutes.
        ({"saw": (20_000, 24_400), "drill": (0, 8_000), "weld": (50_000, 72_000)}, 74_000, ("drill",)),
        ({"saw": (20_000, 12_200), "weld": (50_000, 36_000)}, 70_000, ()),
        ({ALL: (90_000, 52_200), "saw": (0, 12_200), "drill": (0, 4_000), "weld": (0, 36_000)}, 90_000, ()),
        ({ALL: (0, 52_200), "saw": (0, 12_200), "drill": (0, 4_000), "weld": (0, 36_000)}, None, ()),
    ],
)  # fmt: skip
def test_kinds_that_are_not_told_stand_as_quoted(
    spent: dict[str, tuple[int, int]], minutes: int | None, as_quoted: tuple[str, ...]
) -> None:
    """By hand, from the 52.2 min of the quote."""
    after = after_of(offered(), offered().materials, spent, {})
    assert (after.minutes, after.as_quoted) == (minutes, as_quoted)
    assert sum(item.minutes for item in after.items) == (minutes or offered().minutes)


@pytest.mark.parametrize(
    ("measured", "expected"),
    [
        ({}, {}),
        # Three jobs took half as long again at the drill: 1 and 1 min become 1.5.
        ({"drill": [(20, 10), (20, 20), (50, 30)]}, {"hours.per_hole": 1500, "hours.per_hole_10_mm": 1500}),
        # To a tenth of a minute: 10/9 of 3 and of 2 min.
        ({"saw": [(20, 20), (25, 20), (15, 20)], "weld": [(40, 30), (20, 30), (40, 30)]},
         {"hours.per_weld_end": 3300, "hours.per_weld_100_mm": 2200}),
        # Two say too little, and one that had none of the work says nothing.
        ({"weld": [(40, 30), (40, 30), (20, 0)]}, {"hours.per_weld_end": None, "hours.per_weld_100_mm": None}),
        ({"weld": [(60, 0)]}, {}),
    ],
)  # fmt: skip
def test_what_minutes_say(measured: dict[str, list[tuple[int, int]]], expected: dict[str, int | None]) -> None:
    found = suggested(replace(HourFigures()), measured)
    assert {each.key: each.better for each in found} == expected


def test_between_what_and_what_jobs_lie() -> None:
    found = suggested(HourFigures(), {"drill": [(20, 10), (20, 20), (50, 30)]})
    assert {(each.work, each.jobs, each.least, each.most) for each in found} == {("drill", 3, Fraction(1), Fraction(2))}
