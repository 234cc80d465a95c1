"""From sets to bars: order of cuts, running dimensions, the side held, what is left over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Allowance, Clamp, CutBar, EndState, Fate, Held, Job, Purpose, groups_of
from cutplan.solving.bars import cut_bars, order_of_cuts
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from cutplan.solving.solver_pieces import Pattern
from cutplan.solving.whole_numbers import instance_of
from tests import builders
from tests.builders import mm

BAR = builders.offer("P", 1000, 10)


def bars_of(job: Job, plan: list[PatternUse], first: int = 1) -> list[CutBar]:
    group = groups_of(job)[0]
    return cut_bars(instance_of(group, job.workshop, group.offers, Parameters()), group, job.workshop, plan, first)


def one_bar(parts, pattern: Pattern, **settings) -> CutBar:  # type: ignore[no-untyped-def]
    """One bar from the first source: the stock length of 1000, or the offcut given."""
    offcuts = [settings.pop("offcut")] if "offcut" in settings else []
    job = builders.job(parts, [] if offcuts else [BAR], offcuts, **settings)
    (bar,) = bars_of(job, [PatternUse(0, pattern, 1)])
    return bar


def laid_out(bar: CutBar) -> list[tuple[str, float, float, float]]:
    """Mark, start, end and kerf of every cut, in mm."""
    return [(cut.mark, cut.start / 1e6, cut.end / 1e6, cut.kerf / 1e6) for cut in bar.cuts]


def held(bar: CutBar) -> list[tuple[str, Held, bool]]:
    return [(cut.mark, cut.held, cut.turn) for cut in bar.cuts]


def test_running_dimensions_count_trim_and_every_kerf() -> None:
    parts = [builders.part("A", 2, 300), builders.part("B", 1, 150)]
    bar = one_bar(parts, (2, 1), kerf=3, end_trim=10)
    assert laid_out(bar) == [("A", 10, 310, 3), ("A", 313, 613, 3), ("B", 616, 766, 3)]
    assert (bar.length, bar.start_trim, bar.far_trim) == (mm(1000), mm(10), mm(10))
    assert (bar.drop.start, bar.drop.end) == (mm(769), mm(1000))
    # 1000 - 20 + 3 of room, 759 taken.
    assert bar.slack == mm(224)
    assert bar.cost == 10_000_000


def test_neighbours_take_the_wider_kerf_and_the_last_part_its_own() -> None:
    """2.5 / cos 45 = 3.54, rounded up to 3.6; 2.5 / cos 22.5 = 2.71, to 2.8."""
    parts = [builders.part("A", 2, 300, mitres=(45, 22.5))]
    bar = one_bar(parts, (2,), kerf=2.5, share_mitres=False)
    assert laid_out(bar) == [("A", 0, 300, 3.6), ("A", 303.6, 603.6, 2.8)]
    assert [(cut.angle_a, cut.angle_b) for cut in bar.cuts] == [(45_000_000, 22_500_000)] * 2


def test_longest_first_while_the_left_over_can_be_held() -> None:
    parts = [builders.part("A", 1, 60), builders.part("B", 1, 300), builders.part("C", 1, 200)]
    bar = one_bar(parts, (1, 1, 1), kerf=3, safe_hold=120)
    assert held(bar) == [("B", Held.BAR, False), ("C", Held.BAR, False), ("A", Held.BAR, False)]


@pytest.mark.parametrize(("clamp", "turn"), [(Clamp.BAR_SIDE, True), (Clamp.EITHER_SIDE, False)])
def test_short_parts_first_and_a_long_one_held_last(clamp: Clamp, turn: bool) -> None:
    parts = [builders.part("A", 2, 60), builders.part("B", 1, 500), builders.part("C", 1, 300)]
    bar = one_bar(parts, (2, 1, 1), kerf=3, safe_hold=120, clamp=clamp)
    # 68 left: too short to hold, so the last part is held itself.
    assert held(bar) == [
        ("A", Held.BAR, False),
        ("A", Held.BAR, False),
        ("B", Held.BAR, False),
        ("C", Held.PART, turn),
    ]


def test_a_left_over_of_exactly_the_hold_is_held() -> None:
    bar = one_bar([builders.part("A", 1, 877)], (1,), kerf=3, safe_hold=120)
    assert held(bar) == [("A", Held.BAR, False)]
    bar = one_bar([builders.part("A", 1, "877.000001")], (1,), kerf=3, safe_hold=120)
    assert held(bar) == [("A", Held.PART, True)]


def test_the_short_point_decides_the_order() -> None:
    # M is 140 at its long point but 60 at the short one: too short to be held last.
    parts = [builders.part("L", 5, 150), builders.part("M", 1, 140, mitres=(45, 45))]
    long, mitred = groups_of(builders.job(parts, [BAR]))[0].parts
    assert order_of_cuts([mitred, long, long], mm(120), mm(500)) == [long, long, mitred]
    assert order_of_cuts([long, mitred, long], mm(120), mm(50)) == [mitred, long, long]


def test_a_last_part_that_ends_flush_is_not_cut() -> None:
    parts = [builders.part("A", 2, "498.5")]
    bar = one_bar(parts, (2,), kerf=3, safe_hold=120)
    assert laid_out(bar) == [("A", 0, 498.5, 3), ("A", 501.5, 1000, 0)]
    assert held(bar) == [("A", Held.BAR, False), ("A", Held.NOT_CUT, False)]
    assert (bar.drop.length, bar.drop.fate, bar.slack) == (0, Fate.NONE, 0)


@pytest.mark.parametrize(("hold", "expected"), [(0, (Held.BAR, False)), (120, (Held.PART, True))])
def test_a_remainder_below_one_kerf_goes_with_the_cut(hold: int, expected: tuple[Held, bool]) -> None:
    bar = one_bar([builders.part("A", 2, 498)], (2,), kerf=3, safe_hold=hold)
    assert laid_out(bar) == [("A", 0, 498, 3), ("A", 501, 999, 1)]
    assert held(bar)[1][1:] == expected
    assert (bar.drop.start, bar.drop.end) == (mm(1000), mm(1000))
    assert bar.drop.fate is Fate.NONE
    assert bar.slack == mm(1)


def test_without_a_hold_everything_is_held_on_the_bar_side() -> None:
    bar = one_bar([builders.part("A", 9, 100)], (9,), kerf=3)
    assert {cut.held for cut in bar.cuts} == {Held.BAR}
    assert not any(cut.turn for cut in bar.cuts)


def test_a_part_as_long_as_an_offcut_is_not_cut_at_all() -> None:
    bar = one_bar([builders.part("A", 1, 80)], (1,), offcut=builders.offcut("K", 80), kerf=3, safe_hold=120)
    assert held(bar) == [("A", Held.NOT_CUT, False)]
    assert bar.drop.length == 0


@pytest.mark.parametrize(
    ("ends", "far_end"),
    [
        ("sawn sawn", EndState.SAWN),
        ("mill sawn", EndState.MILL),
        ("sawn mill", EndState.MILL),
        ("mill mill", EndState.MILL),
    ],
)
def test_a_left_over_keeps_the_far_end_of_its_bar(ends: str, far_end: EndState) -> None:
    for length in (200, 600):
        part = builders.part("A", 1, length)
        bar = one_bar([part], (1,), offcut=builders.offcut("K", 600, ends=ends), mill_ends_accepted=True, end_trim=10)
        assert bar.drop.far_end is far_end
        assert bar.drop.length == mm(600 - length)


def test_a_stock_length_leaves_a_mill_end_untrimmed() -> None:
    bar = one_bar([builders.part("A", 1, 400)], (1,), end_trim=10)
    assert (bar.drop.start, bar.drop.end, bar.drop.far_end) == (mm(410), mm(1000), EndState.MILL)


@pytest.mark.parametrize(
    ("length", "fate", "value"),
    [(400, Fate.KEEP, 600 * 1500), (700, Fate.KEEP, 300 * 1500), ("700.001", Fate.SCRAP, 0), (1000, Fate.NONE, 0)],
)
def test_what_becomes_of_a_left_over(length: int | str, fate: Fate, value: int) -> None:
    bar = one_bar([builders.part("A", 1, length)], (1,), keep=300, offcut_value_per_mm=1500)
    assert (bar.drop.fate, bar.drop.value) == (fate, value)
    assert bar.cost == 10_000_000 - value


def test_nothing_left_is_not_kept_even_where_everything_is() -> None:
    assert one_bar([builders.part("A", 1, 1000)], (1,), keep=0).drop.fate is Fate.NONE
    assert one_bar([builders.part("A", 1, 999)], (1,), keep=0).drop.fate is Fate.KEEP


def test_copies_are_counted_in_the_order_they_are_cut() -> None:
    parts = [builders.part("A", 3, 400), builders.part("B", 3, 150)]
    job = builders.job(parts, [BAR])
    bars = bars_of(job, [PatternUse(0, (1, 3), 1), PatternUse(0, (2, 0), 1)], first=5)
    assert [bar.number for bar in bars] == [5, 6]
    assert [(cut.mark, cut.copy) for bar in bars for cut in bar.cuts] == [
        ("A", 1),
        ("A", 2),
        ("A", 3),
        ("B", 1),
        ("B", 2),
        ("B", 3),
    ]


def test_bars_of_the_longest_parts_come_first_and_equal_ones_together() -> None:
    parts = [builders.part("A", 2, 200), builders.part("B", 4, 450)]
    job = builders.job(parts, [BAR], [builders.offcut("K", 500)])
    bars = bars_of(job, [PatternUse(1, (2, 0), 1), PatternUse(0, (0, 2), 2)])
    assert [bar.source for bar in bars] == ["P", "P", "K"]
    assert bars[0].kind is not bars[2].kind


def test_cut_to_fit_comes_last_where_it_can_be_held() -> None:
    fit = Allowance(purpose=Purpose.FIT, length=mm(20))
    job = builders.job(
        [
            builders.part("A", 9, 300),
            replace(builders.part("F", 9, 400), allowances=(fit,)),
            replace(builders.part("G", 9, 100), allowances=(fit,)),
            builders.part("S", 9, 60),
        ],
        [BAR],
    )
    a, f, g, s = job.parts
    hold = mm(120)
    assert order_of_cuts([f, a, s], hold, mm(500)) == [a, s, f]
    assert order_of_cuts([f, a, s], hold, mm(50)) == [s, a, f]
    assert order_of_cuts([f, g, a, s], hold, mm(50)) == [s, a, g, f]
    assert order_of_cuts([g, a, s], hold, mm(500)) == [a, s, g]
    # G itself is too short to be held: A is cut after it.
    assert order_of_cuts([g, a, s], hold, mm(50)) == [s, g, a]
