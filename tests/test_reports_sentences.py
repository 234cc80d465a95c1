"""The sentences say what was found, no more, in the words of the trade."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Drop, EndState, Fate, Held, Merchant, MerchantCase, Status
from cutplan.model.totals import totals_of
from cutplan.planning import plan_job
from cutplan.reports import sentences
from cutplan.units import CURRENCY, INCH, INCHES, KG, MILLIMETRES, MM
from tests import builders
from tests.hand_plans import hand_plan, turned
from tests.nested_row import frame, row
from tests.nested_row import planned as nested_plan


def test_an_order_line_in_words() -> None:
    offer = builders.offer("P1", 6500, 30, grade="S235")
    line = sentences.order_text(offer, 6, MILLIMETRES, "SHS 40x40x3")
    assert line == "6 lengths x 6.5 m SHS 40x40x3, EN 10219-2, S235, black"
    bare = builders.offer("P1", 6096, 30)
    line = sentences.order_text(bare, 1, INCHES, "SHS 40x40x3 (HSS 1-1/2x1-1/2x1/8)")
    assert line == "1 length x 20 ft SHS 40x40x3 (HSS 1-1/2x1-1/2x1/8), EN 10219-2, grade not stated, black"


@pytest.mark.parametrize("typed", ["box 40 x 40 x 3", "40 x 40 x 3.0 square tube", "3 x 40.00 x 40", ""])
def test_a_typed_name_of_the_same_figures_is_not_repeated(typed: str) -> None:
    job = builders.job([builders.part("A", 1, 100, typed_section=typed)], [builders.offer("P1", 6000, 30)])
    assert sentences.section_names(job) == {"SHS 40x40x3 to EN 10219-2": "SHS 40x40x3"}


def test_a_typed_name_of_other_figures_stands_beside() -> None:
    plain = builders.part("A", 1, 100)
    inch = builders.part("B", 1, 100, typed_section="HSS 2 x 2 x 1/8", section=builders.square_tube(50))
    again = builders.part("C", 1, 100, typed_section="2x2x1/8 tube", section=builders.square_tube(50))
    job = builders.job([plain, inch, again], [builders.offer("P1", 6000, 30)])
    assert sentences.section_names(job) == {
        "SHS 40x40x3 to EN 10219-2": "SHS 40x40x3",
        "SHS 50x50x3 to EN 10219-2": "SHS 50x50x3 (HSS 2 x 2 x 1/8)",
    }
    assert sentences.group_names(job) == {
        "SHS 40x40x3 to EN 10219-2, any grade, black": "SHS 40x40x3 to EN 10219-2, any grade, black",
        "SHS 50x50x3 to EN 10219-2, any grade, black": "SHS 50x50x3 (HSS 2 x 2 x 1/8) to EN 10219-2, any grade, black",
    }


@pytest.mark.parametrize(
    ("grade", "text"),
    [
        ("S235JRH", "S235JRH"),
        ("A36", "A36"),
        ("B", "grade B"),
        ("350", "grade 350"),
        ("", "any grade"),
        ("MILD", "MILD"),
    ],
)
def test_a_grade_is_told_so_that_it_is_known_for_one(grade: str, text: str) -> None:
    assert sentences.grade_text(grade, "any grade") == text


def test_a_grade_missing_at_the_merchant_and_on_the_rack() -> None:
    assert sentences.source_grade(builders.offer("P1", 6000, 30)) == "grade not stated"
    assert sentences.source_grade(builders.offcut("R1", 600)) == "grade unknown"


def test_a_length_with_and_without_a_merchant() -> None:
    assert sentences.from_merchant("6 m", "Yard") == "6 m from Yard"
    assert sentences.from_merchant("6 m", "") == "6 m"


@pytest.mark.parametrize(
    ("numbers", "text"),
    [([3], "3"), ([3, 4], "3, 4"), ([3, 4, 5], "3 to 5"), ([9, 1, 2, 7, 8], "1, 2, 7 to 9")],
)
def test_bar_numbers_are_drawn_together(numbers: list[int], text: str) -> None:
    assert sentences.numbers_text(numbers) == text


def test_many_names_are_cut_short_with_a_count() -> None:
    assert sentences.names_text(["A", "B", "A"]) == "A, B"
    assert sentences.names_text("ABCD", 3) == "A, B, C and 1 more"


@pytest.mark.parametrize(
    ("fate", "far_end", "text"),
    [
        (Fate.KEEP, EndState.MILL, "left over: keep 1240 mm, far end mill"),
        (Fate.KEEP, EndState.SAWN, "left over: keep 1240 mm, far end sawn"),
        (Fate.SCRAP, EndState.MILL, "left over: scrap 1240 mm"),
    ],
)
def test_a_left_over_says_what_becomes_of_it(fate: Fate, far_end: EndState, text: str) -> None:
    assert sentences.left_over_text(Drop(start=0, end=1240 * MM, far_end=far_end, fate=fate), MILLIMETRES) == text


def test_no_left_over() -> None:
    assert sentences.left_over_text(Drop(start=5, end=5, far_end=EndState.MILL, fate=Fate.NONE), MILLIMETRES) == (
        "left over: nothing"
    )


def test_the_side_held() -> None:
    assert sentences.held_text(Held.BAR, False) == "bar side"
    assert sentences.held_text(Held.PART, True) == "part side, TURN BAR"
    assert sentences.held_text(Held.NOT_CUT, False) == "no cut: ends flush"


def test_play_is_never_rounded_up() -> None:
    slack, kerf = builders.mm("4.19"), builders.mm("2.799")
    assert sentences.play_text(slack, kerf, MILLIMETRES) == "slack 4.1 mm, works up to a kerf of 2.7 mm"
    text = sentences.play_text(INCH // 2 - 1, INCH // 4 - 1, INCHES)
    assert text == "slack 31/64 in, works up to a kerf of 15/64 in"
    assert sentences.play_text(0, None, MILLIMETRES) == "slack 0 mm, any kerf works"
    assert sentences.play_text(0, 90 * MM, MILLIMETRES) == "slack 0 mm, works beyond a kerf of 10 mm"


@pytest.mark.parametrize(
    ("status", "bound", "stopped", "text"),
    [
        (Status.RECHECKED, None, "", "proven, rechecked"),
        (Status.BY_SEARCH, None, "", "proven by search"),
        (
            Status.NOT_PROVEN,
            59_280_001,
            "the time limit",
            "not proven: at most 0.72 EUR (1.2 %) could be saved; stopped by the time limit",
        ),
        (Status.NOT_PROVEN, 59_274_000, "", "not proven: at most 0.73 EUR (1.3 %) could be saved"),
    ],
)
def test_the_proof_is_told_as_it_is(status: Status, bound: int | None, stopped: str, text: str) -> None:
    """A plan of 60 EUR; what could be saved is rounded up, in money and in percent."""
    job = builders.job([builders.part("A", 4, 2500)], [builders.offer("P1", 6000, 30)])
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), status=status, bound=bound)
    assert sentences.proof_lines(job, replace(plan, stopped_by=stopped)) == (f"Cheapest: {text}",)


def test_a_gap_of_less_than_a_cent_is_no_cent() -> None:
    job = builders.job([builders.part("A", 4, 2500)], [builders.offer("P1", 6000, 30)])
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), status=Status.NOT_PROVEN, bound=59_999_988)
    assert sentences.proof_lines(job, plan) == ("Cheapest: not proven: less than 0.01 EUR could be saved",)
    whole = replace(plan, bound=59_990_000)
    assert sentences.proof_lines(job, whole) == ("Cheapest: not proven: at most 0.01 EUR (0.1 %) could be saved",)


def test_what_left_open_cases_of_merchants_is_told() -> None:
    job = builders.job([builders.part("A", 4, 2500)], [builders.offer("P1", 6000, 30)])
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P1", ["A", "A"]), status=Status.NOT_PROVEN, bound=50_000_000)
    case = MerchantCase(merchants=(), proofs=(), charges=0, bound=0)
    cases = (
        replace(case, bound=60_000_000, stopped_by="merchant limit"),
        replace(case, bound=50_000_000, stopped_by="node limit"),
        replace(case, bound=55_000_000, stopped_by="pattern limit"),
        replace(case, bound=56_000_000, stopped_by="pattern limit"),
    )
    (line,) = sentences.proof_lines(job, replace(plan, cases=cases))
    assert line.endswith("could be saved; stopped by node limit, pattern limit")
    (line,) = sentences.proof_lines(job, replace(plan, cases=cases, stopped_by="time limit"))
    assert line.endswith("could be saved; stopped by time limit")


def test_a_group_without_prices_is_told_apart() -> None:
    job = builders.job([builders.part("A", 2, 2500)], [builders.offer("P1", 6000, None)])
    plan = hand_plan(job, ("P1", ["A", "A"]))
    assert sentences.proof_lines(job, plan) == (
        "Least bought mass, as a price is missing, SHS 40x40x3 to EN 10219-2, any grade, black: proven, rechecked",
    )
    (group,) = plan.groups
    bars = (replace(group.bars[0], cost=18 * KG),)
    proof = replace(group.proof, status=Status.NOT_PROVEN, bound=18 * KG - 110_000, stopped_by="the node limit")
    plan = replace(plan, groups=(replace(group, bars=bars, proof=proof),))
    (line,) = sentences.proof_lines(job, plan)
    assert line.endswith("not proven: at most 0.2 kg could be saved; stopped by the node limit")


def test_what_is_too_long_to_carry() -> None:
    offers = [builders.offer("P1", 6000, 30), builders.offer("P2", 12000, 17.7, merchant="Far Yard")]
    job = builders.job([builders.part("A", 2, 2500)], offers, longest_carry=6500)
    plan, other = (hand_plan(job, (id, ["A", "A"])) for id in ("P1", "P2"))
    assert sentences.forgone_lines(job, plan) == ()
    assert sentences.forgone_lines(job, replace(plan, if_delivered=other)) == (
        "SHS 40x40x3 to EN 10219-2, any grade, black: 12 m from Far Yard would save 12.30 EUR "
        "if delivered or cut by the merchant, whose charge for that is not counted; "
        "longer than the longest carry of 6.5 m",
    )


def test_what_is_too_long_to_carry_by_mass() -> None:
    offers = [builders.offer("P1", 6000, None), builders.offer("P2", 8000, None)]
    job = builders.job([builders.part("A", 3, 2500)], offers, longest_carry=6500)
    (line,) = sentences.forgone_lines(job, plan_job(job))
    assert "8 m from Yard would save 12.0 kg of steel if delivered" in line


def cautions(job_settings: dict[str, Any], part_settings: dict[str, Any], length: float = 6000) -> str:
    job = builders.job(
        [builders.part("A", 1, 100, **part_settings)],
        [builders.offer("P1", length, 30, **part_settings)],
        **job_settings,
    )
    return "\n".join(sentences.cautions(job, hand_plan(job, ("P1", ["A"]))))


def test_the_general_set_is_always_there() -> None:
    text = cautions({}, {})
    assert text == "\n".join(sentences.GENERAL_CAUTIONS)
    for word in ("Clamp", "overhang", "rated", "guards", "does not check strength", "HSE", "OSHA", "road authority"):
        assert word in text


@pytest.mark.parametrize(
    ("job_settings", "part_settings", "length", "word"),
    [
        ({}, {}, 9000, "Heavy: bar 1 above 25 kg, the heaviest 27.0 kg"),
        ({"safe_hold": 120}, {}, 6000, "Shorter than the shortest safe hold of 120 mm: part A."),
        ({}, {"finish": "galvanised"}, 6000, "Zinc"),
    ],
)
def test_cautions_are_triggered(
    job_settings: dict[str, Any], part_settings: dict[str, Any], length: float, word: str
) -> None:
    assert word in cautions(job_settings, part_settings, length)
    assert word.split(":")[0] not in cautions({}, {})


def test_an_offcut_of_unknown_grade_is_named() -> None:
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 900)])
    assert "Grade unknown: offcut R7, to be cut into parts whose grade is not specified: A." in "\n".join(
        sentences.cautions(job, hand_plan(job, ("R7", ["A"])))
    )
    job = builders.job([builders.part("A", 1, 700)], [], [builders.offcut("R7", 900, grade="S235")])
    assert "Grade unknown" not in "\n".join(sentences.cautions(job, hand_plan(job, ("R7", ["A"]))))


def test_a_turned_bar_is_named() -> None:
    job = builders.job([builders.part("A", 2, 700)], [builders.offer("P1", 6000, 30)])
    plan = turned(hand_plan(job, ("P1", ["A", "A"])), 1)
    assert "TURN BAR: on bar 1 " in "\n".join(sentences.cautions(job, plan))


def test_strokes_and_whose_they_are() -> None:
    parts = [builders.part("A", 2, 900), builders.part("B", 1, 800, section=builders.square_tube(50))]
    offers = [
        builders.offer("P1", 4000, 9),
        builders.offer("P2", 4000, 9, merchant="Cutter", section=builders.square_tube(50)),
    ]
    job = builders.job(parts, offers, end_trim=10)
    plan = hand_plan(job, ("P1", ["A", "A"]), ("P2", ["B"]))
    assert sentences.strokes_text(totals_of(job, plan)) == "5 strokes of the saw, squaring included"
    cutters = tuple(Merchant(name=name, cuts_to_plan=True) for name in ("Cutter", "Yard"))
    for known, words in ((cutters[:1], ", 2 of them made by merchants"), (cutters, ", all made by merchants")):
        cutting = replace(job, workshop=replace(job.workshop, merchants=known))
        text = sentences.strokes_text(totals_of(cutting, plan))
        assert text == f"5 strokes of the saw, squaring included{words}"


def test_a_mitre_at_start_is_the_only_stroke_there() -> None:
    job = builders.job([builders.part("A", 1, 900, mitres=(45, 0))], [builders.offer("P1", 4000, 9)], end_trim=10)
    (bar,) = hand_plan(job, ("P1", ["A"])).bars
    assert bar.strokes == 2
    text = "START is not squared: the long point of the first mitre lies 10 mm in"
    assert sentences.trim_text(bar, None, MILLIMETRES) == text


def test_what_shared_mitres_save() -> None:
    totals = totals_of(frame(), nested_plan(frame(), row()))
    text = "3 cuts part two mitres each: 0.12 m of steel, 1.00 EUR at the price of the bars and 3 strokes saved"
    assert sentences.shared_text(totals, MILLIMETRES, "EUR") == text
    one = replace(totals, cuts_shared=1, nested_value=0)
    assert (
        sentences.shared_text(one, MILLIMETRES, "EUR") == "1 cut parts two mitres: 0.12 m of steel and a stroke saved"
    )
    assert sentences.shared_text(replace(totals, cuts_shared=0), MILLIMETRES, "EUR") == ""


@pytest.mark.parametrize(
    ("free_from", "quantity", "lines"),
    [
        (0, 2, [("delivery", 15), ("to make up the minimum order", 5)]),
        (20, 2, [("delivery, free from 20.00", 0), ("to make up the minimum order", 5)]),
        (21, 3, [("delivery, free from 21.00", 0)]),
        (31, 3, [("delivery, free from 31.00", 15)]),
    ],
)
def test_what_a_merchant_charges_on_top(free_from: int, quantity: int, lines: list[tuple[str, int]]) -> None:
    """Bars of 1000 for 10; the minimum order is 25."""
    yard = Merchant(
        name="Yard", delivery=15 * CURRENCY, minimum_order=25 * CURRENCY, free_delivery_from=free_from * CURRENCY
    )
    offers = [builders.offer("P", 1000, 10, merchant="Yard")]
    job = builders.job([builders.part("A", quantity, 1000)], offers, merchants=[yard])
    (order,) = totals_of(job, plan_job(job)).orders
    assert [(text, money // CURRENCY) for text, money in sentences.charge_lines(order, yard)] == lines
