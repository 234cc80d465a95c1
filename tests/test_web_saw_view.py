"""A plan at the saw: each part once, in its turn, with what the printed sheet says of it."""

from __future__ import annotations

from cutplan.model import Job, Plan
from cutplan.web.saw_view import saw_bars
from tests import builders
from tests.hand_plans import hand_plan


def test_every_part_of_every_bar_is_there_once(small_job: Job, small_plan: Plan) -> None:
    bars = saw_bars(small_job, small_plan)
    assert [bar.number for bar in bars] == [bar.number for bar in small_plan.bars]
    wanted = [[(cut.mark, cut.copy) for cut in bar.cuts] for bar in small_plan.bars]
    assert [[(cut.mark, cut.copy) for cut in bar.cuts] for bar in bars] == wanted
    assert len({cut.key for bar in bars for cut in bar.cuts}) == 6


def test_the_stop_is_set_once_for_equal_parts() -> None:
    """Worked by hand: two of 900 need the stop set once, then the one of 800 needs it again."""
    job = builders.job(
        [builders.part("A", 2, 900), builders.part("B", 1, 800)],
        [builders.offer("O", 6000, 9)],
        kerf="2.5",
        end_trim=10,
    )
    (bar,) = saw_bars(job, hand_plan(job, ("O", list("AAB"))))
    assert [(cut.figure, cut.stop) for cut in bar.cuts] == [
        ("900", "set the stop to"),
        ("900", "same stop"),
        ("800", "set the stop to"),
    ]
    # From START: 10 of trim, then parts with a kerf between them.
    assert [cut.running for cut in bar.cuts] == ["910", "1812.5", "2615"]


def test_the_bar_is_handled_between_mitred_parts_and_not_before_the_first() -> None:
    job = builders.job(
        [builders.part("A", 2, 900, mitres=(45, 45))], [builders.offer("O", 6000, 9)], kerf="2.5", end_trim=10
    )
    (bar,) = saw_bars(job, hand_plan(job, ("O", list("AA"))))
    first, second = bar.cuts
    assert first.ends == "45° | 45°"
    assert "BETWEEN THESE PARTS" not in dict(first.changes)
    assert "CUT THE FREE END" in dict(first.changes)
    assert "CUT THE FREE END" not in dict(second.changes)
    assert second.changes, "what is done between the two"


def test_the_strip_covers_the_bar_in_its_order(small_job: Job, small_plan: Plan) -> None:
    for bar in saw_bars(small_job, small_plan):
        at = [float(one.at.rstrip("%")) for one in bar.strip]
        ends = [begin + float(one.wide.rstrip("%")) for begin, one in zip(at, bar.strip, strict=True)]
        assert at == sorted(at)
        assert ends[-1] <= 100.001
        assert [one.copy_of for one in bar.strip if one.copy_of] == [cut.key for cut in bar.cuts]


def test_a_part_says_which_unit_of_its_assembly_it_goes_into() -> None:
    job = builders.job(
        [builders.part("Leg", 4, 900, assembly="stool", assemblies=2, note="feet down")],
        [builders.offer("O", 6000, 9)],
    )
    (bar,) = saw_bars(job, hand_plan(job, ("O", ["Leg"] * 4)))
    first, second = "stool unit 1 of 2: feet down", "stool unit 2 of 2: feet down"
    assert [cut.about for cut in bar.cuts] == [first, first, second, second]
