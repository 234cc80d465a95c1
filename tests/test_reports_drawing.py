"""The drawing covers a bar without gap or overlap."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from cutplan.model import Held
from cutplan.reports.drawing import Kind, draw
from cutplan.units import INCHES, MILLIMETRES, MM
from tests import builders
from tests.drilled import drilled, drilled_job, hole
from tests.hand_plans import hand_plan
from tests.nasty_bars import NASTY, drawings, one


@pytest.mark.parametrize("name", NASTY)
def test_stretches_cover_the_bar_without_gap_or_overlap(name: str) -> None:
    drawing = NASTY[name]
    assert drawing.stretches[0].start == 0
    assert drawing.stretches[-1].end == drawing.length
    assert all(one.end == next_one.start for one, next_one in pairwise(drawing.stretches))
    assert all(one.start < one.end for one in drawing.stretches)


def test_running_dimensions_name_every_cut() -> None:
    drawing = one([("A", 2, 1200)])
    assert [d.text for d in drawing.dimensions] == ["10", "1210", "2412.5", "6000"]
    assert [d.at for d in drawing.dimensions] == [10 * MM, 1210 * MM, builders.mm("2412.5"), 6000 * MM]


def test_a_mitre_leans_by_depth_and_angle() -> None:
    part = next(s for s in one([("A", 1, 1200)], mitres=(45, 0)).stretches if s.kind is Kind.PART)
    assert (part.run_start, part.run_end) == (40 * MM, 0)


def test_a_flush_bar_has_no_left_over() -> None:
    job = builders.job([builders.part("A", 2, 500)], [builders.offer("P1", 1000, 10)])
    drawing = drawings(job, hand_plan(job, ("P1", ["A", "A"])))[0]
    assert [s.kind for s in drawing.stretches] == [Kind.PART, Kind.PART]


def test_inches_are_written_in_fractions() -> None:
    job = builders.job([builders.part("A", 1, "1200.15")], [builders.offer("P1", 6096, 10)])
    drawing = drawings(job, hand_plan(job, ("P1", ["A"])), INCHES)[0]
    assert [d.text for d in drawing.dimensions] == ["47 1/4", "240"]


def test_the_vice_holds_the_far_end_and_the_part_of_a_last_cut() -> None:
    job = builders.job([builders.part("A", 2, 2000)], [builders.offer("P1", 6000, 30)], kerf="2.5", end_trim=10)
    bar = next(hand_plan(job, ("P1", ["A", "A"])).bars)
    turned = replace(bar, cuts=(bar.cuts[0], replace(bar.cuts[1], held=Held.PART)))
    parts = {part.mark: part for part in job.parts}
    assert draw(bar, parts, MILLIMETRES, 120 * MM).holds == ((5880 * MM, 6000 * MM),)
    assert draw(turned, parts, MILLIMETRES, 120 * MM).holds == (
        (turned.cuts[1].end - 120 * MM, turned.cuts[1].end),
        (5880 * MM, 6000 * MM),
    )
    assert draw(bar, parts, MILLIMETRES).holds == ()


def test_the_words_name_all_that_is_drawn() -> None:
    words = one([("A", 1, 1200), ("B", 1, 800)], bar=2500).words
    assert words == "Bar from START: end trim, A, B, keep 485 mm"


@pytest.mark.parametrize(("mitres", "turned"), [((0, 0), False), ((45, 0), False), ((45, 0), True)])
def test_holes_lie_where_the_part_lies(mitres: tuple[float, float], turned: bool) -> None:
    holes = (hole(100, 2, through=False), hole(300, size=""), hole(700, through=False))
    job, plan = drilled_job(drilled("A", *holes, mitres=mitres))
    (bar,) = plan.bars
    (cut,) = bar.cuts
    if turned:
        cut = replace(cut, angle_a=cut.angle_b, angle_b=cut.angle_a)
    drawing = draw(replace(bar, cuts=(cut,)), {part.mark: part for part in job.parts}, MILLIMETRES)
    (part,) = (stretch for stretch in drawing.stretches if stretch.kind is Kind.PART)
    found = [(at - cut.start) // MM for at in part.holes]
    assert found == ([300, 900] if turned else [100, 700]), "landings are no holes"
