"""How a length is cut for the carry, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import (
    Brought,
    EndState,
    Merchant,
    PieceOf,
    StockLength,
    Workshop,
    as_weighed,
    carrying,
    obtainable,
    with_no_limit,
    within_carry,
)
from cutplan.model.carrying import bars_of_lengths, ends_of, of_one_length
from cutplan.units import CURRENCY, MM
from tests.builders import job, offer, part, square_tube, workshop
from tests.hand_plans import hand_plan

TERMS = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=2 * CURRENCY)
SHOP = workshop(kerf=2.5, end_trim=10, longest_carry=4000, merchants=[TERMS])
LONG = offer("#1", 8000, 64)


def at(shop: Workshop = SHOP, length: StockLength = LONG, **terms: object) -> Workshop:
    """The workshop with other terms."""
    return replace(shop, merchants=(replace(TERMS, **terms),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("length", "carry", "pieces"),
    [(8000, 4000, 2), (8003, 4000, 2), (8004, 4000, 3), (12000, 4000, 3), (12000, 3000, 4), (4001, 4000, 2)],
)
def test_as_few_pieces_as_the_carry_allows(length: int, carry: int, pieces: int) -> None:
    shop = replace(SHOP, longest_carry=carry * MM)
    found = carrying(offer("#1", length, 64), shop, [part("A", 1, 1000)])
    assert found is not None
    assert found.least == pieces  # a cut of 3 mm between two of them


def test_what_the_pieces_are_and_lose() -> None:
    found = carrying(LONG, SHOP, [])
    assert found is not None
    assert (found.longest, found.kerf, found.tolerance, found.charge) == (4000 * MM, 3 * MM, 5 * MM, 2 * CURRENCY)
    assert found.ordered(2) == 7997 * MM
    assert found.trims(2, 1) == found.trims(2, 2) == (10 * MM, 10 * MM)
    assert found.all_trims(3) == (30 * MM, 30 * MM)
    assert {found.far_end(3, number) for number in (1, 2, 3)} == {EndState.MILL}


def test_ends_that_are_good_as_the_merchant_leaves_them() -> None:
    found = carrying(LONG, at(carry_cuts_squared=False), [])
    assert found is not None
    assert [found.trims(3, number) for number in (1, 2, 3)] == [(0, 10 * MM), (0, 0), (0, 10 * MM)]
    assert [found.far_end(3, number) for number in (1, 2, 3)] == [EndState.MILL, EndState.SAWN, EndState.MILL]


def test_no_cut_is_narrower_than_one_of_the_workshop() -> None:
    found = carrying(LONG, at(carry_kerf=MM), [])
    assert found is not None
    assert found.kerf == 2_500_000


def test_pieces_as_one_bar() -> None:
    found = carrying(LONG, SHOP, [])
    assert found is not None
    assert found.as_one(2 * MM) == 7987 * MM
    # At 3.99 m 8 m are three pieces: two of 3965 and a kerf take more than three trimmed ones have room for.
    found = carrying(LONG, replace(SHOP, longest_carry=3990 * MM), [])
    assert found is not None
    assert found.as_one(0) - 6 * 10 * MM == 2 * 3965 * MM


def test_a_flag_lets_longer_pieces_pass() -> None:
    flagged = replace(SHOP, longest_flagged=6000 * MM)
    assert obtainable(offer("#1", 6000, 50), replace(flagged, merchants=()), [])
    found = carrying(LONG, flagged, [])
    assert found is not None
    assert found.longest == 6000 * MM
    assert replace(flagged, longest_carry=0).carry == 0, "without a longest carry there is no limit"


@pytest.mark.parametrize(
    ("shop", "length"),
    [
        (at(cuts_to_carry=False), LONG),
        (at(delivers=True), LONG),
        (SHOP, offer("#1", 4000, 30)),
        (replace(SHOP, longest_carry=25 * MM), LONG),
        (SHOP, offer("#1", 8000, 64, counted=3900)),
    ],
    ids=["does not cut", "delivers", "short enough", "trims eat it up", "comes too much longer"],
)
def test_what_is_not_cut(shop: Workshop, length: StockLength) -> None:
    assert carrying(length, shop, []) is None


def test_no_cut_is_narrower_than_the_widest_of_the_parts() -> None:
    """2.5 / cos 45, rounded up to 0.1 mm, by hand."""
    parts = [part("A", 1, 1000), part("B", 1, 1000, mitres=(45, 0))]
    found, wide = carrying(LONG, at(carry_kerf=MM), parts), carrying(LONG, at(carry_kerf=5 * MM), parts)
    assert found is not None
    assert wide is not None
    assert (found.kerf, wide.kerf) == (3_600_000, 5 * MM)


def test_the_ends_of_pieces_on_the_rack() -> None:
    pieces = [PieceOf(ordered=(MM, MM, MM), number=number) for number in (1, 2, 3)]
    assert {ends_of(piece, TERMS) for piece in pieces} == {(EndState.MILL, EndState.MILL)}
    as_cut = replace(TERMS, carry_cuts_squared=False)
    mill = (EndState.SAWN, EndState.MILL)
    assert [ends_of(piece, as_cut) for piece in pieces] == [mill, (EndState.SAWN, EndState.SAWN), mill]


IN_THREE, IN_TWO, OTHERWISE, FIFTY = ("L", (40, 40, 30)), ("L", (50, 30)), ("L", (45, 35)), ("M", (50, 60))
FORTY = ("L", (40, 70))
# Bars by what they are of, offer and what its pieces are ordered by, and the number of the piece; what is told of each.
WAYS = {
    "one length": ([(*IN_THREE, 1), (*IN_THREE, 2), (*IN_THREE, 3)], {1: (2, 3), 2: (1, 3), 3: (1, 2)}),
    "one in two ways": (
        [(*IN_TWO, 1), (*OTHERWISE, 1), (*OTHERWISE, 2), (*IN_TWO, 2)],
        {1: (4,), 2: (3,), 3: (2,), 4: (1,)},
    ),
    "two cut alike": ([(*IN_TWO, 1), (*IN_TWO, 1), (*IN_TWO, 2), (*IN_TWO, 2)], {}),
    "a piece of each alike": ([(*IN_TWO, 1), (*IN_TWO, 2), (*FIFTY, 1), (*FIFTY, 2)], {}),
    "a bar like a piece": ([(*FORTY, 1), (*FORTY, 2), ("S", (), 0)], {}),
    "such a bar of another grade": ([(*FORTY, 1), (*FORTY, 2), ("G", (), 0)], {1: (2,), 2: (1,)}),
}


@pytest.mark.parametrize(("bars", "told"), WAYS.values(), ids=WAYS)
def test_which_bars_were_one_length_is_told_where_nobody_can_mistake_them(
    bars: list[tuple[str, tuple[int, ...], int]], told: dict[int, tuple[int, ...]]
) -> None:
    made = job(
        [part("A", len(bars), 10)],
        [offer("L", 110, 1), offer("M", 130, 1), offer("S", 40, 1), offer("G", 40, 1, grade="S355")],
    )
    plain = hand_plan(made, *((source, ["A"]) for source, _, _ in bars))
    whose = [
        PieceOf(ordered=tuple(length * MM for length in ordered), number=number) if ordered else None
        for _, ordered, number in bars
    ]
    (group,) = plain.groups
    cut = tuple(replace(bar, piece_of=piece) for bar, piece in zip(group.bars, whose, strict=True))
    plan = replace(plain, groups=(replace(group, bars=cut),))
    assert of_one_length(made, plan) == told
    by_piece = [numbers for ways in bars_of_lengths(plan).values() for piece in ways for numbers in piece]
    assert sorted(by_piece) == [number for number, piece in enumerate(whose, 1) if piece]


def test_a_piece_is_one_of_its_length() -> None:
    with pytest.raises(ValueError, match="one of those"):
        PieceOf(ordered=(MM, MM), number=3)


@pytest.mark.parametrize(
    ("length", "brought", "whole"),
    [
        (4000, Brought.FETCHED, True),
        (4001, Brought.FETCHED, False),
        (6000, Brought.DELIVERED, True),
        (6001, Brought.DELIVERED, False),
        (6000, Brought.CHEAPER, True),
        (6001, Brought.CHEAPER, False),
    ],
)
def test_what_comes_home_whole(length: int, brought: Brought, whole: bool) -> None:
    """The carry is 4 m, deliveries are of 6 m at most; what is delivered is not cut for the carry."""
    shop = at(delivers=True, longest_delivered=6000 * MM, brought=brought)
    bar = offer("#1", length, 64)
    assert within_carry(bar, shop) is whole
    assert obtainable(bar, shop, []) is (whole or brought is not Brought.DELIVERED)


def test_a_length_without_a_price_leaves_nothing_to_weigh() -> None:
    shop, parts = at(delivers=True), [part("A", 1, 1000)]
    made = job(parts, [LONG], at=shop)
    assert as_weighed(made) is made
    side = square_tube(50)
    unpriced = job([*parts, part("B", 1, 900, section=side)], [LONG, offer("#2", 6000, None, section=side)], at=shop)
    assert as_weighed(unpriced).workshop.merchant("Yard").brought is Brought.DELIVERED


def test_a_job_with_no_limit() -> None:
    flagged = replace(SHOP, longest_flagged=5000 * MM)
    assert with_no_limit(job([part("A", 1, 1000)], [LONG], at=flagged)).workshop.carry == 8000 * MM
