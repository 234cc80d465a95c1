"""Marking cards in words, checked against figures worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.drilling import Drill
from cutplan.model import Allowance, Job, Part, Purpose
from cutplan.reports.cards import CardRow, card_rows, drill_text, in_all
from cutplan.units import INCH, MILLIMETRES, MM
from tests.builders import mm
from tests.drilled import drilled, drilled_job, hole


def card(part: Part, unit: str = "mm") -> CardRow:
    (row,) = card_rows(in_unit(drilled_job(part)[0], unit))
    return row


def in_unit(job: Job, unit: str) -> Job:
    return replace(job, workshop=replace(job.workshop, unit=unit))


def test_holes_alike_are_marked_out_in_one_go() -> None:
    holes = [hole(at, size="M12 clear", note="rail") for at in (50, 125, 200)]
    row = card(drilled("A", *holes, hole(400, size="", note="B"), hole(700, 2, 15, "9", through=False)))
    assert [(m.face, m.count, m.places, m.across, m.hole, m.note) for m in row.marks] == [
        ("face 1", 3, "50 · 125 · 200", "centre", "M12 clear, 13.5 mm, both walls", "rail"),
        ("face 1", 1, "400", "centre", "landing", "B"),
        ("face 2", 1, "700", "15 mm from upper edge", "9 mm, one wall", ""),
    ]


def test_a_distance_across_counts_from_the_nearer_edge() -> None:
    row = card(drilled("A", hole(100, across=12), hole(200, across=30)))
    assert [m.across for m in row.marks] == ["12 mm from upper edge", "10 mm from lower edge"]


def test_a_face_that_begins_at_the_short_point_says_its_distances_from_there() -> None:
    """A tube of 40 with 45 degrees at both ends: face 4 begins 40 in from the long point, face 2 at it."""
    holes = (hole(100, 1), hole(150, 2), hole(100, 4), hole(300, 4))
    row = card(drilled("A", *holes, mitres=(45, 45), depth=mm(40)))
    assert [(m.face, m.places, m.short) for m in row.marks] == [
        ("face 1", "100", ""),
        ("face 2", "150", ""),
        ("face 4", "100 · 300", "60 · 260"),
    ]


def test_parts_with_the_same_holes_and_more_are_named() -> None:
    parts = (drilled("A", hole(50), hole(90)), drilled("B", hole(50), hole(90), hole(200)), drilled("C", hole(50, 2)))
    rows = card_rows(drilled_job(*parts)[0])
    assert [row.jigs for row in rows] == [
        (),
        ("Has the holes of A from end A and 1 hole more: its jig serves B, then drill the rest.",),
        (),
    ]


def test_a_pattern_is_named_in_the_note() -> None:
    holes = (hole(50, pattern="rail"), hole(90, pattern="rail", note="pin"), hole(130))
    assert [row.note for row in card(drilled("A", *holes)).marks] == ["pattern rail", "pin, pattern rail", ""]


def test_a_leg_is_measured_from_the_heel() -> None:
    row = card(drilled("A", hole(100, 1, 25), hole(100, 2, 30), section="EA 50x50x5"))
    assert [m.across for m in row.marks] == ["25 mm from heel", "30 mm from heel"]
    assert row.looks == ("From end A: leg 1 on top, heel right.",)
    assert [m.hole for m in row.marks] == ["10 mm", "10 mm"], "a leg has one wall"


def test_channels_say_what_is_measured_from() -> None:
    row = card(drilled("A", hole(100, 1, 30), hole(100, 2, 30), section="UPN 100"))
    assert [m.across for m in row.marks] == ["30 mm from back", "30 mm from top flange"]


def test_the_schedule_counts_one_piece_and_all() -> None:
    (first, second) = card(
        replace(drilled("A", hole(50, size="M12 clear"), hole(90, size="M8 tapped")), quantity=4)
    ).drills
    assert (first.hole, first.each, first.in_all, first.standard) == ("M12 clear, 13.5 mm", 1, 4, "ISO 273, medium")
    assert (first.metric, first.inch, first.pilot) == ("13.5 mm, exact", "17/32 in, 0.0002 in under", "5 to 6 mm")
    assert (second.hole, second.standard) == ("M8x1.25 tapped, 6.8 mm", "ISO 2306")


def test_in_inches() -> None:
    row = card(drilled("A", hole("50.8", size="1/2 in clear")), "in")
    assert [m.places for m in row.marks] == ["2"]
    (drill,) = row.drills
    assert (drill.hole, drill.standard) == ("1/2 in clear, 9/16 in", "ASME B18.2.8, normal")
    assert (drill.metric, drill.inch, drill.pilot) == ("14.5 mm, 0.213 mm over", "9/16 in, exact", "3/16 to 1/4 in")
    assert drill.drill == "9/16 in, exact; 14.5 mm, 0.213 mm over"


@pytest.mark.parametrize(
    ("drill", "unit", "text"),
    [
        (None, "mm", "none near"),
        (Drill("10 mm", 10 * MM), "mm", "10 mm, exact"),
        (Drill("10.1 mm", 10_100_000), "mm", "10.1 mm, 0.1 mm over"),
        (Drill("3/8 in", 3 * INCH // 8), "in", "3/8 in, 0.0187 in under"),
    ],
)
def test_differences(drill: Drill | None, unit: str, text: str) -> None:
    assert drill_text(drill, 10 * MM, unit) == text


def test_a_line_breaks_between_figures_and_not_within_one() -> None:
    row = card(drilled("A", hole("50.8"), hole("204.7875")), "in")
    assert [m.places for m in row.marks] == ["2 · 8\N{NO-BREAK SPACE}1/16"]


def test_small_holes_need_no_pilot() -> None:
    assert [drill.pilot for drill in card(drilled("A", hole(100, size="5"))).drills] == ["none"]


def test_jigs_and_their_stop() -> None:
    rows = card_rows(drilled_job(drilled("A", hole(100)), drilled("B", hole(100), length=700))[0])
    assert [row.jigs for row in rows] == [
        ("Same holes from end A as B: one drilling jig serves them, its stop at end A.",),
        ("Same holes from end A as A: one drilling jig serves them, its stop at end A.",),
    ]


def test_cautions() -> None:
    flat = card(drilled("A", *[hole(at, across=10) for at in (5, 100, 200, 300, 400, 500)], section="FL 50x6"))
    assert flat.cautions == (
        "Face 1, 10 mm at 5: 5 mm to end A, common minimum 12 mm.",
        "Face 1, 10 mm at 5 · 100 · 200 · 300 and 2 more: 10 mm to the edge, common minimum 12 mm.",
    )
    tube = card(drilled("A", hole(100), hole(105, 2), hole(300, across=6)))
    assert tube.cautions == (
        "Face 1, 10 mm at 300: the drill runs into the wall beside the face.",
        "Face 1, 10 mm at 100: meets a hole from another face inside; two bolts would not pass.",
        "Face 2, 10 mm at 105: meets a hole from another face inside; two bolts would not pass.",
    )
    angle = card(drilled("A", hole(100, 1, 25), hole(110, 1, 25), section="EA 50x50x5"))
    assert angle.cautions == ("Leg 1 at 100 · 110: 10 mm from middle to middle, common minimum 22 mm for 10 mm.",)


def test_how_the_part_lies() -> None:
    rhs = card(drilled("A", hole(100, 2), section="RHS 60x40x3", mitres=(45, 0), depth=mm(40)))
    assert rhs.looks == (
        "Face 1 is 60 mm across.",
        "Mitred, end A 45°: it shows on face 2.",
    )
    other = card(drilled("A", hole(100, 1, 25), section="EA 50x50x5", opposite_hand=True))
    assert other.looks == (
        "From end A: leg 1 on top, heel left.",
        "OPPOSITE HAND: drawn as a mirror shows the part drawn on the plan.",
    )
    mirrored = card(drilled("A", hole(100), opposite_hand=True))
    assert mirrored.looks == ("OPPOSITE HAND: the figures here are those of the mirror image.",)
    fit = card(drilled("A", hole(100), allowances=(Allowance(purpose=Purpose.FIT, length=mm(20)),)))
    assert fit.looks == ("Sawn 1000 mm with 20 mm allowance: figures are those of the finished part.",)
    assert fit.length == "980 mm"


def test_beams_and_leg_of_unequal_angle() -> None:
    row = card(drilled("A", hole(100, 1, 30), section="UA 60x40x5"))
    assert row.looks[0].startswith("From end A: leg 1, the longer one, on top")


def test_a_part_with_landings_alone_has_no_schedule() -> None:
    row = card(drilled("A", hole(100, size="")))
    assert (row.drills, row.cautions, len(row.marks)) == ((), (), 1)
    assert row.words(MILLIMETRES) == "A seen from outside, end A to the left; from end A, face 1: 100"


def test_holes_in_all() -> None:
    parts = (replace(drilled("A", hole(50, size="M12 clear"), hole(90)), quantity=3), drilled("B", hole(90)))
    assert in_all(card_rows(drilled_job(*parts)[0])) == ("Total of holes: 4 x 10 mm; 3 x M12 clear, 13.5 mm.",)
    assert in_all(card_rows(drilled_job(drilled("A", hole(100, size="")))[0])) == ()


def test_a_hole_keeps_its_typed_size_first() -> None:
    """1/2 in in a workshop of millimetres is the drill meant; what it comes to stands behind."""
    job, _ = drilled_job(drilled("A", hole(70, size="1/2 in"), hole(200, size="13.5")))
    assert [row.hole for row in card_rows(job)[0].marks] == ["1/2 in, 12.7 mm, both walls", "13.5 mm, both walls"]
    assert {row.hole for row in card_rows(job)[0].drills} == {"1/2 in, 12.7 mm", "13.5 mm"}


def test_holes_in_the_farther_half_are_measured_from_end_b_too() -> None:
    """Of a part of 1000 mm: 930 lies 70 from end B, 500 is as far from either and stands once."""
    job, _ = drilled_job(drilled("A", hole(70), hole(500), hole(800), hole(930)))
    assert card_rows(job)[0].marks[0].from_b == "70 · 200"
    job, _ = drilled_job(drilled("A", hole(70)))
    assert card_rows(job)[0].marks[0].from_b == ""


@pytest.mark.parametrize(("size", "pilot"), [("6.3", False), ("6.4", True), ("", False)])
def test_wide_holes_are_drilled_in_two_steps(size: str, pilot: bool) -> None:
    job, _ = drilled_job(drilled("A", hole(70, size=size)))
    assert card_rows(job)[0].marks[0].pilot is pilot


def test_own_drills_are_named_in_place_of_the_usual_sets() -> None:
    """7 mm makes a hole of 6.6 without binding, 0.4 mm over; beyond 13 mm the workshop has none."""
    job, _ = drilled_job(drilled("A", hole(70, size="M6 clear"), hole(200, size="20")))
    job = replace(job, workshop=replace(job.workshop, own_drills="metric by 0.5"))
    own = {row.hole: row.own for row in card_rows(job)[0].drills}
    assert own == {"M6 clear, 6.6 mm": "7 mm, 0.4 mm over; next 7.5 mm", "20 mm": "none so wide; widest 13 mm"}
