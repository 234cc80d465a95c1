"""Which lengths that came serve which bars: every bar has one exactly when that can be at all.

Whether a bar can be cut from a length is asked of the checker, and whether all can be served of a try of every way.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan.checking.bar_rules import bar_failures
from cutplan.model import CutBar, Goal, GroupPlan, Held, Job, PieceOf, Plan, groups_of
from cutplan.rack.fitting import assigned, fits
from cutplan.rack.pieces import Standing
from tests import builders, racks
from tests.builders import mm
from tests.effort import examples
from tests.hand_plans import hand_plan

SAW: dict[str, Any] = {"kerf": "2.5", "end_trim": 10}


def planned(*bars: list[Any], counted: float = 6000, grades: tuple[str, ...] = (), **at: Any) -> tuple[Job, Plan]:
    """Bars by the lengths of their parts, each bar with an offer and parts of its own, of the same grade."""
    wanted = grades or ("",) * len(bars)
    marks = [[f"{'ABCDEF'[bar]}{place}" for place in range(len(lengths))] for bar, lengths in enumerate(bars)]
    parts = [
        builders.part(mark, 1, length, grade=wanted[bar])
        for bar, lengths in enumerate(bars)
        for mark, length in zip(marks[bar], lengths, strict=True)
    ]
    offers = [builders.offer(f"P{bar + 2}", counted, 35, grade=grade) for bar, grade in enumerate(wanted)]
    job = builders.job(parts, offers, **at)
    return job, hand_plan(job, *((offer.id, each) for offer, each in zip(offers, marks, strict=True)))


def came(*lots: tuple[float, int] | tuple[float, int, str]) -> list[Standing]:
    """Lengths as they came: how long, how many, of what grade; with marks L1, L2, ... in order."""
    return [
        Standing(
            mark=f"L{place}", material=racks.TUBE, state=racks.full(lot[0], grade="".join(lot[2:])), quantity=lot[1]
        )
        for place, lot in enumerate(lots, 1)
    ]


def given_to(subject: tuple[Job, Plan], lots: list[Standing]) -> dict[int, str]:
    job, plan = subject
    return {number: piece.mark for number, piece in assigned(job, plan.bars, lots).items()}


def by_checker(job: Job, bar: CutBar, length: int, grade: str) -> bool:
    """Does the checker let a bar be cut so from a length of its own? Which side is held may be another."""
    offers = tuple(replace(offer, length=length, counted=length, grade=grade) for offer in job.offers)
    group = next(group for group in groups_of(job) if any(part.mark == bar.cuts[0].mark for part in group.parts))
    cuts = tuple(replace(cut, held=Held.BAR, turn=False) for cut in bar.cuts)
    if length == cuts[-1].end and not cuts[-1].angle_b:  # the last part is what is left: nothing is cut off it
        cuts = (*cuts[:-1], replace(cuts[-1], held=Held.NOT_CUT, kerf=0))
    laid = replace(bar, cuts=cuts, slack=_slack(bar, length))
    found = GroupPlan(title=group.title, goal=Goal.MONEY, bars=(laid,), proof=None)  # type: ignore[arg-type]
    said = bar_failures(replace(job, offers=offers), replace(group, offers=offers), found)
    return not any(words in text for text in said for words in ("cannot be held", "it has room for", "wants grade"))


def _slack(bar: CutBar, length: int) -> int:
    return length - bar.far_trim - bar.cuts[-1].end


# Kerf 2.5 and trims of 10: four parts of 1200 end at 10 + 4 x 1200 + 3 x 2.5 = 4817.5, and need 4827.5.
@pytest.mark.parametrize(
    ("length", "hold", "serves"),
    [
        ("6000", 120, True),
        ("5960", 120, True),  # 40 short, as a bar may well be
        ("4827.5", 120, True),  # not a tenth to spare; at the last cut the part is held
        ("4827.4", 120, False),  # the trim at the far end is gone
        ("4827.5", 1201, False),  # 7.5 are left behind the cut, and the part is 1200: nothing can be held
        ("6020.9", 1201, False),  # 1200.9 are left
        ("6021", 1201, True),
    ],
)
def test_where_the_cuts_of_a_bar_fit(length: str, hold: float, serves: bool) -> None:
    job, plan = planned([1200] * 4, counted=6100, safe_hold=hold, **SAW)
    (bar,) = plan.bars
    assert fits(bar, {part.mark: part for part in job.parts}, job.workshop, mm(length)) is serves
    assert by_checker(job, bar, mm(length), "") is serves


@pytest.mark.parametrize(("on_slant", "serves"), [(True, True), (False, False)])
def test_a_part_that_is_what_a_slanted_end_begins_is_not_held(on_slant: bool, serves: bool) -> None:
    """100 long, mitred at START and flush with the far end; the vice holds 120."""
    made = builders.job([builders.part("M", 1, 100, mitres=(45, 0))], [builders.offer("O", 100, 9)], safe_hold=120)
    (bar,) = hand_plan(made, ("O", ["M"])).bars
    laid = replace(bar, starts_on_slant=on_slant)
    assert fits(laid, {part.mark: part for part in made.parts}, made.workshop, mm(100)) is serves


@pytest.mark.parametrize(
    ("last", "hold", "length", "serves"),
    [
        # No trims, kerf 2.5: 1000 and what follows end flush with 1202.5, and there the last one is not cut off.
        (200, 120, "1202.5", True),
        (100, 1001, "1102.5", False),  # it is what is held for the cut before it, and is too short for that
        (200, 1001, "1202.6", False),
        (200, 1001, "2206.0", True),  # 2206 - 1202.5 - 2.5 = 1001 left
    ],
)
def test_a_part_that_ends_flush_is_held_and_not_cut(last: float, hold: float, length: str, serves: bool) -> None:
    job, plan = planned([1000, last], counted=6000, safe_hold=hold, kerf="2.5")
    (bar,) = plan.bars
    assert fits(bar, {part.mark: part for part in job.parts}, job.workshop, mm(length)) is serves
    assert by_checker(job, bar, mm(length), "") is serves


# Bar 1 needs 4827.5, as above; bar 2, with one part of 3000, needs 3020.
TWO = ([1200] * 4, [3000])


@pytest.mark.parametrize(
    ("lots", "expected"),
    [
        ([(6000, 2)], {1: "L1", 2: "L1"}),
        # 40 short, one or both: they fit all the same.
        ([(5960, 1), (6000, 1)], {1: "L2", 2: "L1"}),
        ([(5960, 2)], {1: "L1", 2: "L1"}),
        # Too short for the first and long enough for the second, whatever the order they came in.
        ([(3500, 1), (6000, 1)], {1: "L2", 2: "L1"}),
        ([(6000, 1), (3500, 1)], {1: "L1", 2: "L2"}),
        # What was ordered, else the shortest that serves, and no longer one for nothing.
        ([(6500, 1), (6000, 1), (5000, 1)], {1: "L2", 2: "L3"}),
        ([(6500, 1), (6100, 1), (5000, 1)], {1: "L3", 2: "L2"}),
        # One length for two: the first bar that it serves has it.
        ([(5000, 1)], {1: "L1"}),
        ([(3500, 1)], {2: "L1"}),
        ([(3000, 5)], {}),
    ],
)
def test_lengths_are_given_to_bars_they_serve(lots: list[Any], expected: dict[int, str]) -> None:
    assert given_to(planned(*TWO, **SAW), came(*lots)) == expected


def test_what_came_as_ordered_goes_before_what_is_near_to_another_bar() -> None:
    """Pieces of 3992 and 3995 were ordered; one came 7 mm short. Only its own bar changes, though 3995 is nearer."""
    job, plan = planned([1200], [1200], **SAW)
    first, second = (
        replace(bar, length=mm(length), piece_of=PieceOf(ordered=(mm(3997), mm(4000)), number=piece))
        for bar, length, piece in zip(plan.bars, (3992, 3995), (1, 2), strict=True)
    )
    given = assigned(job, [first, second], came((3985, 1), (3995, 1)))
    assert {number: piece.mark for number, piece in given.items()} == {1: "L1", 2: "L2"}


def test_a_length_that_did_not_come_takes_no_other_bars_own() -> None:
    """Bar 1 was planned from 6000, bar 2 from 7500; 7500 and 8000 came."""
    job, plan = planned(*TWO, **SAW)
    first, second = plan.bars
    given = assigned(job, [first, replace(second, length=mm(7500))], came((7500, 1), (8000, 1)))
    assert {number: piece.mark for number, piece in given.items()} == {1: "L2", 2: "L1"}


@pytest.mark.parametrize(
    ("grades", "lots", "expected"),
    [
        # Planned with no grade: a better one only where nothing else is there, however much shorter it is.
        (("", ""), [(5000, 1, "S355"), (6000, 2)], {1: "L2", 2: "L2"}),
        (("", ""), [(5000, 1, "S355"), (6000, 1)], {1: "L2", 2: "L1"}),
        # Bar 2 wants S355. The only length of no grade is too short for bar 1, which has the other S355 then.
        (("", "S355"), [(6000, 1, "S355"), (4000, 1), (3500, 1, "S355")], {1: "L1", 2: "L3"}),
        # Bar 1 gives up what it would rather have, so that bar 2 has a length at all.
        (("", "S275"), [(4900, 1, "S275"), (5000, 1, "S355")], {1: "L2", 2: "L1"}),
        (("S275", "S355"), [(6000, 2, "S355")], {2: "L1"}),
    ],
)
def test_a_grade_has_to_serve_and_none_is_given_for_nothing(
    grades: tuple[str, str], lots: list[Any], expected: dict[int, str]
) -> None:
    assert given_to(planned(*TWO, grades=grades, **SAW), came(*lots)) == expected


@pytest.mark.parametrize(
    "change", [{"finish": "galvanised"}, {"designation": "SHS 40x40x4"}, {"standard": "EN 10210-2"}]
)
def test_other_material_serves_nothing(change: dict[str, Any]) -> None:
    (lot,) = came((6000, 2))
    other = replace(lot, material=replace(lot.material, **change))
    assert given_to(planned(*TWO, **SAW), [other]) == {}


def test_long_runs_of_bars_are_served_at_once() -> None:
    """Two thousand bars cut alike, half of which would rather have what the other half must have."""
    short, long = [1200], [2400]
    job, plan = planned(short, long)
    first, second = plan.bars
    bars = [replace(first, number=n) for n in range(1, 1001)] + [replace(second, number=n) for n in range(1001, 2001)]
    given = assigned(job, bars, came((2400, 1000), (2500, 1000)))
    assert [Counter(given[n].mark for n in range(at, at + 1000)) for at in (1, 1001)] == [{"L1": 1000}, {"L2": 1000}]


@st.composite
def deliveries(draw: st.DrawFn) -> tuple[Job, Plan, list[Standing]]:
    """Up to four bars of up to three parts, and up to four lots that came: coarse figures, so that much just fits."""
    number = draw(st.integers(1, 4))
    part = st.integers(1, 5).map(lambda n: 100 * n)
    bars = [draw(st.lists(part, min_size=1, max_size=3)) for _ in range(number)]
    grade = st.sampled_from(["", "S275", "S355"])
    grades = tuple(draw(st.lists(grade, min_size=number, max_size=number)))
    at = {"safe_hold": draw(st.sampled_from([0, 150, 350])), "end_trim": draw(st.sampled_from([0, 10]))}
    job, plan = planned(*bars, counted=1600, grades=grades, kerf=draw(st.sampled_from([0, 5])), **at)
    length = st.sampled_from([-10, 0, 5, 10, 20, 25, 30]).flatmap(
        lambda odd: st.integers(2, 13).map(lambda n: 100 * n + odd)
    )
    lots = draw(st.lists(st.tuples(length, st.integers(1, 2), grade), min_size=1, max_size=4))
    return job, plan, came(*lots)


@settings(max_examples=examples(150))
@given(deliveries())
def test_as_many_bars_are_served_as_any_way_of_sharing_out_serves(subject: tuple[Job, Plan, list[Standing]]) -> None:
    job, plan, lots = subject
    bars = list(plan.bars)
    given = assigned(job, bars, lots)
    serves = {
        (bar.number, lot.mark): by_checker(job, bar, lot.state.length, lot.state.grade) for bar in bars for lot in lots
    }
    assert all(serves[number, piece.mark] for number, piece in given.items())
    assert Counter(piece.mark for piece in given.values()) <= Counter({lot.mark: lot.quantity for lot in lots})
    assert len(given) == most_served([bar.number for bar in bars], {lot.mark: lot.quantity for lot in lots}, serves)


def most_served(bars: list[int], there: dict[str, Any], serves: dict[tuple[int, str], bool]) -> int:
    """Every way is tried: the first bar has each of the lengths in turn, or none."""
    if not bars:
        return 0
    first, *others = bars
    ways = [most_served(others, there, serves)]
    for mark, quantity in there.items():
        if quantity and serves[first, mark]:
            ways.append(1 + most_served(others, {**there, mark: quantity - 1}, serves))
    return max(ways)
