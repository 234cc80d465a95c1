"""The lengths of a mitred part against its outline, drawn point by point from the angles of its ends."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan.model import Lean, Part
from cutplan.model.section_totals import finished_mass
from cutplan.units import DEGREE, MM, kerf_along
from tests.builders import part, square_tube

STEPS = 400
TENTH = 0.1 * MM
"""Runs and kerfs are rounded up to a tenth; each end may add one."""


def edges(of: Part) -> list[tuple[float, float]]:
    """Where a line along the part, at each of many heights across it, enters and leaves: the outline. [nm]

    End A has its long point at the bottom; end B there too, or at the top where the two lean parallel.
    """
    a, b = (math.tan(math.radians(end.angle / DEGREE)) for end in (of.end_a, of.end_b))
    found = []
    for step in range(STEPS + 1):
        up = of.depth * step / STEPS
        down = of.depth - up
        found.append((up * a, of.length - (up if of.lean is Lean.OPPOSITE else down) * b))
    return found


@st.composite
def mitred_parts(draw: st.DrawFn) -> Part:
    angles = draw(st.tuples(*[st.sampled_from([0, 10, 22.5, 30, 45, 60])] * 2).filter(any))
    length = draw(st.sampled_from(["200", "320", "450.5", "900"]))
    lean = draw(st.sampled_from(Lean)) if all(angles) else Lean.OPPOSITE
    return replace(part("P", 1, length, mitres=angles), lean=lean)


@given(mitred_parts())
def test_lengths_are_those_of_the_outline(of: Part) -> None:
    outline = edges(of)
    # Across the whole depth: the tips. At the bottom and at the top: the sides. In between: what all heights share.
    assert max(b for _, b in outline) - min(a for a, _ in outline) == pytest.approx(of.length, abs=1)
    sides = [outline[0][1] - outline[0][0], outline[-1][1] - outline[-1][0]]
    assert min(sides) - 2 * TENTH <= of.short_point <= min(sides) + 1
    both_sides = min(outline[0][1], outline[-1][1]) - max(outline[0][0], outline[-1][0])
    assert both_sides - 2 * TENTH <= of.grip <= max(0, both_sides) + 1
    area = sum(b - a for a, b in outline) / len(outline)
    assert area - 2 * TENTH <= of.centre_line <= area + 1
    assert finished_mass(of) == pytest.approx(3 * of.centre_line / MM * 1000, rel=1e-6)


@given(mitred_parts(), mitred_parts())
def test_the_cut_that_frees_a_part_takes_nothing_of_the_next(first: Part, second: Part) -> None:
    """The blade runs along end B outside the part; wherever it is, the next part begins beyond it."""
    kerf = 2_500_000
    start = first.length + kerf_along(kerf, first.steeper_angle)
    along = kerf / math.cos(math.radians(first.end_b.angle / DEGREE))
    gaps = [start + after[0] - before[1] - along for before, after in zip(edges(first), edges(second), strict=True)]
    assert min(gaps) >= -1


def test_a_steep_parallelogram_has_nothing_to_hold() -> None:
    """60 tip to tip over a depth of 40 at 45 degrees: each side is 20 long, and they overlap nowhere."""
    sliver = replace(part("P", 1, 100, mitres=(45, 45)), lean=Lean.PARALLEL, length=60 * MM)
    assert (sliver.short_point, sliver.grip, sliver.centre_line) == (20 * MM, 0, 20 * MM)
    with pytest.raises(ValueError, match="the mitres cross"):
        replace(sliver, lean=Lean.OPPOSITE)
    with pytest.raises(ValueError, match="the mitres cross"):
        replace(sliver, length=39 * MM)


def test_the_stand_in_tube_is_as_deep_as_the_sums_here_take_it() -> None:
    assert square_tube().height == 40 * MM
