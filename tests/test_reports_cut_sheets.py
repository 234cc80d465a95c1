"""The data of the sheets at the saw: one line for a run, one block for bars cut alike, each word once."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from cutplan.actions.rack_plans import with_marks
from cutplan.model import Assumption, Job, Plan
from cutplan.reports.lettering import printable, text_mm
from cutplan.reports.paper.cut_sheets import cut_sheet
from cutplan.reports.rows import rows_of
from cutplan.units import DEGREE, MM
from tests import builders
from tests.hand_plans import hand_plan
from tests.test_reports_own_rows import BOTH, PLAN
from tests.workbooks import LONG, trailer


def blocks(job: Job, plan: Plan) -> list[dict[str, Any]]:
    sheet = cut_sheet(rows_of(job, plan), 186)
    return [block for group in sheet["groups"] for block in group["blocks"]]


def runs(block: dict[str, Any]) -> list[dict[str, Any]]:
    return [step for step in block["steps"] if step["kind"] == "run"]


def test_one_section_after_another() -> None:
    sheet = cut_sheet(rows_of(*trailer()), 186)
    assert [group["title"] for group in sheet["groups"]] == [
        "-box (SHS 40x40x3), EN 10219-2, black",
        "SHS 50x50x3, EN 10219-2, black",
    ]
    assert [block["source"] for block in blocks(*trailer())] == [
        "6.5 m length from Yard, grade not stated",
        "6 m length from Far, grade not stated",
        "offcut R1, 800 mm, grade unknown",
        "3 m length from Far, grade not stated",
    ]


def test_figures_are_words_of_the_workshop() -> None:
    first = blocks(*trailer())[0]
    assert [(run["count"], run["length"], run["running"]) for run in runs(first)] == [(2, "2500", ["2510", "5012.5"])]
    job, plan = trailer()
    inches = blocks(replace(job, workshop=replace(job.workshop, unit="in")), plan)[0]
    assert runs(inches)[0]["length"] == "~98 27/64"


def test_a_long_mark_is_set_smaller_and_whole() -> None:
    sizes = {run["mark"]: run["mark-size"] for block in blocks(*trailer()) for run in runs(block)}
    assert sizes[LONG] == 8


def test_a_long_count_and_length_are_set_smaller() -> None:
    job = builders.job([builders.part("A", 40, 100)], [builders.offer("O", 6000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", ["A"] * 40)))
    assert runs(block)[0]["length-size"] == 17
    job = replace(job, workshop=replace(job.workshop, unit="in"))
    (block,) = blocks(job, hand_plan(job, ("O", ["A"] * 40)))
    assert runs(block)[0]["length"] == "~3 15/16"
    assert runs(block)[0]["length-size"] < 17


def test_a_change_of_stop_and_of_angle_is_marked() -> None:
    parts = [builders.part("A", 1, 900), builders.part("B", 2, 800, mitres=(45, 45)), builders.part("C", 1, 700)]
    job = builders.job(parts, [builders.offer("O", 4000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", ["A", "B", "B", "C"])))
    assert [(run["near"], run["far"], run["set-stop"], run["set-saw"]) for run in runs(block)] == [
        ("", "square", True, False),
        # The saw was set for the free end before.
        ("45° | ", "45°", True, False),
        ("", "square", True, False),
    ]
    words = [(step["what"], step["how"]) for step in block["steps"] if step["kind"] == "change"]
    assert words == [
        ("CUT THE FREE END", "SET 45°, from its edge; a wedge falls out"),
        ("ROLL THE BAR", "half over, underside up"),
        (
            "BETWEEN THESE PARTS",
            "roll half over, cut the free end 45° at its short point, a wedge falls out, roll half over",
        ),
        ("CUT THE FREE END", "SET square, at its short point; a wedge falls out"),
    ]
    assert runs(block)[1]["end-lines"] == ["long to long, short 720"]
    assert runs(block)[1]["outline"] == [[0, 3.6], [3.6, 0], [7.4, 0], [11, 3.6]]
    assert runs(block)[0]["outline"] == []


def test_figures_stand_beside_their_run_or_take_the_room_of_its_ends() -> None:
    job = builders.job([builders.part("A", 4, 900), builders.part("B", 2, 800)], [builders.offer("O", 6000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", list("AAAABB"))))
    assert [run["place"] for run in runs(block)] == ["square", "beside"]


def test_the_assembly_and_the_note_stand_where_the_part_is_cut() -> None:
    part = builders.part("A", 1, 900, assembly="gate", note="hinge side")
    job = builders.job([part], [builders.offer("O", 4000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", ["A"])))
    assert runs(block)[0]["about"] == "gate: hinge side"


def test_what_a_part_is_goes_below_a_mark_that_leaves_it_no_room() -> None:
    """A column of 47 mm: of a short mark the rest is beside it, of a long one below, where it is one line."""
    note = "brace from the drawbar to the front rail"
    parts = [replace(builders.part(mark, 1, 1000), note=note) for mark in ("T5", "garden-trailer/T5")]
    job = builders.job([*parts, builders.part("garden-trailer/T6", 1, 1000)], [builders.offer("O", 6000, 9)])
    plan = hand_plan(job, ("O", [part.mark for part in job.parts]))
    (block,) = blocks(job, plan)
    assert [run["about-below"] for run in runs(block)] == [False, True, False]


def test_the_assembly_is_called_as_in_its_own_list() -> None:
    (first, second) = blocks(BOTH, PLAN)[:2]
    assert [run["about"] for run in runs(first)] == ["leaf", "", "leaf"]
    assert [run["mark"] for run in runs(second)] == ["gate/B"]


def test_what_else_is_to_know_of_a_part_is_said_once_where_it_is_cut_again_and_again() -> None:
    coped = builders.part("C", 2, 900, mitres=(0, 45), cope="A 40 round")
    job = builders.job([coped, builders.part("A", 1, 700)], [builders.offer("O", 6000, 9)])
    plan = hand_plan(job, ("O", ["A", "C", "C"]))
    (group,), (bar,) = plan.groups, plan.groups[0].bars
    shared, other_way = replace(bar.cuts[1], shared=True), replace(bar.cuts[2], angle_a=45 * DEGREE, angle_b=0)
    bar = replace(bar, cuts=(bar.cuts[0], shared, other_way))
    (block,) = blocks(job, replace(plan, groups=(replace(group, bars=(bar,)),)))
    steps = [(step["kind"], step.get("remark")) for step in block["steps"]]
    assert steps == [("run", ""), ("run", "cope: A 40 round"), ("run", "")]


def test_what_is_in_the_way_of_the_hand_is_said_at_the_cut_it_concerns() -> None:
    job = builders.job([builders.part("A", 1, 900), builders.part("B", 1, 60)], [builders.offer("O", 4000, 9)])
    job = replace(job, workshop=replace(job.workshop, saw=replace(job.workshop.saw, safe_hold=120_000_000)))
    (block,) = blocks(job, hand_plan(job, ("O", ["A", "B"])))
    assert [run["remark"] for run in runs(block)] == [
        "",
        "SHORT: keep to the order of cuts, never hold the short part",
    ]
    galvanised = replace(job, workshop=replace(job.workshop, heavy=1))
    first, *others = blocks(galvanised, hand_plan(job, ("O", ["A"]), ("O", ["B"])))
    assert first["cautions"][0].startswith("HEAVY. The law sets no weight limit")
    assert [block["cautions"] for block in others] == [[]], "said once"
    assert all(block["heavy"] for block in others)


def test_an_offcut_of_unknown_grade_names_the_parts_it_is_cut_into() -> None:
    (caution,) = [line for block in blocks(*trailer()) for line in block["cautions"]]
    assert caution == f"Grade unknown: the designer decides whether it will do for {LONG}."


def test_unlike_ends_say_which_comes_off_first() -> None:
    part = builders.part("A", 1, 900, mitres=(45, 0))
    job = builders.job([part], [builders.offer("O", 4000, 9)])
    (block,) = blocks(job, hand_plan(job, ("O", ["A"])))
    assert runs(block)[0]["end-lines"] == ["to long point, short 860", "end A comes off first"]


def test_a_scale_that_counts_from_the_bar_is_read_beside_the_angle() -> None:
    parts = [
        builders.part("A", 1, 900, mitres=(30, 30)),
        builders.part("B", 1, 800, mitres=(22.5, 0)),
        builders.part("C", 1, 700, mitres=(45, 45)),
        builders.part("D", 1, 600),
    ]
    job = builders.job(parts, [builders.offer("O", 4000, 9)], square_reads=90 * DEGREE)
    (block,) = blocks(job, hand_plan(job, ("O", ["A", "B", "C", "D"])))
    told = [(cut["near"] + cut["far"], [line for line in cut["end-lines"] if "scale" in line]) for cut in runs(block)]
    assert told == [
        ("30° | 30°", ["scale 60"]),
        ("22.5° | square", ["scale 67.5 | 90"]),
        ("45° | 45°", []),
        ("square", []),
    ]


def test_bars_alike_stand_once_with_their_reserved_marks() -> None:
    job = builders.job([builders.part("A", 3, 2000)], [builders.offer("O", 2500, 9)], keep=300)
    (block,) = blocks(job, with_marks(hand_plan(job, *[("O", ["A"])] * 3), ["K7", "", "K9"]))
    assert block["title"] == "Bars 1 to 3"
    assert block["bars"] == ["1", "2", "3"]
    assert block["keep"]
    assert block["reserved"] == ["K7", "", "K9"]
    assert block["tallies"] == [{"mark": "A", "count": 1}]


def test_slack_and_what_a_spoiled_part_is_recut_from_are_one_table() -> None:
    rows = rows_of(*trailer())
    recut = cut_sheet(rows, 186)["recut"]
    assert recut["heads"] == ["bar", "slack", "kerf up to", "recut"]
    assert [row[0] for row in recut["rows"]] == ["1", "2", "3", "4"]
    for block, (_, slack, kerf, words) in zip(rows.blocks, recut["rows"], strict=True):
        assert slack == f"{block.slack / MM:.1f}".removesuffix(".0") + " mm"
        assert kerf == "any" or block.play.endswith(f"kerf at most {kerf}")
        for cut in block.cuts:
            assert printable(cut.mark) in words["text"]
            assert (cut.spoiled or "buy a new length") in words["text"]


def test_slack_in_inches_stands_in_one_line() -> None:
    job = builders.job([builders.part("A", 1, 300)], [builders.offer("O", 5597, 9)])
    plan = hand_plan(job, ("O", ["A"]))
    recut = cut_sheet(rows_of(replace(job, workshop=replace(job.workshop, unit="in")), plan), 186)["recut"]
    slack, width = recut["rows"][0][1], recut["columns"][1]
    assert slack == "208 17/32 in"
    assert text_mm(slack, 9.5) < width - 2


def test_a_heavy_bar_is_flagged_by_the_workshop_s_own_limit() -> None:
    job, plan = trailer()
    assert blocks(job, plan)[0]["weight"] == "19.5 kg"
    light = replace(job, workshop=replace(job.workshop, heavy=19_000_000))
    assert blocks(light, plan)[0]["heavy"]


def test_the_strokes_of_the_plan_stand_at_the_head() -> None:
    assert " strokes of the saw, squaring included." in cut_sheet(rows_of(*trailer()), 186)["lines"][0]


def test_what_was_assumed_of_the_cut_stands_at_its_head() -> None:
    job, plan = trailer()
    told = (
        Assumption("assumed.end_trim_cut", "The end trim includes its squaring cut."),
        Assumption("assumed.no_tax", "No tax is added."),
    )
    sheet = cut_sheet(rows_of(replace(job, assumptions=told), plan), 186)
    assert sheet["lines"][3:] == [told[0].text]


def test_which_side_is_held_is_said_in_words_before_the_first_bar() -> None:
    told = " ".join(cut_sheet(rows_of(*trailer()), 186)["lines"])
    assert "It holds the bar and the part falls off, unless a line says: hold the part." in told
