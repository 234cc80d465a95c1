"""Kerfs, strokes and ways to lay a bar, on cases worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.second_opinion.cutting import Lying, Saw, kerf_at, orders, set_ups, short_point, slant, ways
from tests.second_opinion.shop import MM, Part, Shop, Supply

SQUARE, MITRE = Fraction(0), Fraction(45)
SHOP = Shop((), (), kerf=2 * MM, end_trim=10 * MM, hold=0, share=False)
SHARING = replace(SHOP, share=True)
APART = Saw(2 * MM, 20 * MM, share=False)


def part(length: int, a: Fraction = SQUARE, b: Fraction = SQUARE) -> Part:
    return Part("A", 1, "SQ 20", "black", "", length * MM, a, b)


def bar(length: int, mill: tuple[bool, bool] = (True, True)) -> Supply:
    return Supply("P2", "SQ 20", "black", "", length * MM, length * MM, 0, None, "Yard", mill)


@pytest.mark.parametrize(
    ("kerf", "angle", "taken"),
    [
        # 2.5 x 1.41421 = 3.536, 2 x 1.15470 = 2.309, 3 / cos 22.5 = 3.247, 2.5 / cos 15 = 2.588; cos 60 is a half.
        ("2.5", "45", "3.6"),
        ("2", "30", "2.4"),
        ("3", "22.5", "3.3"),
        ("2.5", "15", "2.6"),
        ("2.5", "60", "5"),
        ("3.175", "0", "3.175"),
    ],
)
def test_a_slanted_kerf_is_rounded_up_to_a_tenth(kerf: str, angle: str, taken: str) -> None:
    assert kerf_at(int(Fraction(kerf) * MM), Fraction(angle)) == Fraction(taken) * MM


def test_the_short_point_is_shorter_by_depth_times_tan() -> None:
    assert slant(20 * MM, MITRE) == 20 * MM
    assert slant(20 * MM, Fraction(30)) == 11_600_000  # 11.547
    assert short_point(part(500, MITRE, MITRE)) == 460 * MM


@pytest.mark.parametrize(
    ("why", "supply", "parts", "strokes", "left"),
    [
        ("squaring, between, behind", bar(1000), [part(400), part(400)], 3, 1000 - 10 - 804),
        ("a sawn start needs no squaring", bar(1000, (False, True)), [part(400), part(400)], 2, 1000 - 804),
        ("two that fill a bar are one stroke", bar(802, (False, False)), [part(400), part(400)], 1, 0),
        ("the bar as it comes is none", bar(400, (False, False)), [part(400)], 0, 0),
        ("a trimmed far end is cut off", bar(420), [part(400)], 2, 8),
        ("a mitre is cut even where it is flush", bar(400, (False, False)), [part(400, SQUARE, MITRE)], 1, 0),
        ("a mitred start is not squared", bar(1000), [part(400, MITRE, SQUARE)], 2, 1000 - 10 - 402),
        ("two mitred parts are four", bar(1500), [part(400, MITRE, MITRE), part(400, MITRE, MITRE)], 4, 1490 - 805.8),
        ("what is thinner than the kerf is sawn away", bar(401, (False, False)), [part(400)], 1, 0),
    ],
)
def test_strokes_and_what_is_left(why: str, supply: Supply, parts: list[Part], strokes: int, left: float) -> None:
    (laid,) = set(ways(SHOP, supply, [(each, 1) for each in parts]))
    assert (laid.strokes, laid.left) == (strokes, round(left * MM)), why


def test_the_order_decides_where_the_wide_kerf_falls() -> None:
    # A square part and one mitred at its end B: square faces meet with the mitred part last, and the wide kerf is last.
    mitred, square = part(400, SQUARE, MITRE), part(300)
    found = {(laid.strokes, laid.left) for laid in ways(SHOP, bar(1000), [(mitred, 1), (square, 1)])}
    wide = 2_900_000  # 2 x 1.41421 = 2.828
    assert found == {(3, 990 * MM - 702 * MM - wide), (4, 990 * MM - 700 * MM - wide - 2 * MM)}


def test_only_one_order_may_fit() -> None:
    mitred, square = part(400, SQUARE, MITRE), part(300)
    assert list(ways(SHOP, bar(702, (False, False)), [(mitred, 1), (square, 1)]))
    assert not list(ways(SHOP, bar(701, (False, False)), [(mitred, 1), (square, 1)]))


def test_every_order_is_gone_through() -> None:
    ends = (((SQUARE, SQUARE, False), 2), ((MITRE, MITRE, False), 1))
    square, mitred = Lying(ends[0][0]), Lying(ends[1][0])
    assert {(order.first, order.before_last, order.last) for order in orders(APART, ends)} == {
        (square, square, mitred),
        (square, mitred, square),
        (mitred, square, square),
    }


@pytest.mark.parametrize(
    ("why", "parts", "kept"),
    [
        # 2 x 1.41421 = 2.828, to 2.9; 20 deep, so that a shared cut of 45 degrees takes 2.9 - 20.
        ("a frame in a row", [part(400, MITRE, MITRE)] * 2, {(3, 990.0 - 800 - (2.9 - 20) - 2.9)}),
        ("a frame apart from a square part",
         [part(400, MITRE, MITRE), part(300)], {(4, 990.0 - 700 - 2.9 - 2), (4, 990.0 - 700 - 2.9 - 2.9)}),
        # 2 / cos 30 = 2.309, to 2.4; 20 x tan 30 = 11.547, down to 11.5.
        ("turned end for end", [part(400, SQUARE, Fraction(30)), part(300, SQUARE, Fraction(30))],
         {(3, 990.0 - 700 - (2.4 - 11.5) - 2), (4, 990.0 - 700 - 2.4 - 2.4),
          (3, 990.0 - 700 - 2 - 2.4), (4, 990.0 - 700 - 2.4 - 2)}),
        ("unequal angles share nothing", [part(400, Fraction(30), Fraction(30)), part(300, MITRE, MITRE)],
         {(4, 990.0 - 700 - 2.9 - 2.9), (4, 990.0 - 700 - 2.9 - 2.4)}),
    ],
)  # fmt: skip
def test_mitres_share_a_cut(why: str, parts: list[Part], kept: set[tuple[int, float]]) -> None:
    chosen = [(each, parts.count(each)) for each in dict.fromkeys(parts)]
    found = {(laid.strokes, laid.left) for laid in ways(SHARING, bar(1000), chosen)}
    assert found >= {(strokes, round(left * 10) * MM // 10) for strokes, left in kept}, why
    apart = {(laid.strokes, laid.left) for laid in ways(SHOP, bar(1000), chosen)}
    assert max(left for _, left in apart) <= max(left for _, left in found)
    assert found <= {(strokes, round(left * 10) * MM // 10) for strokes, left in kept}, why


def test_what_is_cut_to_fit_comes_last() -> None:
    ends = (((SQUARE, SQUARE, True), 1), ((SQUARE, MITRE, False), 2))
    assert {(order.first, order.last) for order in orders(APART, ends)} == {(Lying(ends[1][0]), Lying(ends[0][0]))}


@pytest.mark.parametrize(
    ("why", "lengths", "supply", "possible"),
    [
        ("the left over is held", [80, 80], bar(400, (False, False)), True),
        ("nothing is long enough", [80, 80], bar(200, (False, False)), False),
        ("the long part is held", [80, 130], bar(215, (False, False)), True),
        ("a bar that is not cut is not held", [80], bar(80, (False, False)), True),
        ("squaring is a cut too", [80], bar(100, (True, False)), False),
    ],
)
def test_safe_hold(why: str, lengths: list[int], supply: Supply, possible: bool) -> None:
    shop = replace(SHOP, hold=120 * MM)
    chosen = [(part(length), lengths.count(length)) for length in dict.fromkeys(lengths)]
    assert bool(list(ways(shop, supply, chosen))) is possible, why


def test_parts_that_are_cut_alike_share_a_set_up() -> None:
    assert set_ups([part(400), part(400), part(400, SQUARE, MITRE), part(300)]) == 3
