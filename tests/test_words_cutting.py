"""What is said of a bar at the saw."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Drop, EndState, Fate, Held, Merchant
from cutplan.model.totals import totals_of
from cutplan.units import INCH, INCHES, MILLIMETRES, MM
from cutplan.words import cutting
from tests import builders
from tests.hand_plans import hand_plan
from tests.nested_row import frame, row
from tests.nested_row import planned as nested_plan
from tests.slanted_start import begun_bar


@pytest.mark.parametrize(
    ("fate", "far_end", "text"),
    [
        (Fate.KEEP, EndState.MILL, "left over: keep 1240 mm, far end mill"),
        (Fate.KEEP, EndState.SAWN, "left over: keep 1240 mm, far end sawn"),
        (Fate.SCRAP, EndState.MILL, "left over: scrap 1240 mm"),
    ],
)
def test_a_left_over_says_what_becomes_of_it(fate: Fate, far_end: EndState, text: str) -> None:
    assert cutting.left_over_text(Drop(start=0, end=1240 * MM, far_end=far_end, fate=fate), MILLIMETRES) == text


def test_a_slanted_end_is_told() -> None:
    made, bar = frame(), row()
    drop = replace(bar.drop, fate=Fate.KEEP)
    part, parts = made.parts[0], {each.mark: each for each in made.parts}
    square = replace(bar, cuts=(*bar.cuts[:-1], replace(bar.cuts[-1], angle_b=0)), drop=drop)
    told = cutting.slanted_left_over(replace(bar, drop=drop), parts, MILLIMETRES)
    assert told == "near end at 45 degrees, 135.6 mm to its long point"
    assert cutting.slanted_left_over(square, parts, MILLIMETRES) == ""
    offcut = builders.offcut("R", 700, angle_a=bar.cuts[-1].angle_b, depth=part.depth, side=3)
    assert cutting.slanted_offcut(offcut, MILLIMETRES) == "one end at 45 degrees, 660 mm when that is squared"
    begun = cutting.slanted_offcut(offcut, MILLIMETRES, begun=True)
    assert begun == "one end at 45 degrees, 660 mm when that is squared; the first part begins on it as it is"
    assert cutting.slanted_offcut(builders.offcut("R", 700), MILLIMETRES) == ""
    at_start = cutting.trim_text(begun_bar(), offcut, None, MILLIMETRES)
    assert at_start == "START is the end at 45 degrees: the first part begins on it, nothing off"
    assert cutting.start_words(begun_bar(), offcut, None, MILLIMETRES) == "START is the end at 45°"


def test_no_left_over() -> None:
    assert cutting.left_over_text(Drop(start=5, end=5, far_end=EndState.MILL, fate=Fate.NONE), MILLIMETRES) == (
        "left over: nothing"
    )


def test_the_side_held() -> None:
    assert cutting.held_text(Held.BAR, False) == "bar side"
    assert cutting.held_text(Held.PART, True) == "part side, TURN THE BAR"
    assert cutting.held_text(Held.NOT_CUT, False) == "no cut: ends flush"


def test_play_is_never_rounded_up() -> None:
    slack, kerf = builders.mm("4.19"), builders.mm("2.799")
    assert cutting.play_text(slack, kerf, MILLIMETRES) == "slack 4.1 mm, kerf at most 2.7 mm"
    text = cutting.play_text(INCH // 2 - 1, INCH // 4 - 1, INCHES)
    assert text == "slack 31/64 in, kerf at most 15/64 in"
    assert cutting.play_text(0, None, MILLIMETRES) == "slack 0 mm, any kerf works"
    assert cutting.play_text(0, 90 * MM, MILLIMETRES) == "slack 0 mm, any kerf works"


def test_strokes_and_whose_they_are() -> None:
    parts = [builders.part("A", 2, 900), builders.part("B", 1, 800, section=builders.square_tube(50))]
    offers = [
        builders.offer("P1", 4000, 9),
        builders.offer("P2", 4000, 9, merchant="Cutter", section=builders.square_tube(50)),
    ]
    job = builders.job(parts, offers, end_trim=10)
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P2", ["B"]))
    assert cutting.strokes_text(totals_of(job, plan)) == "5 strokes of the saw, squaring included"
    cutters = tuple(Merchant(name=name, cuts_to_plan=True) for name in ("Cutter", "Yard"))
    for known, words in ((cutters[:1], ", 2 of them made by merchants"), (cutters, ", all made by merchants")):
        sawn = replace(job, workshop=replace(job.workshop, merchants=known))
        text = cutting.strokes_text(totals_of(sawn, plan))
        assert text == f"5 strokes of the saw, squaring included{words}"


def test_a_mitre_at_start_is_the_only_stroke_there() -> None:
    job = builders.job([builders.part("A", 1, 900, mitres=(45, 0))], [builders.offer("P1", 4000, 9)], end_trim=10)
    (bar,) = hand_plan(job, ("P1", ["A"])).bars
    assert bar.strokes == 2
    text = "START is not squared: the long point of the first mitre lies 10 mm from it"
    assert cutting.trim_text(bar, None, None, MILLIMETRES) == text
    assert cutting.start_words(bar, None, None, MILLIMETRES) == "first long point at 10"


def test_what_shared_mitres_save() -> None:
    totals = totals_of(frame(), nested_plan(frame(), row()))
    text = "3 cuts part two mitres each: 0.12 m of steel, 1.00 EUR at the price of the bars and 3 strokes saved"
    assert cutting.shared_text(totals, MILLIMETRES, "EUR") == text
    one = replace(totals, cuts_shared=1, nested_value=0)
    assert cutting.shared_text(one, MILLIMETRES, "EUR") == "1 cut parts two mitres: 0.12 m of steel and a stroke saved"
    assert cutting.shared_text(replace(totals, cuts_shared=0), MILLIMETRES, "EUR") == ""
