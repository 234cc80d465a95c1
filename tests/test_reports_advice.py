"""Advice on the sheets to cut from: what to recut from, parts alike."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model import Job, groups_of
from cutplan.reports.advice import first_out, near_twins, spares_of
from cutplan.units import DEGREE
from tests import builders
from tests.hand_plans import hand_plan


def words(job: Job, bars: list[tuple[str, list[str]]], number: int, mark: str) -> str:
    plan = hand_plan(job, *bars)
    group = groups_of(job)[0]
    cut = list(plan.bars)
    taken = frozenset(bar.source for bar in cut)
    part = next(part for part in job.parts if part.mark == mark)
    return spares_of(job, group, cut, taken).words(cut[number - 1], part)


def test_a_spoiled_part_is_cut_again_from_the_tightest_later_bar() -> None:
    parts = [builders.part("A", 2, 2000), builders.part("B", 1, 1500), builders.part("C", 1, 700)]
    job = builders.job(parts, [builders.offer("L", 4010, 9), builders.offer("M", 3000, 5)], kerf=5)
    bars = [("L", ["A", "A"]), ("M", ["B"]), ("M", ["C"])]
    assert words(job, bars, 1, "A") == "bar 3"
    assert words(job, bars, 2, "B") == "bar 3", "its own left over is a kerf too short"
    assert words(job, bars, 2, "C") == "this bar"
    assert words(job, bars, 3, "B") == "this bar"


def test_a_left_over_cut_before_and_an_offcut_come_last() -> None:
    parts = [builders.part("A", 1, 900), builders.part("B", 1, 1900)]
    offers = [builders.offer("L", 2000, 9)]
    spare = [builders.offcut("R9", 2100), builders.offcut("R8", 1950)]
    job = builders.job(parts, offers, spare, kerf=5, keep=300)
    bars = [("L", ["A"]), ("L", ["B"])]
    assert words(job, bars, 1, "A") == "this bar"
    assert words(job, bars, 2, "B") == "offcut R8"
    assert words(job, [("L", ["B"]), ("L", ["A"])], 1, "B") == "offcut R8"
    short = builders.job([builders.part("A", 1, 900), builders.part("B", 2, 990)], offers, kerf=5, keep=300)
    assert words(short, [("L", ["A"]), ("L", ["B", "B"])], 2, "B") == "left over of bar 1"


def test_nothing_is_promised_where_nothing_has_room() -> None:
    job = builders.job([builders.part("A", 2, 1990)], [builders.offer("L", 2000, 9)], kerf=5)
    assert words(job, [("L", ["A"]), ("L", ["A"])], 1, "A") == ""


def test_a_stated_grade_is_recut_from_its_grade_alone() -> None:
    parts = [builders.part("A", 1, 1900, grade="S355"), builders.part("B", 1, 500, grade="S355")]
    offers = [builders.offer("L", 2000, 9, grade="S355"), builders.offer("M", 3000, 9, grade="S355")]
    job = builders.job(parts, offers, kerf=5)
    assert words(job, [("L", ["A"]), ("M", ["B"])], 1, "A") == "bar 2"
    unknown = replace(job, offers=(job.offers[0],), offcuts=(builders.offcut("R1", 3000),))
    part = job.parts[0]
    plan = hand_plan(job, ("L", ["A"]), ("M", ["B"]))
    first, _ = plan.bars
    spares = spares_of(job, groups_of(job)[0], [first], frozenset())
    assert replace(spares, offcuts=unknown.offcuts).words(first, part) == ""


def test_a_piece_too_short_to_hold_is_no_spare() -> None:
    parts = [builders.part("A", 1, 990), builders.part("B", 2, 60)]
    offers = [builders.offer("L", 1000, 9), builders.offer("M", 130, 2)]
    job = builders.job(parts, [*offers, builders.offer("S", 200, 2)], kerf=5, safe_hold=120)
    bars = [("L", ["A"]), ("M", ["B"]), ("S", ["B"])]
    assert words(job, bars, 2, "B") == "", "65 mm would be left to hold"


def test_a_mill_end_that_is_not_trimmed_takes_no_cut() -> None:
    """With a trim of 0 nothing comes off, kerf on top or not."""
    spare = [builders.offcut("R1", 1990, ends="mill mill")]
    job = builders.job([builders.part("A", 1, 1990)], [builders.offer("L", 2000, 9)], spare, kerf=5)
    saw = replace(job.workshop.saw, end_trim=0, end_trim_includes_cut=False)
    job = replace(job, workshop=replace(job.workshop, saw=saw))
    assert words(job, [("L", ["A"])], 1, "A") == "offcut R1"


def test_parts_nearly_as_long_are_told_apart() -> None:
    parts = [builders.part("A", 1, 622), builders.part("B", 1, 632), builders.part("C", 1, "642.1")]
    assert near_twins(builders.job(parts, [builders.offer("O", 1000, 1)])) == {"A": "not B, 632", "B": "not A, 622"}


def test_parts_as_long_with_other_mitres_are_told_apart() -> None:
    parts = [builders.part("A", 1, 622), builders.part("B", 1, 622, mitres=(45, 0)), builders.part("C", 1, 622)]
    twins = near_twins(builders.job(parts, [builders.offer("O", 1000, 1)]))
    assert twins["B"] == "not A, other mitres; not C, other mitres"
    other = builders.part("D", 1, 622, mitres=(0, 45))
    assert near_twins(builders.job([parts[1], other], [builders.offer("O", 1000, 1)])) == {}


def test_parts_of_another_section_are_no_twins() -> None:
    parts = [builders.part("A", 1, 622), builders.part("B", 1, 623, section=builders.square_tube(50))]
    offers = [builders.offer("O", 1000, 1), builders.offer("Q", 1000, 1, section=builders.square_tube(50))]
    assert near_twins(builders.job(parts, offers)) == {}


def test_the_end_that_leaves_the_saw_first() -> None:
    part = builders.part("A", 1, 622, mitres=(45, 0))
    assert first_out(45 * DEGREE, 0, part) == "A"
    assert first_out(0, 45 * DEGREE, part) == "B"
    assert first_out(0, 0, builders.part("A", 1, 622)) == ""
