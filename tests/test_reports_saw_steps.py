"""The steps at the saw say what plan.json says: every part in its turn, and each change with its figure."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Held, Job, Lean, Plan, Swings
from cutplan.reports.cut_blocks import CutRow
from cutplan.reports.rows import rows_of
from cutplan.reports.saw_steps import Change, Run, Step, steps_of
from cutplan.units import MILLIMETRES, MM
from tests import builders, nested_row, slanted_start
from tests.hand_plans import hand_plan


def cuts(job: Job, plan: Plan) -> tuple[CutRow, ...]:
    return rows_of(job, plan).blocks[0].cuts


def steps(marks: list[str], **ends: tuple[float, float]) -> tuple[Step, ...]:
    """One bar of parts A of 900, B of 800, C of 800."""
    lengths = {"A": 900, "B": 800, "C": 800}
    parts = [
        builders.part(mark, marks.count(mark), length, mitres=ends.get(mark, (0, 0)))
        for mark, length in lengths.items()
        if mark in marks
    ]
    job = builders.job(parts, [builders.offer("O", 6000, 9)], kerf="2.5", end_trim=10)
    return steps_of(cuts(job, hand_plan(job, ("O", marks))), MILLIMETRES)


def shown(some: tuple[Step, ...]) -> list[tuple[int, str, bool, bool]]:
    return [(len(run.cuts), run.first.mark, run.set_stop, run.set_saw) for run in some if isinstance(run, Run)]


@pytest.mark.parametrize(
    ("marks", "ends", "wanted"),
    [
        ("AAB", {}, [(2, "A", True, False), (1, "B", True, False)]),
        ("ABA", {}, [(1, "A", True, False), (1, "B", True, False), (1, "A", True, False)]),
        ("BBC", {}, [(2, "B", True, False), (1, "C", False, False)]),
        # A free end is cut before, for which the saw is set.
        ("AAB", {"A": (45, 45)}, [(2, "A", True, False), (1, "B", True, False)]),
        ("AAB", {"A": (45, 45), "B": (45, 45)}, [(2, "A", True, False), (1, "B", True, False)]),
        ("AA", {"A": (45, 0)}, [(2, "A", True, True)]),
        ("AB", {"A": (0, 45)}, [(1, "A", True, True), (1, "B", True, False)]),
    ],
)
def test_equal_parts_are_one_run_and_changes_are_marked(
    marks: str, ends: dict[str, tuple[float, float]], wanted: list[tuple[int, str, bool, bool]]
) -> None:
    assert shown(steps(list(marks), **ends)) == wanted


def test_every_part_is_in_one_run_in_its_turn() -> None:
    parts = [builders.part("A", 3, 900), builders.part("B", 2, 800)]
    job = builders.job(parts, [builders.offer("O", 6000, 9)], kerf="2.5")
    rows = cuts(job, hand_plan(job, ("O", list("AABAB"))))
    runs = [step for step in steps_of(rows, MILLIMETRES) if isinstance(step, Run)]
    assert [cut for run in runs for cut in run.cuts] == list(rows)
    assert runs[0].running == (900 * MM, 900 * MM + 2_500_000 + 900 * MM)


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({"clamped": Held.BAR}, None),
        (
            {"clamped": Held.PART, "turn": True},
            Change(what="TURN THE BAR", how="hold the part, cut 10.4 off the free end"),
        ),
        (
            {"clamped": Held.PART},
            Change(what="HOLD THE PART", how="cut 10.4 off the free end"),
        ),
        (
            {"clamped": Held.PART, "turn": True, "angle_b": 45_000_000},
            Change(
                what="TURN THE BAR",
                how="hold the part, cut 10.4 off the free end at its long point",
            ),
        ),
        (
            {"clamped": Held.PART, "turn": True, "beyond": 0},
            Change(what="TURN THE BAR", how="hold the part, trim the free end; the part measures 800"),
        ),
        (
            {"clamped": Held.NOT_CUT},
            Change(what="NO CUT", how="what is left of the bar is the part, 800 long"),
        ),
    ],
)
def test_a_change_of_clamp_is_a_step_with_its_figure(changes: dict[str, object], wanted: Change | None) -> None:
    job = builders.job([builders.part("B", 2, 800)], [builders.offer("O", 6000, 9)], kerf="2.5")
    first, last = cuts(job, hand_plan(job, ("O", ["B", "B"])))
    last = replace(last, **({"beyond": 10_400_000} | changes))  # type: ignore[arg-type]
    found = steps_of((first, last), MILLIMETRES)
    assert [step for step in found if isinstance(step, Change)] == ([] if wanted is None else [wanted])
    if wanted is not None:
        assert isinstance(found[1], Change), "before the part it speaks of"
        assert shown(found) == [(1, "B", True, False), (1, "B", False, "angle_b" in changes)]


def test_the_figure_to_cut_off_is_what_lies_beyond_the_cut() -> None:
    """6000 less the end of the last part at 5987.5 and a kerf of 2.5."""
    job = builders.job([builders.part("A", 2, 2992.5)], [builders.offer("O", 6000, 9)], kerf="2.5")
    first, last = cuts(job, hand_plan(job, ("O", ["A", "A"])))
    assert last.beyond == 6000 * MM - 5987_500_000 - 2_500_000
    assert first.beyond == 6000 * MM - 2992_500_000 - 2_500_000


def told(some: tuple[Step, ...]) -> list[str]:
    return [f"{s.what}: {s.how}" if isinstance(s, Change) else f"{len(s.cuts)} x {s.first.mark}" for s in some]


def test_a_row_of_frame_parts_is_rolled_from_cut_to_cut() -> None:
    made = nested_row.frame()
    rows = cuts(made, nested_row.planned(made, nested_row.row()))
    assert told(steps_of(rows, MILLIMETRES)) == [
        "CUT THE FREE END: SET 45°, at START; a wedge falls out",
        "ROLL THE BAR: half over before each cut, underside up; each cut ends one part and begins the next",
        "4 x P",
    ]
    both = told(steps_of(rows, MILLIMETRES, Swings.BOTH_WAYS))
    assert both[1] == ("SWING THE SAW: to the other side before each cut; each cut ends one part and begins the next")


def test_a_part_on_a_slanted_end_needs_no_cut_there() -> None:
    """Two strokes are left of the three that two parts in a row take."""
    made, bar = slanted_start.begun_job(), slanted_start.begun_bar()
    some = steps_of(cuts(made, nested_row.planned(made, bar)), MILLIMETRES)
    assert told(some) == [
        "NO CUT AT START: the part begins on the slanted end, 45°; lay the bar with that as the saw cuts it",
        "ROLL THE BAR: half over before each cut, underside up; each cut ends one part and begins the next",
        "2 x P",
    ]
    assert sum(step.strokes if isinstance(step, Change) else len(step.cuts) for step in some) == bar.strokes == 2


def test_a_row_of_braces_is_pushed_on() -> None:
    made = nested_row.frame(lean=Lean.PARALLEL)
    rows = cuts(made, nested_row.planned(made, nested_row.row(rolled=(0, 0, 0, 0))))
    assert told(steps_of(rows, MILLIMETRES))[1:] == [
        "PUSH THE BAR ON: each cut ends one part and begins the next",
        "4 x P",
    ]


def test_a_mitre_after_a_square_end_is_told_as_two_cuts() -> None:
    words = told(steps(list("AAB"), A=(45, 0)))
    assert words == [
        "CUT THE FREE END: SET 45°, at START; a wedge falls out",
        "BETWEEN THESE PARTS: SET 45°, cut the free end from its edge, a wedge falls out",
        "2 x A",
        "1 x B",
    ]
    assert told(steps(list("AB"), A=(0, 45)))[1:] == [
        "CUT THE FREE END: SET square, at its short point; a wedge falls out",
        "1 x B",
    ]


MITRES = [(45, 45), (45, 0), (0, 45), (30, 45), (0, 0)]


@pytest.mark.parametrize("marks", ["AAB", "ABAB", "BAAC", "CCAAB"])
@pytest.mark.parametrize("ends", MITRES)
def test_every_stroke_is_told(marks: str, ends: tuple[float, float]) -> None:
    """The steps come to the strokes that are counted and charged; a START that is squared stands in the heading."""
    mitres = {"A": ends, "B": (0, 0), "C": (45, 45)}
    parts = [builders.part(m, marks.count(m), 800, mitres=mitres[m]) for m in "ABC" if m in marks]
    job = builders.job(parts, [builders.offer("O", 6000, 9)], kerf="2.5", end_trim=10)
    plan = hand_plan(job, ("O", list(marks)))
    (bar,) = plan.bars
    some = steps_of(cuts(job, plan), MILLIMETRES)
    own = sum(step.strokes if isinstance(step, Change) else len(step.cuts) for step in some)
    assert own + (not bar.cuts[0].angle_a) == bar.strokes


def test_every_stroke_of_a_row_is_told() -> None:
    made = nested_row.frame()
    plan = nested_row.planned(made, nested_row.row())
    some = steps_of(cuts(made, plan), MILLIMETRES)
    assert sum(step.strokes if isinstance(step, Change) else len(step.cuts) for step in some) == 5


def test_an_angle_is_laid_on_its_other_leg_where_a_part_is_turned_about() -> None:
    made = nested_row.frame(lean=Lean.PARALLEL)
    rows = cuts(made, nested_row.planned(made, nested_row.row(rolled=(0, 0, 0, 0))))
    rows = (*rows[:1], replace(rows[1], shared=False), *(replace(row, other_leg=True) for row in rows[2:]))
    words = told(steps_of(rows, MILLIMETRES))
    assert "LAY THE BAR: on its other leg: the next mitre is cut in that one" in words
    assert [line for line in words if line.endswith(" x P")] == ["2 x P", "2 x P"]


REVERSED = {"half over": (1, -1), "end for end": (-1, -1)}
"""What becomes of along and across, seen from above: about the bar's own axis, and about an upright one."""


@pytest.mark.parametrize("half_over", [True, False])
def test_what_is_told_between_opposite_slants_makes_the_one_of_the_other(half_over: bool) -> None:
    """A slant is across over along: reversed both, as where a bar is turned about on the table, it is what it was."""
    made = nested_row.frame()
    rows = tuple(replace(row, half_over=half_over) for row in cuts(made, nested_row.planned(made, nested_row.row())))
    for some in (rows, tuple(replace(row, shared=False) for row in rows)):
        moved = [line for line in told(steps_of(some, MILLIMETRES)) for movement in REVERSED if movement in line]
        assert moved
        for line in moved:
            assert ("on packing" in line) != half_over, "an angle or a tee does not lie so by itself; from memory"
            (movement,) = [movement for movement in REVERSED if movement in line]
            along, across = REVERSED[movement]
            assert across / along == -1, line


def test_an_angle_is_rolled_on_packing_where_a_tube_lies_by_itself() -> None:
    made = nested_row.frame()
    rows = cuts(made, nested_row.planned(made, nested_row.row()))
    assert all(row.half_over for row in rows)
    angles = tuple(replace(row, half_over=False) for row in rows)
    assert told(steps_of(angles, MILLIMETRES))[1] == (
        "ROLL THE BAR: half over before each cut, underside up, on packing; each cut ends one part and begins the next"
    )
    assert told(steps_of(angles, MILLIMETRES, Swings.BOTH_WAYS)) == told(steps_of(rows, MILLIMETRES, Swings.BOTH_WAYS))


def test_a_leg_is_another_one_of_angles_alone() -> None:
    rolled = nested_row.row(rolled=(0, 1, 0, 1))
    tube = nested_row.frame()
    assert [row.other_leg for row in cuts(tube, nested_row.planned(tube, rolled))] == [False] * 4
    angle = builders.part_of("L 40x40x4", 300, mitres=(45, 45))
    offers = [builders.offer("A", 1200, 10, section=angle.section)]
    angles = builders.job([replace(angle, mark="P", quantity=4)], offers, kerf="2.5", share_mitres=True)
    found = cuts(angles, nested_row.planned(angles, rolled))
    assert [row.other_leg for row in found] == [False, True, False, True]
    assert not any(row.half_over for row in found)


def test_a_tube_is_laid_on_its_other_face_where_the_next_mitre_runs_across_that() -> None:
    """60x40: X lies on its wide side, Y on its narrow one. The free end that X leaves is cut once Y lies right."""
    x, y = (builders.part_of("RHS 60x40x3", 300, mitres=(45, 45), depth=depth * MM) for depth in (60, 40))
    offers = [builders.offer("A", 1200, 10, section=x.section)]
    made = builders.job([replace(x, mark="X"), replace(y, mark="Y")], offers, kerf="2.5", end_trim=10)
    rows = cuts(made, hand_plan(made, ("A", ["X", "Y"])))
    words = told(steps_of(rows, MILLIMETRES))
    assert words[2:5] == [
        "1 x X",
        "LAY THE BAR: 40 mm face on the table, for the next mitre",
        "CUT THE FREE END: 45° at its short point; a wedge falls out",
    ]
