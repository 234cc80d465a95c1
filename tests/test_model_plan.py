"""What a Plan works out from itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Cut, Goal, Held, Plan, Status, nested_in, strokes
from cutplan.model.placing import Way
from cutplan.units import DEGREE
from tests.builders import job, mm, offer, part, square_tube
from tests.first_fit import first_fit_plan
from tests.nested_row import row

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


def test_what_the_carry_costs_is_money_only_where_both_plans_are_proven() -> None:
    dear, cheap = replace(PLAN, status=Status.BY_SEARCH, cost=42), replace(PLAN, status=Status.RECHECKED, cost=40)
    assert dear.money_forgone == 0, "nothing stands beside it"
    assert replace(dear, if_delivered=cheap).money_forgone == 2
    assert replace(cheap, if_delivered=dear).money_forgone == 0
    assert replace(dear, if_delivered=replace(cheap, status=Status.NOT_PROVEN)).money_forgone == 0
    assert replace(dear, status=Status.NOT_PROVEN, if_delivered=cheap).money_forgone == 0


def test_what_the_carry_costs_in_mass() -> None:
    def by_mass(mass: int, status: Status = Status.RECHECKED) -> Plan:
        bar = replace(PLAN.groups[1].bars[0], cost=mass)
        proof = replace(PLAN.groups[1].proof, status=status)
        return replace(PLAN, groups=(PLAN.groups[0], replace(PLAN.groups[1], goal=Goal.MASS, bars=(bar,), proof=proof)))

    title = PLAN.groups[1].title
    assert replace(by_mass(5), if_delivered=by_mass(3)).mass_forgone == {title: 2}
    assert replace(by_mass(3), if_delivered=by_mass(5)).mass_forgone == {}
    assert replace(by_mass(5), if_delivered=by_mass(3, Status.NOT_PROVEN)).mass_forgone == {}
    assert by_mass(5).mass_forgone == {}


def test_a_bar_holds_a_part() -> None:
    with pytest.raises(ValueError, match="bar 1 holds no part"):
        replace(next(iter(PLAN.bars)), cuts=())


def laid(*ends: tuple[int, int, bool]) -> list[Cut]:
    """Parts with the angles of their ends, and whether the cut after them is the next part's too."""
    return [
        Cut(mark="A", copy=n, start=n, end=n + 1, angle_a=a * DEGREE, angle_b=b * DEGREE, kerf=0, held=Held.BAR,
            shared=shared)
        for n, (a, b, shared) in enumerate(ends, 1)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("why", "cuts", "number"),
    [
        ("two mitres that meet are two strokes", laid((45, 45, False), (45, 45, False)), 4),
        ("a shared one is one", laid((45, 45, True), (45, 45, False)), 3),
        ("a mitre after a square end is two", laid((45, 0, False), (45, 45, False)), 4),
        ("four in a row", laid((0, 45, True), (45, 45, True), (45, 45, True), (45, 0, False)), 5),
    ],
)
def test_strokes_of_shared_cuts(why: str, cuts: list[Cut], number: int) -> None:
    assert strokes(cuts, start_trim=mm(10), length=mm(6000)) == number, why


def test_how_a_part_lies() -> None:
    assert replace(laid((45, 0, False))[0], turned=True, rolled=2).way == Way(True, 2)


def test_how_far_parts_reach_into_one_another() -> None:
    assert row().nested == 3 * mm(40)
    assert nested_in(row().cuts[:2]) == mm(40)
    assert nested_in(row().cuts[:1]) == 0
    assert next(iter(PLAN.bars)).nested == 0
