"""A sum in words and as values: every formula is printed with what it comes to."""

from __future__ import annotations

from cutplan.calculators import brace, braced, frame, gate, spacing
from cutplan.units import DEGREE, MM
from cutplan.words.sum_words import sum_text, sum_values


def test_every_formula_stands_beside_its_value() -> None:
    answer = frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="mitred", unit="mm")
    lines = sum_text(answer, "mm").splitlines()
    assert lines[0] == "Frame, mitred"
    assert "  w, width inside              920 mm   W - 2 d" in lines
    assert "  diagonal outside         ~1166.2 mm   sqrt(W^2 + H^2)" in lines
    assert "  2 x 1000 mm, both ends 45 degrees from square: along the width, W" in lines
    assert lines[-1].startswith("The frame is square when")


def test_values_are_exact_text() -> None:
    values = sum_values(frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="width through", unit="mm"), "mm")
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
    assert "49.55 degrees from square and parallel, where the saw's scale reads 40.45" in sum_text(
        leaning, "mm", 90 * DEGREE
    )
    assert "scale" not in sum_text(leaning, "mm")
    assert sum_values(leaning, "mm", 90 * DEGREE)["parts"][0]["scale_reads"] == "40.45"
    equal = frame(1000 * MM, 600 * MM, 40 * MM, measured="outside", joint="mitred", unit="mm")
    assert "scale" not in sum_text(equal, "mm", 90 * DEGREE)


def test_the_title_says_which_way_and_a_remark_what_was_rounded_up() -> None:
    leaning = brace(1000 * MM, 800 * MM, 40 * MM, "sides", "in")
    lines = sum_text(leaning, "in").splitlines()
    assert lines[0] == "Brace from corner to corner, its ends against the sides"
    assert lines[-1].endswith("rounded up to 1/64 in.")
    assert sum_values(leaning, "mm")["remarks"][-1].endswith("rounded up to 0.1 mm.")
    butted = frame(1000 * MM, 600 * MM, 40 * MM, measured="inside", joint="height through", unit="mm")
    assert sum_values(butted, "mm")["title"] == "Frame, butted, height through"
    spread = sum_text(spacing(1000 * MM, 20 * MM, 3, piece=None, unit="mm"), "mm").splitlines()
    assert spread[0] == "Equal spacing, measured from the first face"
    assert "Parts" not in spread
    assert spread[-1].startswith("Mark every position from the first face")


def test_a_gate_says_its_leaves_and_its_brace() -> None:
    sizes = {"hinge": 10 * MM, "latch": 8 * MM, "below": 50 * MM}
    leaf = gate(2000 * MM, 1200 * MM, 40 * MM, leaves=2, joint="mitred", unit="mm", **sizes)
    plain, held = sum_values(leaf, "mm"), sum_values(braced(leaf, 40 * MM, 2, "mm"), "mm")
    assert plain["title"] == "Gate of two leaves; frame, mitred"
    assert held["title"] == "Gate of two leaves; frame, mitred, braced"
    assert [remark.split()[0] for remark in held["remarks"]] == ["The", "Gaps", "Both", "Long"]
    assert plain["remarks"] == held["remarks"][:2]
