"""The numbers that geometry rests on."""

from __future__ import annotations

import math
from fractions import Fraction

from cutplan.sections.values import CORNER, PI, in_mm


def test_pi_and_the_corner_beside_a_quarter_circle() -> None:
    assert abs(float(PI) - math.pi) < 1e-15
    assert abs(float(CORNER) - (1 - math.pi / 4)) < 1e-15


def test_a_dimension_in_words() -> None:
    assert in_mm(Fraction("3.175")) == "3.175 mm"
    assert in_mm(Fraction(40)) == "40 mm"
