"""What is said of a part beyond its figures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Allowance, Heel, Lean, Purpose
from cutplan.units import MILLIMETRES, MM
from cutplan.words.part_words import allowance_words, ends_words, note_words, remark, sawn_words
from tests.builders import mm, part

MITRED = part("P", 1, 500, mitres=(45, 45))


def test_a_plain_part_needs_no_words() -> None:
    assert remark(part("P", 1, 500), MILLIMETRES) == ""
    assert remark(MITRED, MILLIMETRES) == ""


def test_finished_and_sawn_length_and_when_to_cut() -> None:
    grinding = Allowance(purpose=Purpose.GRINDING, length=mm(1))
    fit = Allowance(purpose=Purpose.FIT, length=mm(20))
    ground = replace(part("P", 1, 521), allowances=(grinding,))
    assert remark(ground, MILLIMETRES) == "finished 520 mm, sawn with 1 mm for grinding"
    fitted = replace(ground, allowances=(grinding, fit))
    assert allowance_words(fitted, MILLIMETRES) == "1 mm for grinding, 20 mm for fit-up"
    assert (sawn_words(ground, MILLIMETRES), sawn_words(fitted, MILLIMETRES)) == (
        ("sawn 521 mm",),
        ("sawn 521 mm", "CUT AFTER FIT-UP"),
    )
    assert sawn_words(part("P", 1, 500), MILLIMETRES) == ()
    assert remark(fitted, MILLIMETRES) == (
        "CUT AFTER FIT-UP: finished 500 mm, sawn with 1 mm for grinding, 20 mm for fit-up"
    )


def test_hand_lean_face_heel_and_cope() -> None:
    section = replace(MITRED.section, width=30 * MM)
    odd = replace(
        MITRED, section=section, lean=Lean.PARALLEL, heel=Heel.SHORT_POINT, opposite_hand=True, cope="notch for B2"
    )
    assert remark(odd, MILLIMETRES) == (
        "OPPOSITE HAND: mirror image of the part drawn; ends lean PARALLEL: long points on opposite sides; "
        "40 mm face on the table; heel at the short point of end A; cope: notch for B2"
    )
    one_end = replace(part("P", 1, 500, mitres=(0, 45)), heel=Heel.LONG_POINT)
    assert ends_words(one_end, MILLIMETRES) == ["heel at the long point of end B"]


@pytest.mark.parametrize(
    ("note", "stamps", "words"),
    [("", (), ""), ("post", (), "post"), ("", ("RK",), "stamp RK"), ("post", ("RK", "JM"), "post. stamp RK; JM")],
)
def test_note_and_stamp(note: str, stamps: tuple[str, ...], words: str) -> None:
    assert note_words(part("A", 2, 100, note=note, stamps=stamps)) == words
