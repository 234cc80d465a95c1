"""The parts list: marks, quantities, mitres turned to long point."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.model import LengthMeant, Part
from cutplan.reading.lists.part_ends import LENGTH_IS, LENGTH_IS_FORMS
from cutplan.units import ANGLE_FORMS, LENGTH_FORMS, MM, QUANTITY_FORMS, parse_angle, parse_length, parse_quantity
from tests.input_files import job_of, refusal

H = ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "Length is", "Depth", "Assembly", "Note")
SHS = "SHS 40x40x3"
RHS = "RHS 60x40x3"


def parts_of(tmp_path: Path, *rows: tuple[object, ...], workshop: str = "") -> tuple[Part, ...]:
    filled = [(*row, *[""] * (len(H) - len(row))) for row in rows]
    return job_of(tmp_path, (H, *filled), workshop=workshop).parts


def test_missing_marks_are_numbered_around_those_in_use(tmp_path: Path) -> None:
    parts = parts_of(tmp_path, ("", 1, SHS, 100), ("p2", 1, SHS, 200), ("", 1, SHS, 100), (" ", 1, SHS, 300))
    assert [part.mark for part in parts] == ["P1", "p2", "P3", "P4"]


def test_a_mark_used_twice_adds_up(tmp_path: Path) -> None:
    first, second = parts_of(
        tmp_path,
        ("A", 2, SHS, 1200, "", "", "", "", "Gate", "left"),
        ("B", 1, SHS, 1200),
        ("A", 3, "40x40x3 SHS", "1.2 m", 0, "", "", "", "Fence", "left"),
    )
    assert (first.mark, first.quantity, first.row) == ("A", 5, 2)
    assert (first.assembly, first.note, first.typed_length) == ("Gate; Fence", "left", "1200")
    assert second.quantity == 1


@pytest.mark.parametrize(
    ("other", "named"),
    [
        ((1, RHS, 1200), "section"),
        ((1, SHS, 1201), "length"),
        ((1, SHS, 1200, 45), "end cuts and another depth"),
        ((1, SHS, 1240, 45, "", "short point"), "length and another end cuts and another depth"),
    ],
)
def test_a_mark_used_twice_with_other_data_names_what_differs(
    other: tuple[object, ...], named: str, tmp_path: Path
) -> None:
    rows = [("A", 1, SHS, 1200), ("A", *other)]
    filled = [(*row, *[""] * (len(H) - len(row))) for row in rows]
    found = refusal(tmp_path, (H, *filled))
    assert f'row 3, column A "Mark": found "A" again, with another {named} than in row 2.' in found


@pytest.mark.parametrize(
    ("ends", "meant", "typed", "long_point"),
    [
        ((45, 45), "long point", 1000, 1000),
        ((45, 45), "short point", 1000, 1080),
        ((45, 45), "centre line", 1000, 1040),
        ((45, ""), "CL", 1000, 1020),
        ((45, 0), "SP", 1000, 1040),
        # 40 x tan 22.5 = 16.57, rounded up to a tenth.
        ((22.5, ""), "short-point", 1000, 1016.6),
        ((22.5, ""), "center line", 1000, 1008.3),
        (("", ""), "short point", 1000, 1000),
    ],
)
def test_long_point(ends: tuple[object, ...], meant: str, typed: int, long_point: float, tmp_path: Path) -> None:
    (part,) = parts_of(tmp_path, ("A", 1, SHS, typed, *ends, meant))
    assert part.length == round(long_point * 10) * MM // 10
    assert part.typed_length == str(typed)


@pytest.mark.parametrize(("typed", "depth"), [("60", 60), ("40 mm", 40), ("6 cm", 60)])
def test_depth_says_across_which_side(typed: str, depth: int, tmp_path: Path) -> None:
    (part,) = parts_of(tmp_path, ("A", 1, RHS, 1000, 45, "", "SP", typed))
    assert part.depth == depth * MM
    assert part.length == (1000 + depth) * MM


def test_depth_is_not_needed_on_square_sections_or_square_ends(tmp_path: Path) -> None:
    mitred, square = parts_of(tmp_path, ("A", 1, SHS, 1000, 45), ("B", 1, RHS, 1000, "", "", "", 60))
    assert (mitred.depth, square.depth) == (40 * MM, 0)


@pytest.mark.parametrize("word", LENGTH_IS)
def test_words_for_the_length_meant(word: str, tmp_path: Path) -> None:
    parallel = "parallel" if LENGTH_IS[word] is LengthMeant.ONE_SIDE else ""
    headings = ("Quantity", "Section", "Length", "Cut A", "Cut B", "Length is", "Lean")
    (part,) = job_of(tmp_path, (headings, (1, SHS, 1000, 45, 45, word.upper(), parallel))).parts
    assert part.length_meant is LENGTH_IS[word]


def test_the_workshop_says_which_length_is_meant(tmp_path: Path) -> None:
    setting = '[defaults]\nmitre_length = "short point"'
    mitred, square = parts_of(tmp_path, ("A", 1, SHS, 1000, 45), ("B", 1, SHS, 1000), workshop=setting)
    assert (mitred.length, mitred.length_meant) == (1040 * MM, LengthMeant.SHORT_POINT)
    assert square.length == 1000 * MM


def test_a_mitre_to_a_point_is_a_part(tmp_path: Path) -> None:
    (part,) = parts_of(tmp_path, ("A", 1, SHS, 80, 45, 45))
    assert part.short_point == 0


def test_every_example_of_an_accepted_text_is_read() -> None:
    for example in ("6200", "6200.5", "6.2 m", "20' 4 1/8\""):
        assert example in LENGTH_FORMS
        assert parse_length(example) > 0
    for example in ("0", "75", "45", "22.5"):
        assert example in ANGLE_FORMS
        parse_angle(example)
    for example in ("1", "100000", "4"):
        assert example in QUANTITY_FORMS
        parse_quantity(example)
    for word in ("long point", "short point", "centre line", "LP", "SP", "CL"):
        assert word in LENGTH_IS_FORMS
        assert word.lower() in LENGTH_IS
