"""The data of the sheets at the saw."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from cutplan.actions.rack_plans import with_marks
from cutplan.model import Job, Plan
from cutplan.reports.paper.cut_sheets import cut_sheet
from cutplan.reports.rows import rows_of
from cutplan.units import DEGREE
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import LONG, trailer


def blocks(job: Job, plan: Plan) -> list[dict[str, Any]]:
    sheet = cut_sheet(rows_of(job, plan), 186)
    return [block for group in sheet["groups"] for block in group["blocks"]]


def test_one_section_group_after_another() -> None:
    sheet = cut_sheet(rows_of(*trailer()), 186)
    titles = [group["title"] for group in sheet["groups"]]
    assert titles == [
        "SHS 40x40x3 (-box), EN 10219-2, grade not stated, black",
        "SHS 40x40x3 (-box), EN 10219-2, grade unknown, black",
        "SHS 50x50x3, EN 10219-2, grade not stated, black",
    ]


def test_figures_are_words_of_the_workshop() -> None:
    first = blocks(*trailer())[0]
    assert [cut["length"] for cut in first["cuts"]] == ["2500", "2500"]
    assert [cut["running"] for cut in first["cuts"]] == ["2510", "5012.5"]
    job, plan = trailer()
    inches = blocks(replace(job, workshop=replace(job.workshop, unit="in")), plan)[0]
    assert inches["cuts"][0]["length"] == "~98 27/64"


def test_a_long_mark_is_set_smaller_and_whole() -> None:
    sizes = {cut["mark"]: cut["mark-size"] for block in blocks(*trailer()) for cut in block["cuts"]}
    assert sizes[LONG] < 13


def test_a_change_of_angle_is_told() -> None:
    parts = [builders.part("A", 1, 900), builders.part("B", 2, 800, mitres=(45, 45)), builders.part("C", 1, 700)]
    job = builders.job(parts, [builders.offer("O", 4000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", ["A", "B", "B", "C"])))
    assert [(cut["ends"], cut["set"]) for cut in block["cuts"]] == [
        ("square", False),
        ("45° | 45°", True),
        ("45° | 45°", False),
        ("square", True),
    ]
    assert block["cuts"][1]["end-lines"] == ["short point 720"]


def test_unlike_ends_say_which_comes_off_first() -> None:
    part = builders.part("A", 1, 900, mitres=(45, 0))
    job = builders.job([part], [builders.offer("O", 4000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", ["A"])))
    assert block["cuts"][0]["end-lines"] == ["short point 860", "end A comes off first"]


def test_a_scale_that_counts_from_the_bar_is_read_beside_the_angle() -> None:
    parts = [
        builders.part("A", 1, 900, mitres=(30, 30)),
        builders.part("B", 1, 800, mitres=(22.5, 0)),
        builders.part("C", 1, 700, mitres=(45, 45)),
        builders.part("D", 1, 600),
    ]
    job = builders.job(parts, [builders.offer("O", 4000, 9)], square_reads=90 * DEGREE)
    (block,) = blocks(job, hand_plan(job, ("O", ["A", "B", "C", "D"])))
    told = [(cut["ends"], [line for line in cut["end-lines"] if "scale" in line]) for cut in block["cuts"]]
    assert told == [
        ("30° | 30°", ["scale 60"]),
        ("22.5° | square", ["scale 67.5 | 90"]),
        ("45° | 45°", []),
        ("square", []),
    ]


def test_bars_alike_stand_once_with_their_reserved_marks() -> None:
    job = builders.job([builders.part("A", 3, 2000)], [builders.offer("O", 2500, 9)], keep=300)
    (block,) = blocks(job, with_marks(hand_plan(job, *[("O", ["A"])] * 3), ["K7", "", "K9"]))
    assert block["title"] == "Bars 1 to 3 (3 cut alike)"
    assert block["bars"] == ["1", "2", "3"]
    assert block["keep"]
    assert block["reserved"] == ["K7", "", "K9"]


def test_noise_stays_off() -> None:
    for block in blocks(*trailer()):
        words = " ".join(value for value in block.values() if isinstance(value, str) and not value.startswith("<svg"))
        assert "%" not in words
        assert "EN 1" not in words
        assert "proven" not in words


def test_a_heavy_bar_is_flagged_by_the_workshop_s_own_limit() -> None:
    job, plan = trailer()
    assert blocks(job, plan)[0]["weight"] == "19.5 kg"
    light = replace(job, workshop=replace(job.workshop, heavy=19_000_000))
    assert blocks(light, plan)[0]["weight"] == "19.5 kg, HEAVY"


def test_the_strokes_of_the_plan_stand_at_the_head() -> None:
    assert cut_sheet(rows_of(*trailer()), 186)["lines"][0].endswith(" strokes of the saw, squaring included.")
