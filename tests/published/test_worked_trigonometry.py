"""Brace and frame sums against tables and examples of right triangles that have been printed for a century.

All values are quoted from memory of the printed tables, not from a copy at hand:

- the brace measure stamped on the tongue of the carpenter's steel square, as given in F. T. Hodgson, The Steel Square
  and its Uses: the third side of a right triangle, in inches to a hundredth;
- the rafter table of the same square: length of a common rafter per foot of run, by rise in inches;
- E. Oberg, F. D. Jones, Machinery's Handbook, "Solution of right-angled triangles": the worked example with c = 22
  inches and B = 41 degrees 36 minutes.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.calculators.answer import Answer
from cutplan.calculators.brace import SIDES, TOP_AND_BOTTOM, brace
from cutplan.calculators.frame import MITRED, OUTSIDE, frame
from cutplan.units import DEGREE, INCH, MM

BRACE_MEASURE = {
    (18, 24): "30.00",
    **{
        (leg, leg): length
        for leg, length in {
            24: "33.94",
            27: "38.18",
            30: "42.43",
            33: "46.67",
            36: "50.91",
            39: "55.15",
            42: "59.40",
            45: "63.64",
            48: "67.88",
            51: "72.12",
            54: "76.37",
            57: "80.61",
        }.items()
    },
}

RAFTER_TABLE = {
    4: "12.65",
    5: "13.00",
    6: "13.42",
    7: "13.89",
    8: "14.42",
    9: "15.00",
    10: "15.62",
    11: "16.28",
    12: "16.97",
    13: "17.69",
    14: "18.44",
    15: "19.21",
    16: "20.00",
    17: "20.81",
    18: "21.63",
}
PITCH_DEGREES = {4: 18.43, 5: 22.62, 6: 26.57, 8: 33.69, 9: 36.87, 12: 45.0, 16: 53.13, 18: 56.31}
HUNDREDTH = INCH / 200
"""Half of the last place printed."""


def value(answer: Answer, name: str) -> int:
    step = next(step for step in answer.steps if step.name == name or step.name.startswith(f"{name},"))
    found = step.length if step.length is not None else step.angle
    assert found is not None
    return found


@pytest.mark.parametrize("legs", BRACE_MEASURE)
def test_check_diagonal_is_the_brace_measure(legs: tuple[int, int]) -> None:
    answer = frame(legs[0] * INCH, legs[1] * INCH, 2 * INCH, measured=OUTSIDE, joint=MITRED, unit="in")
    printed = Fraction(BRACE_MEASURE[legs]) * INCH
    assert abs(value(answer, "diagonal outside") - printed) <= HUNDREDTH


def opening_of(run: Fraction, rise: Fraction, edge: Fraction, depth: int) -> int:
    """The side that a brace with this run, rise and edge bears against: its end takes depth / sin(slope) more. [nm]"""
    return round(run + depth * edge / rise)


@pytest.mark.parametrize("rise", RAFTER_TABLE)
def test_edge_of_a_brace_is_the_rafter_per_foot_of_run(rise: int) -> None:
    edge = Fraction(RAFTER_TABLE[rise]) * INCH
    width = opening_of(Fraction(12 * INCH), Fraction(rise * INCH), edge, INCH)
    answer = brace(width, rise * INCH, INCH, TOP_AND_BOTTOM, "in")
    assert abs(value(answer, "e") - edge) <= 3 * HUNDREDTH  # the printed edge is rounded and goes into the opening too
    assert abs(value(answer, "r") - 12 * INCH) <= 3 * HUNDREDTH


@pytest.mark.parametrize("rise", PITCH_DEGREES)
def test_saw_angle_is_the_complement_of_the_pitch(rise: int) -> None:
    edge = Fraction(RAFTER_TABLE[rise]) * INCH
    width = opening_of(Fraction(12 * INCH), Fraction(rise * INCH), edge, INCH)
    angle = value(brace(width, rise * INCH, INCH, TOP_AND_BOTTOM, "in"), "saw angle from square")
    assert abs(angle / DEGREE - (90 - PITCH_DEGREES[rise])) <= 0.03


def test_handbook_example_of_a_side_and_an_angle() -> None:
    """c = 22, B = 41 deg 36 min: a = 16.4516, b = 14.6065, A = 48 deg 24 min."""
    run, rise = Fraction("16.4516") * INCH, Fraction("14.6065") * INCH
    width = opening_of(run, rise, Fraction(22 * INCH), 2 * INCH)
    answer = brace(width, int(rise), 2 * INCH, TOP_AND_BOTTOM, "in")
    assert abs(value(answer, "e") - 22 * INCH) <= 0.0002 * INCH
    assert value(answer, "saw angle from square") == 48 * DEGREE + 40 * DEGREE // 100
    turned = brace(int(rise), width, 2 * INCH, SIDES, "in")
    assert [step.length for step in turned.steps] == [step.length for step in answer.steps]


@pytest.mark.parametrize(("run", "rise", "edge"), [(3, 4, 5), (12, 5, 13), (15, 8, 17)])
def test_whole_triangles_come_out_exactly(run: int, rise: int, edge: int) -> None:
    """Pythagorean triples, Euclid X 28 lemma: nothing is rounded, so nothing may be rounded up."""
    scale, depth = 240 * MM, 40 * MM
    width = opening_of(Fraction(run * scale), Fraction(rise * scale), Fraction(edge * scale), depth)
    answer = brace(width, rise * scale, depth, TOP_AND_BOTTOM, "mm")
    assert value(answer, "e") == edge * scale
    assert value(answer, "r") == run * scale
    exact = edge * scale + Fraction(depth * run, rise)
    assert 0 <= answer.pieces[0].length - exact < 100_000
    if exact % 100_000 == 0:
        assert answer.pieces[0].length == exact
