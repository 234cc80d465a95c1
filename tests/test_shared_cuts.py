"""Frames nested mitre in mitre: sums worked by hand, and what may not change what a job costs."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import SQUARE, Allowance, CutBar, Job, Lean, Part, Plan, Purpose, Status, Work
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.units import DEGREE, kerf_along
from tests import builders, slanted_start
from tests.builders import mm
from tests.effort import seeds, some


def planned(parts: list[Part], *, share: bool = True, lengths: tuple[int, ...] = (6000,), **settings: Any) -> Plan:
    """A plan of one group that the checker finds nothing wrong with."""
    offers = [builders.offer(f"P{length}", length, length / 100) for length in lengths]
    job: Job = builders.job(parts, offers, kerf="2.5", share_mitres=share, **settings)
    plan = plan_job(job)
    assert check(job, plan) == ()
    return plan


def bars_of(plan: Plan) -> tuple[CutBar, ...]:
    return plan.groups[0].bars


def frame(quantity: int, length: float, **other: Any) -> Part:
    return builders.part("A", quantity, length, mitres=(45, 45), **other)


def test_eight_parts_of_two_frames_come_from_two_lengths() -> None:
    plan = planned([frame(8, 1500)], end_trim=10)
    assert [len(bar.cuts) for bar in bars_of(plan)] == [4, 4]
    assert plan.status is Status.RECHECKED
    # Each of the four is rolled half over against the one before it; three strokes part them, two cut the ends.
    assert [cut.rolled for cut in bars_of(plan)[0].cuts] == [0, 2, 0, 2]
    assert bars_of(plan)[0].strokes == 5
    assert len(bars_of(planned([frame(8, 1500)], share=False, end_trim=10))) == 3


@pytest.mark.parametrize("number", some(range(1, 12), 1, 5, 11))
def test_equal_parts_in_a_row_take_their_long_points_less_the_overlaps(number: int) -> None:
    """n parts of long point L across a depth d take n (L - d) + d + (n - 1) kerf / cos 45, by hand."""
    plan = planned([frame(number, 500)])
    (bar,) = bars_of(plan)
    assert bar.cuts[-1].end == number * mm(460) + mm(40) + (number - 1) * kerf_along(mm("2.5"), 45_000_000)


def test_parallel_mitres_lie_in_a_row_as_they_are() -> None:
    (bar,) = bars_of(planned([frame(4, 1000, lean=Lean.PARALLEL)]))
    assert [(cut.turned, cut.rolled) for cut in bar.cuts] == [(False, 0)] * 4
    assert [after.start - cut.end for cut, after in pairwise(bar.cuts)] == [mm("3.6") - mm(40)] * 3


def test_nearly_the_same_angle_shares_nothing() -> None:
    parts = [
        builders.part("A", 2, 1000, mitres=(45, 44.9)),
        builders.part("B", 2, 900, mitres=(44.9, 45)),
        builders.part("C", 1, 800, mitres=(30, 0)),
    ]
    (bar,) = bars_of(planned(parts))
    assert all(cut.angle_b == after.angle_a for cut, after in pairwise(bar.cuts) if cut.shared)
    one = planned([builders.part("A", 1, 1000, mitres=(45, 0)), builders.part("B", 1, 900, mitres=(44.9, 0))])
    assert not any(cut.shared for cut in bars_of(one)[0].cuts)


@pytest.mark.parametrize(("length", "on_slant"), [("563.6", True), ("563.5", False)])
def test_a_piece_with_a_slanted_end_holds_what_begins_on_it(length: str, on_slant: bool) -> None:
    """Two of 300, 40 deep: 2 x 300 - 40 + 3.6 from the long point on; squared 40 more. The last cut falls beyond."""
    rack = replace(slanted_start.piece(), length=mm(length), book_value=1)
    made = replace(slanted_start.begun_job(), offcuts=(rack,))
    plan = plan_job(made)
    assert check(made, plan) == ()
    (bar,) = bars_of(plan)
    assert (bar.source, bar.starts_on_slant, bar.start_trim) == (("K", True, 0) if on_slant else ("A", False, mm(10)))
    assert plan.status is Status.RECHECKED
    apart = replace(made.workshop.saw, share_mitres=False)
    made = replace(made, workshop=replace(made.workshop, saw=apart))
    assert not any(bar.starts_on_slant for bar in plan_job(made).bars)


@pytest.mark.parametrize("side", range(4))
def test_one_part_alone_begins_on_a_slanted_end(side: int) -> None:
    """No two ends can meet in a bar; with one stroke less than from a piece that is squared, at 0.50 each."""
    rack = replace(slanted_start.piece(), length=mm(400), side=side)
    parts = [builders.part("M", 1, 380, mitres=(0, 45)), builders.part("S", 1, 15)]
    made = builders.job(parts, [builders.offer("A", 1000, 90)], [rack], share_mitres=True, work=Work(per_cut=500_000))
    plan = plan_job(made)
    assert check(made, plan) == ()
    (bar,) = bars_of(plan)
    assert [(cut.mark, cut.turned) for cut in bar.cuts] == [("M", True), ("S", False)]
    # One cut between the square ends and one behind the second.
    assert (bar.starts_on_slant, bar.strokes, plan.cost) == (True, 2, 2_000_000)


def test_an_older_piece_of_another_slant_is_not_begun_on() -> None:
    """Of two that serve alike but for the slant, the one that a part can begin on; of two alike the older."""
    for angle, used in ((30, "K"), (45, "J")):
        rack = [slanted_start.piece(mark="J", angle_a=angle * DEGREE), slanted_start.piece()]
        made = replace(slanted_start.begun_job(), offcuts=tuple(replace(each, length=mm(570)) for each in rack))
        plan = plan_job(made)
        assert check(made, plan) == ()
        assert [bar.source for bar in plan.bars if bar.starts_on_slant] == [used]


def some_frames(seed: int) -> list[Part]:
    draw = random.Random(seed)
    angles = draw.choice([[45], [45], [30], [45, 30]])
    parts = []
    for number in range(draw.randint(2, 5)):
        end = draw.choice(angles)
        ends = draw.choice([(end, end), (end, 0), (0, end), (0, 0)])
        lean = draw.choice(list(Lean))
        parts.append(builders.part(f"M{number}", draw.randint(1, 4), draw.randint(150, 2600), mitres=ends, lean=lean))
    return parts


SETTINGS: dict[str, Any] = {"lengths": (6000, 7500), "end_trim": 10, "safe_hold": 120}


@pytest.mark.parametrize("seed", seeds(25))
def test_sharing_is_never_dearer_and_turning_parts_round_changes_nothing(seed: int) -> None:
    parts = some_frames(seed)
    shared = planned(parts, **SETTINGS)
    own = planned(parts, share=False, **SETTINGS)
    assert shared.bound <= own.cost
    if shared.status is not Status.NOT_PROVEN:
        assert shared.cost <= own.cost
    turned = planned([replace(part, end_a=part.end_b, end_b=part.end_a) for part in parts], **SETTINGS)
    if Status.NOT_PROVEN not in (shared.status, turned.status):
        assert shared.cost == turned.cost


@pytest.mark.parametrize("seed", seeds(25))
def test_square_parts_are_planned_as_ever(seed: int) -> None:
    parts = [replace(part, end_a=SQUARE, end_b=SQUARE, depth=0) for part in some_frames(seed)]
    assert bars_of(planned(parts, **SETTINGS)) == bars_of(planned(parts, share=False, **SETTINGS))


def test_parts_that_are_cut_to_fit_stay_last() -> None:
    fitted = builders.part("F", 2, 700, mitres=(45, 45), allowances=(Allowance(purpose=Purpose.FIT, length=mm(5)),))
    (bar,) = bars_of(planned([frame(3, 900), fitted], safe_hold=120))
    assert [cut.mark for cut in bar.cuts] == ["A", "A", "A", "F", "F"]
    assert sum(cut.shared for cut in bar.cuts) == 4


def test_a_part_that_shares_nothing_lies_as_it_is_listed() -> None:
    alone = builders.part("B", 2, 800, mitres=(45, 45), share_mitres=False)
    (bar,) = bars_of(planned([frame(3, 900), alone]))
    for cut, after in pairwise(bar.cuts):
        assert cut.shared == (cut.mark == after.mark == "A")
    assert all((cut.turned, cut.rolled) == (False, 0) for cut in bar.cuts if cut.mark == "B")


@pytest.mark.parametrize(("number", "cost"), [(1, "60.25"), (5, "61.25")])
def test_short_parts_of_a_bar_that_nothing_can_fill_are_proven(number: int, cost: str) -> None:
    """None can be held by itself. By hand: a mitre for each pair of slanted ends, and a square cut for the others."""
    short = builders.part("A", number, 80, mitres=(45, 0))
    plan = planned([short], safe_hold=120, work=Work(per_cut=250_000))
    assert plan.cost == plan.bound == round(float(cost) * 1_000_000)
    assert plan.status is not Status.NOT_PROVEN


def test_mitred_parts_that_no_bar_serves_have_no_plan() -> None:
    """Told as for any other parts, and no fault: there is nothing on sale of the grade that is asked for."""
    part = builders.part("A", 1, 80, mitres=(45, 0), grade="S355")
    with pytest.raises(NoPlan):
        plan_job(builders.job([part], [builders.offer("O", 1000, 1, grade="S235")]))
