"""Whole lengths of each group: taken, unused, and what is paid for what is left of them."""

from __future__ import annotations

from cutplan.units import MILLIMETRES, money_text
from cutplan.words.whole_lengths import lengths_of, lengths_text, lengths_values
from tests import builders
from tests.hand_plans import hand_plan


def test_what_stays_unused_and_what_is_left_over_costs() -> None:
    """By hand: three of 2.4 m from 6 m at 30.00 and 3 m at 18.00.

    Of 6 m 4.8 m are cut up, of 3 m 2.4 m; left are 1.2 m of 5.00 a metre and 0.6 m of 6.00 a metre: 6.00 and 3.60.
    Of five lengths of 3 m four stay unused, and of two on the rack both.
    """
    parts = [builders.part("A", 3, 2400)]
    offers = [builders.offer("P", 6000, 30), builders.offer("Q", 3000, 18, available=5)]
    rack = [builders.offcut("R", 6500, ends="mill mill", quantity=2), builders.offcut("S", 900)]
    job = builders.job(parts, offers, rack)
    (group,) = lengths_of(job, hand_plan(job, ("P", ["A", "A"]), ("Q", ["A"])))
    assert [(each.length // 1_000_000, each.taken, each.unused, each.on_rack) for each in group.lengths] == [
        (3000, 1, 4, False),
        (6000, 1, None, False),
        (6500, 0, 2, True),
    ]
    assert money_text(group.adds or 0) == "9.60"
    assert lengths_text(group, MILLIMETRES) == (
        "SHS 40x40x3 to EN 10219-2, any grade, black: 1 x 3 m and 4 unused, 1 x 6 m, 0 x 6.5 m from the rack and "
        "2 unused; what is left of them adds 9.60"
    )
    assert lengths_values(group)["lengths"][0] == {"length_mm": "3000", "taken": 1, "unused": 4, "on_rack": False}


def test_one_merchant_without_a_limit_leaves_none_unused() -> None:
    offers = [builders.offer("P", 6000, 30, available=3), builders.offer("Q", 6000, 31, merchant="Dock")]
    job = builders.job([builders.part("A", 1, 6000)], offers)
    (group,) = lengths_of(job, hand_plan(job, ("P", ["A"])))
    assert [(each.taken, each.unused) for each in group.lengths] == [(1, None)]
    assert lengths_text(group, MILLIMETRES).endswith("black: 1 x 6 m")


def test_a_price_that_is_missing_is_said() -> None:
    job = builders.job([builders.part("A", 1, 900)], [builders.offer("P", 6000, None)])
    (group,) = lengths_of(job, hand_plan(job, ("P", ["A"])))
    assert lengths_text(group, MILLIMETRES).endswith("1 x 6 m; price missing")
    assert lengths_values(group)["whole_lengths_add"] is None
    from_rack = builders.job([builders.part("A", 1, 900)], [], [builders.offcut("R", 900)])
    (group,) = lengths_of(from_rack, hand_plan(from_rack, ("R", ["A"])))
    assert lengths_text(group, MILLIMETRES).endswith("black: no whole lengths")
