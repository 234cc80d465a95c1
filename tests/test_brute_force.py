"""The brute force itself, on cases solved by hand."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.model import Job, Leaf, Merchant, Work, groups_of
from cutplan.units import CURRENCY
from tests.brute_force import leaf_bound, least_cost, least_group_cost
from tests.builders import job, offcut, offer, part

PLAIN = offer("A", 1000, 10)


def euros(value: float) -> int:
    return round(value * CURRENCY)


WORK = Work(per_bar=euros(1), per_cut=euros(2), per_setup=euros(3))


@pytest.mark.parametrize(
    ("why", "tiny", "cost"),
    [
        ("two halves, no kerf", job([part("P", 2, 500)], [PLAIN]), 10),
        ("a kerf of 1 mm keeps two halves apart", job([part("P", 2, 500)], [PLAIN], kerf=1), 20),
        ("two of 499.5 and one cut of 1 fill a bar flush", job([part("P", 2, "499.5")], [PLAIN], kerf=1), 10),
        ("trims of 10 leave 980 + 1", job([part("P", 2, "489.5")], [PLAIN], kerf=1, end_trim=10), 10),
        ("a hair more than 980 + 1", job([part("P", 2, "489.6")], [PLAIN], kerf=1, end_trim=10), 20),
        (
            "a trim without its cut is a kerf longer",
            job([part("P", 2, "489.5")], [PLAIN], kerf=1, end_trim=10, end_trim_includes_cut=False),
            20,
        ),
        (
            "mill ends accepted: no trim",
            job([part("P", 2, "499.5")], [PLAIN], kerf=1, end_trim=10, mill_ends_accepted=True),
            10,
        ),
        ("a mitre takes 2.5 / cos 45 = 3.6", job([part("P", 2, "498.2", mitres=(45, 0))], [PLAIN], kerf="2.5"), 10),
        ("and no less", job([part("P", 2, "498.3", mitres=(45, 0))], [PLAIN], kerf="2.5", share_mitres=False), 20),
        ("a shared one 40 less", job([part("P", 2, "518.2", mitres=(45, 0))], [PLAIN], kerf="2.5"), 10),
        ("a shared one no less", job([part("P", 2, "518.3", mitres=(45, 0))], [PLAIN], kerf="2.5"), 20),
        ("a mitred part may end flush", job([part("P", 1, 1000, mitres=(45, 45))], [PLAIN], kerf="2.5"), 10),
        (
            "three kinds: a mitre between two square ends parts them twice, so it comes first",
            job([part("P", 1, 300, mitres=(45, 45)), part("Q", 2, "346.95")], [PLAIN], kerf="2.5"),
            # 300 + 3.6 + 346.95 + 2.5 + 346.95 is a metre.
            10,
        ),
        (
            "two parts that fill a bar are one cut",
            job([part("P", 2, "498.75")], [PLAIN], kerf="2.5", work=Work(per_cut=euros(1))),
            11,
        ),
        (
            "two mitred parts from a mill end are four strokes",
            job(
                [part("P", 2, 300, mitres=(45, 45))],
                [PLAIN],
                kerf="2.5",
                end_trim=10,
                share_mitres=False,
                work=Work(per_cut=euros(1)),
            ),
            14,
        ),
        (
            "squaring START is a stroke",
            job([part("P", 2, 300)], [PLAIN], kerf="2.5", end_trim=10, work=Work(per_cut=euros(1))),
            13,
        ),
        ("two short pieces need a left over to hold", job([part("P", 9, 100)], [PLAIN], safe_hold=120), 20),
        ("eight leave 200 to hold", job([part("P", 8, 100)], [PLAIN], safe_hold=120), 10),
        ("one long piece holds the rest", job([part("P", 8, 100), part("L", 1, 200)], [PLAIN], safe_hold=120), 10),
        (
            "its short point counts, 160 less twice 40",
            job([part("P", 8, 100), part("L", 1, 160, mitres=(45, 45))], [PLAIN], safe_hold=120),
            20,
        ),
        ("a whole bar is never cut", job([part("P", 1, 100)], [offer("A", 100, 3)], safe_hold=120), 3),
        (
            "a bar shorter than the hold cannot be cut",
            job([part("P", 1, 90)], [offer("A", 100, 3)], safe_hold=120),
            None,
        ),
        (
            "an offcut is cheaper by its book value",
            job([part("P", 2, 500)], [PLAIN], [offcut("R", 500, 4)], kerf=1),
            14,
        ),
        (
            "its mill end is trimmed",
            job([part("P", 1, 495)], [PLAIN], [offcut("R", 500, 4, "sawn mill")], end_trim=10),
            10,
        ),
        ("an offcut serves once", job([part("P", 2, 500)], [PLAIN], [offcut("R", 500, 1)], kerf=1), 11),
        ("two alike serve twice", job([part("P", 3, 500)], [PLAIN], [offcut("R", 500, 1, quantity=2)], kerf=1), 12),
        ("500 left are worth 0.002 per mm", job([part("P", 1, 500)], [PLAIN], offcut_value_per_mm=2000, keep=300), 9),
        ("below the keep length nothing is", job([part("P", 1, 800)], [PLAIN], offcut_value_per_mm=2000, keep=300), 10),
        ("only one short bar is to be had", job([part("P", 2, 500)], [offer("B", 500, 4, available=1), PLAIN]), 10),
        ("the second from the longer", job([part("P", 3, 500)], [offer("B", 500, 4, available=1), PLAIN]), 14),
        ("none are to be had", job([part("P", 1, 500)], [offer("B", 500, 4, available=0)]), None),
        (
            "the wrong grade serves no stated one",
            job([part("P", 1, 500, grade="S355"), part("Q", 1, 500)], [PLAIN, offer("B", 500, 12, grade="S355")]),
            22,
        ),
        (
            "a cut for each part and a set-up for each different one",
            job(
                [part("P", 2, 300), part("Q", 1, 200)],
                [PLAIN],
                work=Work(per_bar=euros(1), per_cut=euros(2), per_setup=euros(3)),
            ),
            10 + 1 + 3 * 2 + 2 * 3,
        ),
        (
            "marks that are cut alike share a set-up",
            job([part("P", 2, 300), part("Q", 1, 300)], [PLAIN], work=Work(per_setup=euros(3))),
            10 + 3,
        ),
        (
            "a part that is the bar as it comes needs no cut",
            job([part("P", 1, 1000)], [PLAIN], work=Work(per_cut=euros(2))),
            10,
        ),
        (
            "two set-ups fewer are worth a bar more",
            job([part("P", 2, 400), part("Q", 2, 300)], [PLAIN, offer("B", 700, 9)], work=Work(per_setup=euros(3))),
            # Two of a kind on a bar each: 10 + 9 + 2 x 3. Otherwise one kind is on both bars: 3 set-ups or more.
            25,
        ),
        (
            "only one left over may be kept: 500 at 0.002 a mm",
            job([part("P", 2, 500)], [PLAIN], kerf=1, offcut_value_per_mm=2000, keep=300, most_kept=1),
            # Each leaves 499: 20 less 0.998.
            19.002,
        ),
        ("too long to carry", job([part("P", 2, 500)], [PLAIN, offer("B", 500, 6)], longest_carry=800), 12),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_least_cost(why: str, tiny: Job, cost: float | None) -> None:
    assert least_cost(tiny) == (None if cost is None else euros(cost)), why


def charged(*merchants: Merchant, other_price: float = 12) -> Job:
    return job(
        [part("P", 2, 1000)],
        [offer("A", 1000, 10, merchant="Northgate"), offer("B", 1000, other_price, merchant="Yard")],
        merchants=merchants,
    )


@pytest.mark.parametrize(
    ("tiny", "cost"),
    [
        (charged(), 20),
        (charged(Merchant(name="Northgate", delivery=euros(3))), 23),
        (charged(Merchant(name="Northgate", delivery=euros(5))), 24),
        (charged(Merchant(name="Northgate", minimum_order=euros(23))), 23),
        (charged(Merchant(name="Northgate", minimum_order=euros(30))), 24),
        (charged(Merchant(name="Northgate", minimum_order=euros(15)), Merchant(name="Yard", delivery=euros(9))), 20),
    ],
)
def test_merchants_charges(tiny: Job, cost: float) -> None:
    assert least_cost(tiny) == euros(cost)


def test_a_group_without_prices_is_costed_by_mass() -> None:
    """One metre of the stand-in tube weighs 3 kg."""
    tiny = job([part("P", 3, 500)], [offer("A", 1000, None), offer("B", 1500, 10)])
    assert least_cost(tiny) == 0
    assert least_group_cost(tiny, groups_of(tiny)[0]) == 4_500_000


def leaf_of(tiny: Job, *duals: int, ranges: Any = ((0, 3),), step: int = 1) -> int:
    return leaf_bound(
        tiny, groups_of(tiny)[0], ("A",), Leaf(ranges=ranges, duals=duals), denominator=1, step=step, rounded=False
    )


def test_leaf_bound_by_hand() -> None:
    """A bar of 10 holds two parts. Worth 5 each: no margin, 3 x 5 = 15. Worth 6: margin -2 on up to 3 bars."""
    tiny = job([part("P", 3, 500)], [PLAIN])
    assert leaf_of(tiny, euros(5)) == euros(15)
    assert leaf_of(tiny, euros(6)) == euros(18 - 3 * 2)
    assert leaf_of(tiny, euros(4), ranges=((2, 3),)) == euros(12 + 2 * 2)
    assert leaf_bound(
        tiny, groups_of(tiny)[0], ("A",), Leaf(ranges=((0, 3),), duals=(euros(5),)), denominator=1, step=1
    ) == euros(20)


def test_a_coarse_step_weakens_the_bound() -> None:
    """In steps of 300 mm a part of 500 counts as one and the bar of 1000 holds three of them."""
    tiny = job([part("P", 3, 500)], [PLAIN])
    assert leaf_of(tiny, euros(5), step=300_000_000) == euros(15 - 3 * 5)
