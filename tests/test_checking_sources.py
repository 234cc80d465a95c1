"""What the checker makes of offers and offcuts, against sums done by hand."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.checking.carry_pieces import sources_of
from cutplan.checking.sources import (
    cost_text,
    goal_of,
    mill_end_trim,
    offcut_source,
    offer_source,
    value_rate,
)
from cutplan.model import EndState, Goal, Merchant, Saw, SourceKind, groups_of
from tests.builders import job, mm, offcut, offer, part


@pytest.mark.parametrize(
    ("saw", "trim"),
    [
        (Saw(kerf=mm(2), end_trim=mm(10)), 10),
        (Saw(kerf=mm(2), end_trim=mm(10), end_trim_includes_cut=False), 12),
        (Saw(kerf=mm(2), end_trim=mm(10), mill_ends_accepted=True), 0),
        (Saw(kerf=mm(2), end_trim=0), 0),
        (Saw(kerf=mm(2), end_trim=0, end_trim_includes_cut=False), 0),
    ],
)
def test_mill_end_trim(saw: Saw, trim: int) -> None:
    assert mill_end_trim(saw) == mm(trim)


def test_an_offer_is_trimmed_at_both_ends() -> None:
    tiny = job([part("P", 1, 500)], [offer("A", 6000, 30, counted=5990, available=3)], kerf="2.5", end_trim=10)
    source = offer_source(tiny, tiny.offers[0], Goal.MONEY)
    assert (source.length, source.start_trim, source.far_trim) == (mm(5990), mm(10), mm(10))
    assert (source.far_end, source.price, source.most) == (EndState.MILL, 30_000_000, 3)


def test_by_mass_a_bar_costs_its_nominal_milligrams_and_an_offcut_nothing() -> None:
    tiny = job([part("P", 1, 500)], [offer("A", 6000, None, counted=5990)], [offcut("R", 700, 5)])
    assert offer_source(tiny, tiny.offers[0], Goal.MASS).price == 18_000_000
    assert offcut_source(tiny, tiny.offcuts[0], Goal.MASS).price == 0
    assert offcut_source(tiny, tiny.offcuts[0], Goal.MONEY).price == 5_000_000


@pytest.mark.parametrize(
    ("ends", "start", "far", "far_end"),
    [
        ("sawn sawn", 0, 0, EndState.SAWN),
        ("mill sawn", 0, 10, EndState.MILL),
        ("sawn mill", 0, 10, EndState.MILL),
        ("mill mill", 10, 10, EndState.MILL),
    ],
)
def test_start_is_a_sawn_end_of_an_offcut(ends: str, start: int, far: int, far_end: EndState) -> None:
    tiny = job([part("P", 1, 500)], [], [offcut("R", 700, ends=ends)], end_trim=10)
    source = offcut_source(tiny, tiny.offcuts[0], Goal.MONEY)
    assert (source.start_trim, source.far_trim, source.far_end) == (mm(start), mm(far), far_end)


def test_a_slanted_end_is_squared() -> None:
    slanted = offcut("R", 700, angle_a=45_000_000, depth=mm(40), side=3)
    tiny = job([part("P", 1, 500)], [], [slanted], end_trim=10)
    source = offcut_source(tiny, tiny.offcuts[0], Goal.MONEY)
    assert (source.length, source.start_trim, source.far_trim) == (mm(700), mm(40), 0)


def test_carry() -> None:
    tiny = job(
        [part("P", 1, 500)],
        [offer("A", 6000, 30), offer("B", 6000, 30, merchant="Northgate")],
        longest_carry=5000,
        merchants=[Merchant(name="Northgate", delivers=True)],
    )
    sources = sources_of(tiny, groups_of(tiny)[0], Goal.MONEY)
    assert [source.carried for source in sources.values()] == [False, True]


def test_an_offer_and_an_offcut_may_share_a_name() -> None:
    tiny = job([part("P", 1, 500)], [offer("X", 6000, 30)], [offcut("X", 700)])
    assert list(sources_of(tiny, groups_of(tiny)[0], Goal.MONEY)) == [
        (SourceKind.BOUGHT, "X"),
        (SourceKind.OFFCUT, "X"),
    ]


def test_goal_and_value() -> None:
    """One missing price is enough: the group is planned by mass, where a left over has no value."""
    priced = job([part("P", 1, 500)], [offer("A", 6000, 30)], offcut_value_per_mm=2000)
    unpriced = job([part("P", 1, 500)], [offer("A", 6000, 30), offer("B", 6000, None)], offcut_value_per_mm=2000)
    assert goal_of(groups_of(priced)[0]) is Goal.MONEY
    assert goal_of(groups_of(unpriced)[0]) is Goal.MASS
    assert value_rate(priced, priced.offers[0], Goal.MONEY) == 2000
    assert value_rate(unpriced, unpriced.offers[0], Goal.MASS) == 0


def test_a_left_over_is_worth_no_more_than_was_paid_for_its_length() -> None:
    """12 over 5950 mm counted on is 2016.8 millionths a mm, 1 over 500 mm 2000, 1 over 501 mm 1996.007."""
    stock: list[Any] = [offer("A", 6000, 12, counted=5950)]
    offcuts = [offcut("K", 500, 1), offcut("M", 501, 1), offcut("N", 500, 0)]
    tiny = job([part("P", 1, 400)], stock, offcuts, offcut_value_per_mm=2500)
    assert [value_rate(tiny, bar, Goal.MONEY) for bar in [*stock, *offcuts]] == [2016, 2000, 1996, 0]


def test_costs_are_quoted_exactly() -> None:
    assert cost_text(31_500_001, Goal.MONEY, "EUR") == "31.500001 EUR"
    assert cost_text(-18_000_000, Goal.MASS, "EUR") == "-18 kg"
