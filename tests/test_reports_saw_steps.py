"""The steps at the saw say what plan.json says: every part in its turn, and each change with its figure."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Held, Job, Plan
from cutplan.reports.rows import CutRow, rows_of
from cutplan.reports.saw_steps import Change, Run, Step, steps_of
from cutplan.units import MILLIMETRES, MM
from tests import builders
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
        ("AAB", {"A": (45, 45)}, [(2, "A", True, True), (1, "B", True, True)]),
        ("AAB", {"A": (45, 45), "B": (45, 45)}, [(2, "A", True, True), (1, "B", True, False)]),
        ("AA", {"A": (45, 0)}, [(2, "A", True, True)]),
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
            Change(what="TURN THE BAR", how="hold the part, cut 10.4 off the free end; the part measures 800"),
        ),
        (
            {"clamped": Held.PART},
            Change(what="HOLD THE PART", how="hold the part, cut 10.4 off the free end; the part measures 800"),
        ),
        (
            {"clamped": Held.PART, "turn": True, "angle_b": 45_000_000},
            Change(
                what="TURN THE BAR",
                how="hold the part, cut 10.4 off the free end at its long point; the part measures 800",
            ),
        ),
        (
            {"clamped": Held.PART, "turn": True, "beyond": 0},
            Change(what="TURN THE BAR", how="hold the part, trim the free end; the part measures 800"),
        ),
        (
            {"clamped": Held.NOT_CUT},
            Change(what="NO CUT", how="what is left of the bar is the part and measures 800"),
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
