"""How things are called: order lines, grades, numbers of bars, lists of names."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.units import INCHES, MILLIMETRES
from cutplan.words import naming
from tests import builders


def test_an_order_line_in_words() -> None:
    offer = builders.offer("P1", 6500, 30, grade="S235")
    line = naming.order_text(offer, 6, MILLIMETRES, "SHS 40x40x3")
    assert line == "6 lengths x 6.5 m SHS 40x40x3, EN 10219-2, S235, black"
    bare = builders.offer("P1", 6096, 30)
    line = naming.order_text(bare, 1, INCHES, "SHS 40x40x3 (HSS 1-1/2x1-1/2x1/8)")
    assert line == "1 length x 20 ft SHS 40x40x3 (HSS 1-1/2x1-1/2x1/8), EN 10219-2, grade not stated, black"


def test_a_workshop_in_inches_has_the_typed_name_alone_and_inches_where_none_was_typed() -> None:
    inch = builders.part("B", 1, 100, typed_section="HSS 2 x 2 x  1/8", section=builders.square_tube(50))
    bare = builders.part_of("EA 50.8x50.8x6.35")
    job = builders.job([inch, bare], [builders.offer("P1", 6000, 30)])
    job = replace(job, workshop=replace(job.workshop, unit="in"))
    assert list(naming.section_names(job).values()) == ["HSS 2 x 2 x 1/8", "L2x2x1/4"]


def test_a_grade_that_the_standard_ends_with_is_not_repeated() -> None:
    assert naming.section_words("L2x2x1/4", "ASTM A36", "A36", "black") == "L2x2x1/4, ASTM A36, black"
    assert naming.section_words("L2x2x1/4", "ASTM A36", "A572", "black") == "L2x2x1/4, ASTM A36, A572, black"


@pytest.mark.parametrize("typed", ["box 40 x 40 x 3", "box 40x3", "40 x 40 x 3.0 square tube", "3 x 40.00 x 40", ""])
def test_a_typed_name_of_the_same_figures_is_not_repeated(typed: str) -> None:
    job = builders.job([builders.part("A", 1, 100, typed_section=typed)], [builders.offer("P1", 6000, 30)])
    assert naming.section_names(job) == {"SHS 40x40x3 to EN 10219-2": "SHS 40x40x3"}


def test_a_typed_name_of_other_figures_stands_beside() -> None:
    plain = builders.part("A", 1, 100)
    inch = builders.part("B", 1, 100, typed_section="HSS 2 x 2 x 1/8", section=builders.square_tube(50))
    again = builders.part("C", 1, 100, typed_section="2x2x1/8 tube", section=builders.square_tube(50))
    job = builders.job([plain, inch, again], [builders.offer("P1", 6000, 30)])
    assert naming.section_names(job) == {
        "SHS 40x40x3 to EN 10219-2": "SHS 40x40x3",
        "SHS 50x50x3 to EN 10219-2": "HSS 2 x 2 x 1/8 (SHS 50x50x3)",
    }
    assert naming.group_names(job) == {
        "SHS 40x40x3 to EN 10219-2, any grade, black": "SHS 40x40x3 to EN 10219-2, any grade, black",
        "SHS 50x50x3 to EN 10219-2, any grade, black": "HSS 2 x 2 x 1/8 (SHS 50x50x3) to EN 10219-2, any grade, black",
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
    assert naming.grade_text(grade, "any grade") == text


def test_a_grade_missing_at_the_merchant_and_on_the_rack() -> None:
    assert naming.source_grade(builders.offer("P1", 6000, 30)) == "grade not stated"
    assert naming.source_grade(builders.offcut("R1", 600)) == "grade unknown"


def test_a_length_with_and_without_a_merchant() -> None:
    assert naming.from_merchant("6 m", "Yard") == "6 m from Yard"
    assert naming.from_merchant("6 m", "") == "6 m"


@pytest.mark.parametrize(
    ("ends", "word"),
    [("mill mill", "length"), ("sawn mill", "offcut"), ("mill sawn", "offcut"), ("sawn sawn", "offcut")],
)
def test_only_what_was_left_over_is_an_offcut(ends: str, word: str) -> None:
    assert naming.piece_word(builders.offcut("R1", 6000, ends=ends)) == word


@pytest.mark.parametrize(
    ("numbers", "text"),
    [([3], "3"), ([3, 4], "3, 4"), ([3, 4, 5], "3 to 5"), ([9, 1, 2, 7, 8], "1, 2, 7 to 9")],
)
def test_bar_numbers_are_drawn_together(numbers: list[int], text: str) -> None:
    assert naming.numbers_text(numbers) == text


def test_many_names_are_cut_short_with_a_count() -> None:
    assert naming.names_text(["A", "B", "A"]) == "A, B"
    assert naming.names_text("ABCD", 3) == "A, B, C and 1 more"
