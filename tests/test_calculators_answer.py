"""A sum in words and as values: every formula is printed with what it comes to."""

from __future__ import annotations

from cutplan.calculators import answer_text, answer_values, brace, frame
from cutplan.units import DEGREE, MM


def test_every_formula_stands_beside_its_value() -> None:
    answer = frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="mitred", unit="mm")
    lines = answer_text(answer, "mm").splitlines()
    assert lines[0] == "Frame, mitred"
    assert "  w, width inside              920 mm   W - 2 d" in lines
    assert "  diagonal outside         ~1166.2 mm   sqrt(W^2 + H^2)" in lines
    assert "  2 x 1000 mm, both ends 45 degrees from square: along the width, W" in lines
    assert lines[-1].startswith("The frame is square when")


def test_values_are_exact_text() -> None:
    values = answer_values(frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="width through", unit="mm"))
    assert values["steps"][5] == {
        "name": "diagonal outside",
        "formula": "sqrt(W^2 + H^2)",
        "length_mm": "1166.190379",
    }
    assert values["parts"][1] == {
        "name": "between them, h",
        "quantity": 2,
        "length_mm": "520",
        "cut_a": "0",
        "cut_b": "0",
        "scale_reads": "0",
        "parallel": False,
    }


def test_the_reading_of_a_scale_that_counts_from_the_bar_stands_beside_the_angle() -> None:
    leaning = brace(1000 * MM, 800 * MM, 40 * MM, "top and bottom", "mm")
    assert "49.55 degrees from square and parallel, where the saw's scale reads 40.45" in answer_text(
        leaning, "mm", 90 * DEGREE
    )
    assert "scale" not in answer_text(leaning, "mm")
    assert answer_values(leaning, 90 * DEGREE)["parts"][0]["scale_reads"] == "40.45"
    equal = frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="mitred", unit="mm")
    assert "scale" not in answer_text(equal, "mm", 90 * DEGREE)
