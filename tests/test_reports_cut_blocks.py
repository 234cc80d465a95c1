"""Bars as they are shown to be cut, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Fate
from cutplan.reports.cut_blocks import largest_kerf
from cutplan.reports.rows import rows_of
from cutplan.units import DEGREE, MM, kerf_along
from tests import builders
from tests.builders import mm
from tests.hand_plans import hand_plan, turned
from tests.trailer_bars import BARS, blocks, trailer


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
    assert rows.blocks[1].cuts[1].held == "part side, TURN THE BAR"


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
