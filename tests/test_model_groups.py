"""How a job splits into groups, and what serves whom."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import (
    Job,
    Merchant,
    Offcut,
    Part,
    Saw,
    StockLength,
    Workshop,
    dealt_out,
    groups_of,
    serves,
    within_carry,
)
from tests.builders import job, mm, offcut, offer, part, square_tube


@pytest.mark.parametrize(
    ("bar", "wanted", "answer"),
    [
        ("", (), True),
        ("S355", (), True),
        ("S355", ("S355",), True),
        ("", ("S355",), False),
        ("S235", ("S355",), False),
        ("S355J2H", ("S355", "S355J2H"), True),
    ],
)
def test_which_grade_serves_which(bar: str, wanted: tuple[str, ...], answer: bool) -> None:
    assert serves(bar, wanted) is answer


def test_grades_that_one_bar_may_serve_stay_together() -> None:
    either = replace(part("P1", 1, 500, grade="S355"), also_grades=("S355J2H",))
    tiny = job(
        [either, part("P2", 1, 500, grade="S355J2H"), part("P3", 1, 500, grade="S235")],
        [
            offer("A", 6000, 1, grade="S355"),
            offer("B", 6000, 1, grade="S355J2H"),
            offer("C", 6000, 1, grade="S235"),
            offer("D", 6000, 1),
        ],
    )
    groups = groups_of(tiny)
    assert [marks(group.parts) for group in groups] == [["P1", "P2"], ["P3"]]
    assert [[offer.id for offer in group.offers] for group in groups] == [["A", "B"], ["C"]]
    assert [group.grade for group in groups] == ["S355 or S355J2H", "S235"]
    # One part that leaves its grade open draws all of them together, as ever.
    (group,) = groups_of(replace(tiny, parts=(*tiny.parts, part("P4", 1, 500))))
    assert group.grade == ""
    assert len(group.offers) == 4


def marks(parts: tuple[Part, ...]) -> list[str]:
    return [part.mark for part in parts]


def test_groups_are_split_by_section_finish_and_grade() -> None:
    other = square_tube(50)
    tiny = job(
        [
            part("P1", 1, 500, grade="S355"),
            part("P2", 2, 500, section=other),
            part("P3", 1, 500, grade="S355"),
            part("P4", 1, 500, grade="S355", finish="galvanised"),
            part("P5", 1, 500, grade="S235"),
        ],
        [
            offer("A", 6000, 1, grade="S355"),
            offer("B", 6000, 1, section=other),
            offer("C", 6000, 1),
            offer("D", 6000, None, grade="S235"),
        ],
        [offcut("R", 900, grade="S355", finish="galvanised")],
    )
    groups = groups_of(tiny)
    assert [marks(group.parts) for group in groups] == [["P1", "P3"], ["P2"], ["P4"], ["P5"]]
    assert [[offer.id for offer in group.offers] for group in groups] == [["A"], ["B"], [], ["D"]]
    assert [[offcut.mark for offcut in group.offcuts] for group in groups] == [[], [], ["R"], []]
    assert [group.title for group in groups] == [
        "SHS 40x40x3 to EN 10219-2, S355, black",
        "SHS 50x50x3 to EN 10219-2, any grade, black",
        "SHS 40x40x3 to EN 10219-2, S355, galvanised",
        "SHS 40x40x3 to EN 10219-2, S235, black",
    ]
    assert [group.priced for group in groups] == [True, True, True, False]
    assert [group.pieces for group in groups] == [2, 2, 1, 1]


def test_an_open_grade_draws_the_stated_ones_into_its_group() -> None:
    """A bar of S355 may serve both, so that they cannot be planned apart."""
    tiny = job(
        [part("P1", 1, 500, grade="S355"), part("P2", 1, 500), part("P3", 1, 500, grade="S235")],
        [offer("A", 6000, 1, grade="S355"), offer("B", 6000, 1), offer("C", 6000, 1, grade="S235")],
    )
    (group,) = groups_of(tiny)
    assert marks(group.parts) == ["P1", "P2", "P3"]
    assert (group.grade, [offer.id for offer in group.offers]) == ("", ["A", "B", "C"])


def test_the_standard_is_part_of_the_section() -> None:
    hot = replace(square_tube(), standard="EN 10210-2")
    tiny = job([part("P1", 1, 500), part("P2", 1, 500, section=hot)], [offer("A", 6000, 1, section=hot)])
    assert [len(group.offers) for group in groups_of(tiny)] == [0, 1]


@pytest.mark.parametrize(
    ("length", "carry", "delivers", "answer"),
    [(6000, 0, False, True), (6000, 6000, False, True), (6500, 6000, False, False), (6500, 6000, True, True)],
)
def test_carry(length: int, carry: int, delivers: bool, answer: bool) -> None:
    tiny = job(
        [part("P", 1, 500)],
        [offer("A", length, 1)],
        longest_carry=carry,
        merchants=[Merchant(name="Yard", delivers=delivers)],
    )
    assert within_carry(tiny.offers[0], tiny.workshop) is answer


def test_a_merchant_that_is_not_listed_does_not_deliver() -> None:
    tiny = job([part("P", 1, 500)], [offer("A", 6500, 1, merchant="unknown")], longest_carry=6000)
    assert not within_carry(tiny.offers[0], tiny.workshop)


ONE, TWO = (Saw(name=name, kerf=mm(1), end_trim=0, safe_hold=0) for name in ("one", "two"))


def two_saws(offers: list[StockLength], offcuts: list[Offcut]) -> Job:
    parts = [part("A", 6, 1200, saw="one"), part("B", 6, 1100, saw="two")]
    return job(parts, offers, offcuts, at=Workshop(saw=ONE, saws=(ONE, TWO)))


def test_pieces_of_the_rack_are_dealt_to_saws_before_lengths_to_buy() -> None:
    """By hand: 7200 mm against 6600, so that R1 is for saw one; 4600 against 6600 gives R2 to saw two."""
    tiny = two_saws([offer("L", 6000, 30, available=3)], [offcut("R1", 2600), offcut("R2", 1300)])
    assert [[one.mark for one in group.offcuts] for group in groups_of(tiny)] == [["R1"], ["R2"]]
    # 4600 mm are left against 5300: a length for saw two, one for saw one, and then -1400 against -700.
    given = [
        [(bar.id, bar.available) if isinstance(bar, StockLength) else bar.mark for bar in bars]
        for bars in dealt_out(tiny).values()
    ]
    assert given == [[("L", 1), "R1"], [("L", 2), "R2"]]


@pytest.mark.parametrize(
    ("offers", "offcuts"),
    [
        ([offer("L", 6000, 30)], []),
        ([offer("L", 6000, 30, available=12)], [offcut("R1", 2600, quantity=12)]),
        ([offer("L", 6000, 30)], [offcut("R1", 1150)]),
        ([offer("L", 6000, 30)], [offcut("R1", 2600, saw="two")]),
    ],
    ids=["any number", "enough for all", "fits one saw's part alone", "lies at a saw"],
)
def test_nothing_was_dealt_where_there_was_no_choice(offers: list[StockLength], offcuts: list[Offcut]) -> None:
    assert dealt_out(two_saws(offers, offcuts)) == {}
