"""A brace lies in its opening: drawn as four corners, it touches what it should and sticks out nowhere."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan.calculators.brace import SIDES, TOP_AND_BOTTOM, brace, edge_run
from cutplan.problems import Refused
from cutplan.units import MM
from tests.effort import examples


@settings(max_examples=examples(200), deadline=None)
@given(st.integers(50, 4000), st.integers(50, 4000), st.integers(1, 300))
def test_the_end_fills_what_the_edge_leaves(across: int, along: int, depth: int) -> None:
    """run + depth / sin(slope) = along, checked with floats to a hundredth of a millimetre."""
    if depth >= along:
        return
    run = edge_run(across * MM, along * MM, depth * MM) / MM
    slope = math.atan2(across, run)
    assert 0 < run < along
    assert run + depth / math.sin(slope) == pytest.approx(along, abs=0.01)


def test_square_opening_has_the_angle_of_its_leaning_edge() -> None:
    answer = brace(1000 * MM, 800 * MM, 40 * MM, TOP_AND_BOTTOM, "mm")
    values = {step.name: step.length or 0 for step in answer.steps}
    assert values["short point to short point"] < values["e, each long edge"] < values["long point to long point"]
    (piece,) = answer.pieces
    assert piece.quantity == 1
    assert piece.length == values["long point to long point"] == 1280 * MM


def test_the_other_two_sides_are_the_opening_turned() -> None:
    one = brace(1000 * MM, 800 * MM, 40 * MM, SIDES, "mm")
    other = brace(800 * MM, 1000 * MM, 40 * MM, TOP_AND_BOTTOM, "mm")
    assert one.steps == other.steps
    assert one.way != other.way


def test_as_deep_as_the_opening_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        brace(40 * MM, 800 * MM, 40 * MM, TOP_AND_BOTTOM, "mm")
    assert refused.value.found == "a depth of 40 mm"
    assert refused.value.accepted == "less than 40 mm, the side that the ends bear against"


def test_too_flat_for_the_saw_is_refused_and_the_other_sides_are_named() -> None:
    with pytest.raises(Refused) as refused:
        brace(3000 * MM, 200 * MM, 40 * MM, TOP_AND_BOTTOM, "mm")
    assert refused.value.found == "a saw angle of 85.42 degrees from square"
    assert refused.value.hint == "let the ends bear against the sides"
    assert brace(3000 * MM, 200 * MM, 40 * MM, SIDES, "mm").pieces
