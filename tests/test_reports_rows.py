"""Rows carry the plan's own numbers; identical bars are shown once; the largest kerf is exact."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Fate, Job, Merchant
from cutplan.problems import Problem
from cutplan.reports.cut_blocks import Block, largest_kerf
from cutplan.reports.rows import rows_of
from cutplan.units import DEGREE, KG, MM, kerf_along
from tests import builders
from tests.builders import mm
from tests.hand_plans import hand_plan, turned


def trailer() -> Job:
    parts = [
        builders.part("A", 4, 2500, assembly="bed", grade="S235", typed_section="box 40x3", typed_length="2500"),
        builders.part("B", 2, 700, assembly="side", grade="S235", mitres=(45, 0), note="mind the seam"),
    ]
    offers = [builders.offer("P1", 6500, 30, grade="S235"), builders.offer("P2", 6000, "27.5", grade="S235")]
    rack = [builders.offcut("R1", 800, "1.5", grade="S235", place="top arm", heat_number="H77")]
    return builders.job(parts, offers, rack, kerf="2.5", end_trim=10, keep=250)


BARS = (("P1", ["A", "A"]), ("P2", ["A", "A", "B"]), ("R1", ["B"]))


def blocks(job: Job, *bars: tuple[str, list[str]]) -> tuple[Block, ...]:
    return rows_of(job, hand_plan(job, *bars)).blocks


def test_order_rows_by_merchant() -> None:
    rows = rows_of(trailer(), hand_plan(trailer(), *BARS))
    ((first, second),) = rows.orders
    assert first.text == "1 length x 6.5 m SHS 40x40x3, EN 10219-2, S235, black"
    assert (first.line.count, first.line.money, first.price_typed) == (1, 30_000_000, "30 each")
    assert (second.line.mass, second.price_typed) == (18 * KG, "27.5 each")


def test_an_offer_without_a_price_says_so() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)])
    ((row,),) = rows_of(job, hand_plan(job, ("P1", ["A"]))).orders
    assert (row.price_typed, row.line.money) == ("no price", None)


def test_what_to_fetch() -> None:
    (row,) = rows_of(trailer(), hand_plan(trailer(), *BARS)).fetch
    assert (row.mark, row.length, row.place, row.heat_number) == ("R1", 800 * MM, "top arm", "H77")
    assert (row.mass, row.bar, row.grade) == (2_400_000, 3, "S235")
    assert row.section == "SHS 40x40x3", "as typed in the parts list too"


def test_an_unknown_grade_is_said_to_be() -> None:
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 1500)])
    rows = rows_of(job, hand_plan(job, ("R7", ["A"])))
    assert rows.fetch[0].grade == "grade unknown"
    assert rows.put_away[0].grade == "grade unknown"
    assert rows.blocks[0].what == "SHS 40x40x3, EN 10219-2, grade unknown, black"


def test_what_to_put_away() -> None:
    first, second = rows_of(trailer(), hand_plan(trailer(), *BARS)).put_away
    assert first.section == "SHS 40x40x3"
    assert (first.bar, first.length, first.far_end, first.heat_number) == (1, 1485 * MM, "mill", "")
    # The mitre takes 2.5 / cos 45, rounded up to 3.6 mm.
    assert (second.bar, second.length) == (2, mm("281.4"))
    assert second.mass == 844_200


def test_an_offcut_hands_its_heat_number_on() -> None:
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 1500, heat_number="H5")])
    (row,) = rows_of(job, hand_plan(job, ("R7", ["A"]))).put_away
    assert (row.heat_number, row.far_end) == ("H5", "sawn")


def test_cut_rows_run_from_start_with_every_kerf() -> None:
    block = blocks(trailer(), *BARS)[1]
    assert [(c.number, c.mark, c.length, c.running) for c in block.cuts] == [
        (1, "A", 2500 * MM, 2510 * MM),
        (2, "A", 2500 * MM, mm("5012.5")),
        (3, "B", 700 * MM, mm("5016.1") + 700 * MM),
    ]
    assert [c.short_point for c in block.cuts] == [None, None, 660 * MM]
    assert (block.cuts[2].angle_a, block.cuts[2].angle_b, block.cuts[2].assembly) == (45_000_000, 0, "side")


def test_a_block_says_where_its_bar_is_from() -> None:
    bought, _, offcut = blocks(trailer(), *BARS)
    assert (bought.title, bought.source) == ("Bar 1", "6.5 m length from Yard")
    assert bought.trim == "square START first: 10 mm off, the squaring cut included"
    assert offcut.source == "offcut R1, 800 mm, place: top arm"
    assert offcut.trim == "START is the sawn end: nothing off"
    assert (bought.mass, bought.heavy) == (19_500_000, False)


def test_a_length_of_no_merchant_is_from_nobody() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None, merchant="")])
    (block,) = blocks(job, ("P1", ["A"]))
    assert block.source == "6 m length"


def test_money_is_known_where_a_group_has_prices_or_nothing_is_bought() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, None)], [builders.offcut("R1", 2600)])
    assert not rows_of(job, hand_plan(job, ("P1", ["A"]))).money_known
    assert rows_of(job, hand_plan(job, ("R1", ["A"]))).money_known
    assert rows_of(trailer(), hand_plan(trailer(), *BARS)).money_known


def test_a_bar_that_may_come_short_says_so() -> None:
    job = builders.job([builders.part("A", 1, 2500)], [builders.offer("P1", 6000, 9, counted=5990)])
    assert blocks(job, ("P1", ["A"]))[0].counted == "counted on as 5990 mm: measure it"


def test_identical_bars_are_shown_once() -> None:
    job = builders.job([builders.part("A", 8, 1400), builders.part("B", 2, 1500)], [builders.offer("P1", 3000, 9)])
    two = ("P1", ["A", "A"])
    shown = blocks(job, two, two, two, ("P1", ["A", "B"]), ("P1", ["A", "B"]))
    assert [(block.bars, block.title) for block in shown] == [
        ((1, 2, 3), "Bars 1 to 3 (3 cut alike)"),
        ((4, 5), "Bars 4, 5 (2 cut alike)"),
    ]
    apart = blocks(job, two, ("P1", ["A", "B"]), two, two, ("P1", ["A", "B"]))
    assert [block.bars for block in apart] == [(1,), (2,), (3, 4), (5,)], "as they are numbered, whatever is alike"


def test_bars_held_otherwise_are_not_identical() -> None:
    job = builders.job([builders.part("A", 4, 1400)], [builders.offer("P1", 3000, 9)])
    plan = turned(hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"])), 2)
    rows = rows_of(job, plan)
    assert [block.bars for block in rows.blocks] == [(1,), (2,)]
    assert rows.blocks[1].cuts[1].held == "part side, TURN BAR"


def test_part_rows_show_what_was_typed_beside_what_was_understood() -> None:
    a, b = rows_of(trailer(), hand_plan(trailer(), *BARS)).parts
    assert (a.section, a.typed_section, a.length, a.typed_length) == ("SHS 40x40x3", "box 40x3", 2500 * MM, "2500")
    assert (a.length_meant, a.short_point, a.mass) == ("", None, 30 * KG)
    assert (b.length_meant, b.short_point, b.note) == ("long point", 660 * MM, "mind the seam")


def test_warnings_take_one_line_each() -> None:
    job = replace(trailer(), warnings=(Problem(code="odd.marks", where="row 3", found="1", accepted="2", hint="3"),))
    rows = rows_of(job, hand_plan(job, *BARS))
    assert rows.warnings == ('row 3: found "1". Accepted: 2. hint: 3',)


def test_merchants_keep_their_charges() -> None:
    merchant = Merchant(name="Yard", delivery=20_000_000)
    job = builders.job([builders.part("A", 1, 1400)], [builders.offer("P1", 3000, 9)], merchants=[merchant])
    assert rows_of(job, hand_plan(job, ("P1", ["A"]))).totals.orders[0].delivery == 20_000_000


@pytest.mark.parametrize(
    ("lengths", "bar", "settings", "expected"),
    [
        # 5 parts of 1190 on 6000 with 10 mm off either end leave 30 mm for the 4 kerfs between them.
        ([1190] * 5, 6000, {"kerf": "2.5", "end_trim": 10}, mm("7.5")),
        # 3 parts of 1000 on 3007: two kerfs of 3.5 mm, no trim.
        ([1000] * 3, 3007, {"kerf": "2.5"}, mm("3.5")),
        # 2 parts of 1400 leave 180 mm, but a squaring cut wider than the end trim of 10 mm spoils the trim.
        ([1400] * 2, 3000, {"kerf": "2.5", "end_trim": 10}, 10 * MM),
        # The squaring cuts come on top: 20 mm less 10 + 5 leaves 5 mm for one kerf between and two on top.
        ([1490] * 2, 3005, {"kerf": "1", "end_trim": 5, "end_trim_includes_cut": False}, 5 * MM),
        # One part, nothing to square.
        ([1400], 3000, {"kerf": "2.5"}, None),
        # The kerf is 0 now; one cut between two parts may take all 10 mm that are left.
        ([1495, 1495], 3000, {"kerf": 0}, 10 * MM),
    ],
)
def test_largest_kerf(lengths: list[float], bar: float, settings: dict[str, Any], expected: int | None) -> None:
    parts = [builders.part(f"A{i}", 1, length) for i, length in enumerate(lengths)]
    job = builders.job(parts, [builders.offer("P1", bar, 9)], **settings)
    plan = hand_plan(job, ("P1", [part.mark for part in parts]))
    (cut_bar,) = plan.bars
    if settings.get("end_trim_includes_cut") is False:
        trim = job.workshop.saw.end_trim + job.workshop.saw.kerf
        cut_bar = replace(cut_bar, start_trim=trim, far_trim=trim)
    assert largest_kerf(cut_bar, {part.mark: part for part in parts}, job.workshop) == expected


def test_a_mitre_takes_more_of_the_kerf() -> None:
    """5.37 mm take 7.6 at 45 degrees, rounded up to 0.1; 7.6 / 1.41421 is 5.374 and a little."""
    parts = {f"A{i}": builders.part(f"A{i}", 1, 1000, mitres=(45, 0)) for i in range(2)}
    job = builders.job(list(parts.values()), [builders.offer("P1", "2007.6", 9)], kerf=2)
    (bar,) = hand_plan(job, ("P1", list(parts))).bars
    widest = largest_kerf(bar, parts, job.workshop)
    assert widest is not None
    assert kerf_along(widest, 45 * DEGREE) == mm("7.6") < kerf_along(widest + 1000, 45 * DEGREE)
    assert widest == pytest.approx(mm("7.6") / 2**0.5, abs=100)


def test_the_largest_kerf_is_rounded_as_every_kerf_is() -> None:
    """At 45 degrees 4.3 mm take 6.081, rounded up to 6.1; today's 2.5 take 3.6, and 2.5 x 6.1 / 3.6 is only 4.23."""
    parts = {f"A{i}": builders.part(f"A{i}", 1, 1000, mitres=(45, 45)) for i in range(2)}
    job = builders.job(list(parts.values()), [builders.offer("P1", "2006.1", 9)], kerf="2.5")
    block = blocks(job, ("P1", list(parts)))[0]
    assert block.play.endswith("kerf at most 4.3 mm")


def test_the_flush_bar_works_with_todays_kerf_only() -> None:
    job = builders.job([builders.part("A", 2, 500)], [builders.offer("P1", "1002.5", 9)], kerf="2.5")
    block = blocks(job, ("P1", ["A", "A"]))[0]
    assert (block.fate, block.left_over) == (Fate.NONE, "left over: nothing")
    assert block.play == "slack 0 mm, kerf at most 2.5 mm"


def test_inches_all_through() -> None:
    job = builders.job([builders.part("A", 2, 1270)], [builders.offer("P1", 6096, 9)])
    job = replace(job, workshop=replace(job.workshop, unit="in"))
    block = blocks(job, ("P1", ["A", "A"]))[0]
    assert block.source == "20 ft length from Yard"
    assert block.left_over == "left over: keep 140 in, far end mill"


def test_a_length_on_the_rack_is_no_offcut() -> None:
    """It was never cut: both its ends are the mill's."""
    rack = [builders.offcut("K1", 6000, ends="mill mill"), builders.offcut("K2", 900)]
    job = builders.job([builders.part("A", 2, 800)], [builders.offer("P1", 6000, 30)], rack)
    length, offcut = blocks(job, ("K1", ["A"]), ("K2", ["A"]))
    assert (length.source, offcut.source) == ("length K1, 6000 mm", "offcut K2, 900 mm")
