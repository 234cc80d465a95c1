"""What a code names, in words, as far as it is known."""

from __future__ import annotations

from cutplan.units import MILLIMETRES
from cutplan.words.code_words import Decoded, code_text, code_values

LEFT_OVER = Decoded(kind="offcut", values={"plan": "0a1b2c3d", "bar": "6"}, bar=6)


def test_a_left_over_without_a_mark() -> None:
    assert code_text(LEFT_OVER, MILLIMETRES).splitlines() == [
        "Left over of bar 6 of plan 0a1b2c3d",
        "  plan file: not in the folder reports",
        "  no mark on its label: cutplan labels prints it again once it is recorded",
    ]


def test_values_of_what_is_not_known_are_null() -> None:
    values = code_values(LEFT_OVER)
    assert (values["bar"], values["plan_file"], values["section"], values["on_rack"]) == (6, None, None, None)
