"""Bars laid out by hand pass; each figure that is off by the smallest unit is named."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking import bar_rules
from cutplan.checking.bar_rules import bar_failures, numbering_failures, strokes_needed
from cutplan.checking.carry_pieces import sources_of
from cutplan.model import (
    Allowance,
    Clamp,
    Cut,
    CutBar,
    Drop,
    Earlier,
    EndState,
    Fate,
    GivenCopy,
    Goal,
    GroupPlan,
    Held,
    Job,
    Merchant,
    Plan,
    Purpose,
    SourceKind,
    Work,
    groups_of,
)
from cutplan.units import DEGREE
from tests.builders import job, mm, offcut, offer, part
from tests.first_fit import first_fit_plan

GROUP = "SHS 40x40x3 to EN 10219-2, any grade, black"


def failures(tiny: Job, *bars: CutBar) -> list[str]:
    """What the checker says about these bars, without the group's name."""
    group = groups_of(tiny)[0]
    planned = GroupPlan(title=group.title, goal=first_goal(tiny), bars=bars, proof=None)  # type: ignore[arg-type]
    found = bar_failures(tiny, group, planned)
    assert all(text.startswith(f"{GROUP}: ") for text in found)
    return [text.removeprefix(f"{GROUP}: ") for text in found]


def first_goal(tiny: Job) -> Any:
    from cutplan.checking.sources import goal_of

    return goal_of(groups_of(tiny)[0])


def cut(mark: str, copy: int, start: Any, end: Any, kerf: Any = 0, held: Held = Held.BAR, **other: Any) -> Cut:
    return Cut(mark=mark, copy=copy, start=mm(start), end=mm(end), kerf=mm(kerf), held=held, **other)


def bar(
    *cuts: Cut,
    source: str = "A",
    length: Any = 1000,
    trims: tuple[Any, Any] = (0, 0),
    drop: Any = 1000,
    fate: Fate = Fate.SCRAP,
    far_end: EndState = EndState.MILL,
    value: int = 0,
    cost: Any = 10,
    slack: Any = 0,
    number: int = 1,
    kind: SourceKind = SourceKind.BOUGHT,
) -> CutBar:
    return CutBar(
        number=number,
        kind=kind,
        source=source,
        length=mm(length),
        start_trim=mm(trims[0]),
        far_trim=mm(trims[1]),
        cuts=cuts,
        drop=Drop(start=mm(drop), end=mm(length), far_end=far_end, fate=fate, value=value),
        cost=mm(cost),
        slack=mm(slack),
    )


# One metre for 10: 10 trimmed, 500, 3.6 at the mitre of the next, 450, 2.5 at its square end, 33.9 left over as scrap.
TINY = job(
    [part("P1", 1, 500), part("P2", 1, 450, mitres=(45, 0))],
    [offer("A", 1000, 10)],
    [offcut("R", 560, 4)],
    kerf="2.5",
    end_trim=10,
    keep=300,
)
RIGHT = bar(
    cut("P1", 1, 10, 510, "3.6"),
    cut("P2", 1, "513.6", "963.6", "2.5", angle_a=45 * DEGREE),
    trims=(10, 10),
    drop="966.1",
    slack="26.4",
)


def test_a_right_bar_passes() -> None:
    assert failures(TINY, RIGHT) == []


def test_end_a_of_a_part_lies_towards_start() -> None:
    flipped = replace(RIGHT.cuts[1], angle_a=0, angle_b=45 * DEGREE)
    assert "bar 1, P2 copy 1: has ends at 0 and 45 degrees, the part wants 45 and 0" in failures(
        TINY, replace(RIGHT, cuts=(RIGHT.cuts[0], flipped))
    )


def on_cut(place: int, **change: Any) -> Callable[[CutBar], CutBar]:
    def changed(subject: CutBar) -> CutBar:
        cuts = list(subject.cuts)
        cuts[place] = replace(cuts[place], **change)
        return replace(subject, cuts=tuple(cuts))

    return changed


def on_drop(**change: Any) -> Callable[[CutBar], CutBar]:
    return lambda subject: replace(subject, drop=replace(subject.drop, **change))


def on_bar(**change: Any) -> Callable[[CutBar], CutBar]:
    return lambda subject: replace(subject, **change)


TAMPERED: list[tuple[Callable[[CutBar], CutBar], str]] = [
    (
        on_cut(1, start=mm("513.600001")),
        "bar 1, P2 copy 1: starts at 513.600001 mm, 513.6 mm is where the cut before it ends",
    ),
    (on_cut(0, start=mm(9)), "bar 1, P1 copy 1: starts at 9 mm, 10 mm is where the start trim ends"),
    (on_cut(0, end=mm("510.1")), "bar 1, P1 copy 1: ends at 510.1 mm, 510 mm is where its length ends"),
    (on_cut(0, kerf=mm(3)), "bar 1, P1 copy 1: its cut takes 3 mm, it should be 3.6 mm"),
    (on_cut(1, kerf=mm("3.6")), "bar 1, P2 copy 1: its cut takes 3.6 mm, it should be 2.5 mm"),
    (on_cut(1, angle_a=0), "bar 1, P2 copy 1: has ends at 0 and 0 degrees, the part wants 45 and 0"),
    (
        on_cut(0, held=Held.PART),
        "bar 1, P1 copy 1: is held on the part side or turned, the bar side of 486.4 mm can be held",
    ),
    (
        on_cut(0, turn=True),
        "bar 1, P1 copy 1: is held on the part side or turned, the bar side of 486.4 mm can be held",
    ),
    (
        on_cut(1, held=Held.NOT_CUT),
        "bar 1, P2 copy 1: is said to need no cut, 36.4 mm of the bar lie beyond it",
    ),
    (
        on_drop(start=mm(966)),
        "bar 1: its left over runs from 966 mm to 1000 mm, it should be 966.1 mm to 1000 mm",
    ),
    (on_drop(far_end=EndState.SAWN), "bar 1: the far end of its left over is said to be sawn, it is mill"),
    (on_drop(fate=Fate.KEEP), "bar 1: its left over of 33.9 mm is marked keep, it should be scrap"),
    (on_drop(value=1), "bar 1: its left over is valued at 0.000001 EUR, it should be 0 EUR"),
    (on_bar(cost=9_999_999), "bar 1: costs 9.999999 EUR by the plan, 10 EUR by its price, work and left over"),
    (on_bar(slack=mm(26)), "bar 1: has a slack of 26 mm stated, 26.4 mm by its parts"),
    (on_bar(length=mm(1001)), "bar 1: is 1001 mm, A gives 1000 mm"),
    (on_bar(start_trim=0), "bar 1: has a start trim of 0 mm, A gives 10 mm"),
    (on_bar(far_trim=mm(9)), "bar 1: has a far trim of 9 mm, A gives 10 mm"),
    (on_bar(source="Z"), "bar 1: Z is no offer that serves this group"),
    (on_bar(source="A", kind=SourceKind.OFFCUT), "bar 1: A is no offcut that serves this group"),
    (on_cut(0, mark="P9"), "bar 1, P9 copy 1: is no part of this group"),
    (on_cut(0, copy=2), "bar 1, P1 copy 2: only 1 are asked for"),
    (on_cut(0, copy=2), "P1: 1 of 1 are not cut (copy 1)"),
]


@pytest.mark.parametrize(("tamper", "told"), TAMPERED)
def test_each_figure_is_named(tamper: Callable[[CutBar], CutBar], told: str) -> None:
    assert told in failures(TINY, tamper(RIGHT))


def run_of(number: int) -> tuple[Job, list[CutBar]]:
    """So many bars cut as the right one, one after another."""
    parts = tuple(replace(each, quantity=number) for each in TINY.parts)
    bars = []
    for n in range(1, number + 1):
        cuts = tuple(replace(each, copy=n) for each in RIGHT.cuts)
        bars.append(replace(RIGHT, number=n, cuts=cuts))
    return replace(TINY, parts=parts), bars


@pytest.mark.parametrize(("tamper", "told"), TAMPERED)
def test_each_figure_is_named_where_the_bar_before_holds(tamper: Callable[[CutBar], CutBar], told: str) -> None:
    """What was found of one bar stands for another only where both are alike in every figure."""
    many, bars = run_of(4)
    bars[2] = tamper(bars[2])
    if "copy 2: only" in told or "are not cut" in told:
        assert "P1 copy 2 is cut 2 times, on bars 2 and 3" in failures(many, *bars)
    else:
        assert told.replace("bar 1", "bar 3").replace("copy 1", "copy 3") in failures(many, *bars)


def test_bars_cut_alike_are_laid_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    laid: list[int] = []
    real = bar_rules._check_layout

    def counted(job: Job, group: Any, bar: CutBar, *rest: Any) -> None:
        laid.append(bar.number)
        real(job, group, bar, *rest)

    monkeypatch.setattr(bar_rules, "_check_layout", counted)
    many, bars = run_of(5)
    assert failures(many, *bars) == []
    assert laid == [1]
    laid.clear()
    bars[1] = replace(bars[1], slack=0)
    assert len(failures(many, *bars)) == 1
    assert laid == [1, 2]  # what follows is as the last bar that holds


def test_a_part_left_out_and_a_part_cut_twice() -> None:
    short = bar(replace(RIGHT.cuts[0], kerf=mm("2.5")), trims=(10, 10), drop="512.5", slack=480, fate=Fate.KEEP)
    assert failures(TINY, short) == ["P2: 1 of 1 are not cut (copy 1)"]
    assert failures(TINY, RIGHT, replace(short, number=2)) == ["P1 copy 1 is cut 2 times, on bars 1 and 2"]


def test_parts_that_do_not_fit() -> None:
    tiny = job([part("P", 2, 500)], [offer("A", 1000, 10)], kerf=1)
    crowded = bar(cut("P", 1, 0, 500, 1), cut("P", 2, 501, 1001), slack=-1)
    assert failures(tiny, crowded) == [
        "bar 1: its parts and the kerfs between them take 1001 mm, it has room for 1000 mm"
    ]


def test_flush_with_the_end() -> None:
    """499.5 + 1 + 499.5 fill the bar: the last one needs no cut."""
    tiny = job([part("P", 2, "499.5")], [offer("A", 1000, 10)], kerf=1)
    flush = bar(cut("P", 1, 0, "499.5", 1), cut("P", 2, "500.5", 1000, 0, Held.NOT_CUT), fate=Fate.NONE)
    assert failures(tiny, flush) == []
    assert failures(tiny, on_cut(1, held=Held.BAR)(flush)) == [
        "bar 1, P copy 2: is flush with the end of the bar, there is nothing to cut off or to hold"
    ]


def test_a_last_cut_that_eats_what_is_left() -> None:
    """499.6 + 1 + 499 leave 0.4 of a kerf of 1: the cut takes it, nothing is left over."""
    tiny = job([part("P", 1, "499.6"), part("Q", 1, 499)], [offer("A", 1000, 10)], kerf=1)
    eaten = bar(cut("P", 1, 0, "499.6", 1), cut("Q", 1, "500.6", "999.6", "0.4"), fate=Fate.NONE, slack="0.4")
    assert failures(tiny, eaten) == []
    assert failures(tiny, on_cut(1, kerf=mm(1))(eaten)) == ["bar 1, Q copy 1: its cut takes 1 mm, it should be 0.4 mm"]


def test_a_blade_of_no_width_at_the_end_may_count_as_a_cut_or_as_none() -> None:
    tiny = job([part("P", 2, 500)], [offer("A", 1000, 10)])
    for held in (Held.NOT_CUT, Held.BAR):
        assert failures(tiny, bar(cut("P", 1, 0, 500), cut("P", 2, 500, 1000, 0, held), fate=Fate.NONE)) == []


def hold_job(clamp: Clamp = Clamp.BAR_SIDE) -> Job:
    return job([part("L", 1, 700), part("S", 1, 200)], [offer("A", 1000, 10)], safe_hold=120, clamp=clamp)


def test_a_short_left_over_cannot_be_held() -> None:
    """200 then 700 leave 100, below the hold of 120: the last cut holds the part, the bar turned."""
    short_first = bar(cut("S", 1, 0, 200), cut("L", 1, 200, 900, held=Held.PART, turn=True), drop=900, slack=100)
    assert failures(hold_job(), short_first) == []
    assert failures(hold_job(), on_cut(1, held=Held.BAR)(short_first)) == [
        "bar 1, L copy 1: is held on the bar side, which has 100 mm of the 120 mm needed"
    ]
    assert failures(hold_job(), on_cut(1, turn=False)(short_first)) == [
        "bar 1, L copy 1: the bar must be turned to hold the part with this vice"
    ]
    assert failures(hold_job(Clamp.EITHER_SIDE), short_first) == [
        "bar 1, L copy 1: the bar need not be turned to hold the part with this vice"
    ]
    assert failures(hold_job(Clamp.EITHER_SIDE), on_cut(1, turn=False)(short_first)) == []


def test_a_short_part_last_cannot_be_held_at_all() -> None:
    tiny = job([part("L", 1, 800), part("S", 1, 100)], [offer("A", 1000, 10)], safe_hold=120)
    short_last = bar(cut("L", 1, 0, 800), cut("S", 1, 800, 900, held=Held.PART, turn=True), drop=900, slack=100)
    assert failures(tiny, short_last) == [
        "bar 1, S copy 1: cannot be held: 100 mm on the bar side and 100 mm on the part side are both below the "
        "safe hold of 120 mm"
    ]


def test_the_short_point_of_a_mitred_part_is_what_can_be_held() -> None:
    """Long point 150, short point 110."""
    tiny = job([part("M", 1, 150, mitres=(45, 0))], [offer("A", 200, 10)], safe_hold=120)
    alone = bar(cut("M", 1, 0, 150, held=Held.PART, turn=True, angle_a=45 * DEGREE), length=200, drop=150, slack=50)
    assert failures(tiny, alone) == [
        "bar 1, M copy 1: cannot be held: 50 mm on the bar side and 110 mm on the part side are both below the "
        "safe hold of 120 mm"
    ]


def test_a_whole_bar_is_never_cut() -> None:
    tiny = job([part("S", 1, 100)], [offer("A", 100, 10)], kerf=1, safe_hold=120)
    assert failures(tiny, bar(cut("S", 1, 0, 100, 0, Held.NOT_CUT), length=100, drop=100, fate=Fate.NONE)) == []


def test_an_offcut_with_a_mill_end_and_a_value() -> None:
    """START at the sawn end; 700 - 300 = 400 kept, worth 0.8 at 0.002 per mm; book value 5."""
    tiny = job(
        [part("P", 1, 300)],
        [offer("A", 1000, 10)],
        [offcut("R", 700, 5, "mill sawn")],
        end_trim=10,
        keep=400,
        offcut_value_per_mm=2000,
    )
    right = bar(
        cut("P", 1, 0, 300),
        source="R",
        kind=SourceKind.OFFCUT,
        length=700,
        trims=(0, 10),
        drop=300,
        fate=Fate.KEEP,
        value=800_000,
        cost="4.2",
        slack=390,
    )
    assert failures(tiny, right) == []
    assert "bar 1: its left over of 400 mm is marked scrap, it should be keep" in failures(
        tiny, on_drop(fate=Fate.SCRAP)(right)
    )


def test_an_offcut_is_used_once_and_an_offer_as_often_as_it_is_there() -> None:
    tiny = job([part("P", 2, 300)], [offer("A", 300, 10, available=1)], [offcut("R", 300)])
    whole = cut("P", 1, 0, 300, 0, Held.NOT_CUT)
    bought = bar(whole, length=300, drop=300, fate=Fate.NONE)
    one = replace(bought, source="R", kind=SourceKind.OFFCUT, drop=replace(bought.drop, far_end=EndState.SAWN), cost=0)
    two = replace(one, number=2, cuts=(replace(whole, copy=2),))
    assert failures(tiny, one, two) == ["offcut R is used 2 times, there are 1"]
    assert failures(tiny, bought, replace(bought, number=2, cuts=two.cuts)) == ["offer A is used 2 times, there are 1"]


def test_a_grade_that_does_not_serve() -> None:
    tiny = job([part("P", 1, 1000, grade="S355"), part("Q", 1, 1000)], [offer("A", 1000, 10)])
    first = bar(cut("P", 1, 0, 1000, 0, Held.NOT_CUT), fate=Fate.NONE)
    second = bar(cut("Q", 1, 0, 1000, 0, Held.NOT_CUT), fate=Fate.NONE, number=2)
    assert failures(tiny, first, second) == ["bar 1, P copy 1: wants grade S355, A is of unknown grade"]


def test_a_bar_too_long_to_carry() -> None:
    tiny = job([part("P", 1, 1000)], [offer("A", 1000, 10)], longest_carry=900)
    whole = bar(cut("P", 1, 0, 1000, 0, Held.NOT_CUT), fate=Fate.NONE)
    assert failures(tiny, whole) == ["bar 1: A is longer than the longest carry and its merchant does not deliver"]
    delivered = replace(tiny, workshop=replace(tiny.workshop, merchants=(Merchant(name="Yard", delivers=True),)))
    assert failures(delivered, whole) == []


def test_by_mass_a_bar_costs_milligrams() -> None:
    tiny = job([part("P", 1, 1000)], [offer("A", 1000, None)])
    whole = bar(cut("P", 1, 0, 1000, 0, Held.NOT_CUT), fate=Fate.NONE, cost=3)
    assert failures(tiny, whole) == []
    assert failures(tiny, replace(whole, cost=0)) == [
        "bar 1: costs 0 kg by the plan, 3 kg by its price, work and left over"
    ]


def test_bars_are_numbered_through() -> None:
    tiny = job([part("P", 3, 600)], [offer("A", 1000, 10)])
    plan: Plan = first_fit_plan(tiny)
    assert numbering_failures(tiny, plan) == []
    bars = plan.groups[0].bars
    swapped = replace(plan, groups=(replace(plan.groups[0], bars=(bars[1], bars[0], bars[2])),))
    assert numbering_failures(tiny, swapped) == ["bar 2 stands where bar 1 belongs", "bar 1 stands where bar 2 belongs"]


@pytest.mark.parametrize(
    ("numbers", "copies", "said"),
    [
        # Of an earlier plan with bars up to 7 and five copies of P, bar 4 with copy 3 stays.
        ((4, 8, 9), (3, 6, 7), []),
        ((4, 8, 10), (3, 6, 7), ["bar 10 stands where bar 9 belongs"]),
        ((8, 4, 9), (6, 3, 7), ["bar 4 stands where bar 9 belongs", "bar 9 stands where bar 10 belongs"]),
        ((3, 8, 9), (3, 6, 7), ["bar 3 stands where bar 8 belongs", "bar 4 is said to stay, and is not in the plan"]),
        (
            (4, 8, 9),
            (6, 7, 8),
            ["P: bars that stay have copies [6], 1 to 5 were given", "copies [7, 8] are not counted"],
        ),
        ((4, 8, 9), (3, 5, 6), ["P: copies [5, 6] are not counted on from 5"]),
        ((4, 8), (3, 6), ["P: 2 are cut, 3 are wanted"]),
    ],
)
def test_the_rest_of_an_earlier_plan_is_numbered_on(
    numbers: tuple[int, ...], copies: tuple[int, ...], said: list[str]
) -> None:
    tiny = job([part("P", 3, 600)], [offer("A", 1000, 10)])
    plan = first_fit_plan(tiny)
    tiny = replace(tiny, earlier=Earlier(bars=7, copies=(GivenCopy("P", 5),), stay=(4,)))
    bars = tuple(
        replace(bar, number=number, cuts=(replace(bar.cuts[0], copy=copy),))
        for bar, number, copy in zip(plan.bars, numbers, copies, strict=False)
    )
    plan = replace(plan, groups=(replace(plan.groups[0], bars=bars),))
    found = [*numbering_failures(tiny, plan), *failures(tiny, *bars)]
    if said:
        assert all(any(text in failure for failure in found) for text in said)
    else:
        assert found == []


FIT = Allowance(purpose=Purpose.FIT, length=mm(20))


def to_fit(hold: Any, fit_length: Any, *order: str) -> list[str]:
    """What is said of a bar of 1000 with L of 500 and F, which is cut to fit, in an order of cuts."""
    parts = [part("L", 1, 500), replace(part("F", 1, fit_length), allowances=(FIT,))]
    tiny = job(parts, [offer("A", 1000, 10)], safe_hold=hold)
    lengths, at, cuts = {"L": mm(500), "F": mm(fit_length)}, 0, []
    for mark in order:
        end = at + lengths[mark]
        cuts.append(Cut(mark=mark, copy=1, start=at, end=end, kerf=0, held=Held.BAR))
        at = end
    left = mm(1000) - at
    if left < mm(hold):
        cuts[-1] = replace(cuts[-1], held=Held.PART, turn=True)
    fate = Fate.KEEP if left >= mm(300) else Fate.SCRAP
    return failures(tiny, replace(bar(*cuts, fate=fate, slack=0), drop=Drop(
        start=at, end=mm(1000), far_end=EndState.MILL, fate=fate), slack=left))  # fmt: skip


def test_a_part_that_is_cut_to_fit_comes_last() -> None:
    early = "bar 1, L copy 1: is cut after a part that is cut to fit, which comes last on its bar"
    assert to_fit(0, 400, "L", "F") == []
    assert to_fit(0, 400, "F", "L") == [early]
    assert to_fit(120, 400, "F", "L") == [early], "either can be held, with 100 left over"
    # F of 90 cannot be held, nor can what is left once it is 400 longer; with 410 left over it can.
    assert to_fit(120, 90, "F", "L") == [early]
    assert to_fit(500, 450, "F", "L") == [], "50 left over cannot be held, nor F; L can"


def kept_bar(number: int, mark: str, copy: int) -> CutBar:
    """A metre for 10 with a 400 on it; 600 are left and worth 0.60."""
    only = cut(mark, copy, 0, 400, 0)
    return bar(only, drop=400, fate=Fate.KEEP, value=600_000, cost="9.4", slack=600, number=number)


def two_kept(**settings: Any) -> Job:
    return job([part("P", 2, 400)], [offer("A", 1000, 10)], keep=300, offcut_value_per_mm=1000, **settings)


def test_no_more_left_overs_are_kept_than_the_workshop_says() -> None:
    both = (kept_bar(1, "P", 1), kept_bar(2, "P", 2))
    assert failures(two_kept(), *both) == []
    assert failures(two_kept(most_kept=1), *both) == ["2 left overs are kept, the workshop keeps at most 1"]
    scrapped = replace(both[1], cost=mm(10), drop=replace(both[1].drop, fate=Fate.SCRAP, value=0))
    assert failures(two_kept(most_kept=1), both[0], scrapped) == []
    assert failures(two_kept(most_kept=2), both[0], scrapped) == [
        "bar 2: its left over of 600 mm is marked scrap, it should be keep",
        "bar 2: its left over is valued at 0 EUR, it should be 0.6 EUR",
    ]


def test_work_is_part_of_what_a_bar_costs() -> None:
    """Handling 1, two cuts at 0.50, and one setting at 2 for parts that are cut alike."""
    work = Work(per_bar=1_000_000, per_cut=500_000, per_setup=2_000_000)
    tiny = job([part("P", 1, 400), part("Q", 1, 400)], [offer("A", 1000, 10)], work=work)
    made = bar(cut("P", 1, 0, 400, 0), cut("Q", 1, 400, 800, 0), drop=800, fate=Fate.SCRAP, cost=14, slack=200)
    assert failures(tiny, made) == []
    assert failures(tiny, replace(made, cost=mm(13))) == [
        "bar 1: costs 13 EUR by the plan, 14 EUR by its price, work and left over"
    ]


SEVEN = job(
    [part("S", 3, 300), part("M", 3, 300, mitres=(45, 45)), part("N", 2, 300, mitres=(45, 0))],
    [offer("A", 1000, 10)],
    [offcut("R", 1000, 10), offcut("W", 300, 10)],
    kerf="2.5",
    end_trim=10,
    work=Work(per_cut=1_000_000),
)


@pytest.mark.parametrize(
    ("source", "marks", "number"),
    [
        # Squared, and a cut after each.
        ("A", "SS", 3),
        # From a sawn end nothing is squared.
        ("R", "SS", 2),
        # The mitre at START is the squaring too; every mitre is a stroke of its own.
        ("A", "MM", 4),
        ("R", "MM", 4),
        # Squared; the square end and the mitre, the mitres; the mitre and the square end; the last.
        ("A", "SM", 4),
        ("A", "NN", 4),
        # The bar as it comes.
        ("W", "S", 0),
        ("W", "M", 2),
        ("W", "N", 1),
    ],
)
def test_strokes_are_counted_gap_by_gap(source: str, marks: str, number: int) -> None:
    parts = {part.mark: part for part in SEVEN.parts}
    stock = next(s for s in sources_of(SEVEN, groups_of(SEVEN)[0], Goal.MONEY).values() if s.name == source)
    at, cuts = stock.start_trim, []
    for mark in marks:
        angles = parts[mark].end_a.angle, parts[mark].end_b.angle
        cuts.append(Cut(mark=mark, copy=1, start=at, end=at + mm(300), angle_a=angles[0], angle_b=angles[1],
                        kerf=0, held=Held.BAR))  # fmt: skip
        at += mm("303.6")
    made = replace(RIGHT, cuts=tuple(cuts), start_trim=stock.start_trim, length=stock.length)
    assert strokes_needed(made, stock) == number
    assert made.strokes == number, "the plan counts them in its own way"


def test_spares_follow_the_copies_wanted() -> None:
    def tiny(spares: int) -> Job:
        return job([part("P", 1, 300, spares=spares)], [offer("A", 1000, 10)], keep=500)

    def made(*copies: int) -> CutBar:
        cuts = [cut("P", copy, 300 * place, 300 * place + 300, 0) for place, copy in enumerate(copies)]
        end = 300 * len(copies)
        return bar(*cuts, drop=end, fate=Fate.SCRAP, slack=1000 - end)

    assert failures(tiny(2), made(1, 2, 3)) == []
    assert failures(tiny(2), made(1, 2)) == []
    assert failures(tiny(1), made(1, 2, 3)) == ["bar 1, P copy 3: only 1 and 1 spare are asked for"]
    assert failures(tiny(2), made(1, 3)) == ["P copy 3 is cut, but not copy 2 before it"]
    assert failures(tiny(2), made(2, 3)) == ["P: 1 of 1 are not cut (copy 1)"]


def test_a_quantity_beyond_all_counting_is_answered_at_once() -> None:
    """A plan file may hold any number; naming every copy that is missing would take hours and all memory."""
    few = job([part("A", 2, 1000)], [offer("P", 6000, 10)])
    many = replace(few, parts=(replace(few.parts[0], quantity=10**12),))
    (group,), (planned,) = groups_of(many), first_fit_plan(few).groups
    (failure,) = (text for text in bar_failures(many, group, planned) if "are not cut" in text)
    assert failure.endswith("A: 999999999998 of 1000000000000 are not cut (copy 3, 4, 5, 6, 7 ...)")
