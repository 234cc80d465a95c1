"""Equal spacing: gaps and widths fill the distance, and each position is rounded by itself."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan.calculators.answer import Answer
from cutplan.calculators.spacing import MOST_PARTS, spacing, spacing_at_most
from cutplan.problems import Refused
from cutplan.units import MM


def faces(answer: Answer) -> list[int]:
    return [step.length or 0 for step in answer.steps if step.name.startswith("near face")]


def test_three_bars_of_20_in_a_metre() -> None:
    answer = spacing(1000 * MM, 20 * MM, 3, piece=700 * MM, unit="mm")
    assert faces(answer) == [235 * MM, 490 * MM, 745 * MM]
    (piece,) = answer.pieces
    assert (piece.quantity, piece.length) == (3, 700 * MM)


@given(st.integers(1000, 10**10), st.integers(0, 10**7), st.integers(1, 60))
def test_mirrored_from_the_other_face_it_is_the_same(clear: int, width: int, count: int) -> None:
    if clear <= count * width:
        return
    found = faces(spacing(clear, width, count, piece=None, unit="mm"))
    turned = [clear - face - width for face in reversed(found)]
    assert all(abs(a - b) <= 1 for a, b in zip(found, turned, strict=True))


@given(st.integers(10**6, 10**10), st.integers(0, 10**7), st.integers(10**8, 10**9))
def test_fewest_parts_that_keep_the_gap(clear: int, width: int, most: int) -> None:
    if clear <= most:
        return
    count = len(faces(spacing_at_most(clear, width, most, piece=None, unit="mm")))
    assert clear - count * width <= most * (count + 1)
    assert clear - (count - 1) * width > most * count


def test_refusals() -> None:
    with pytest.raises(Refused, match="parts that leave a gap"):
        spacing(100 * MM, 50 * MM, 2, piece=None, unit="mm")
    with pytest.raises(Refused, match=f"1 to {MOST_PARTS}"):
        spacing(100 * MM, 0, 0, piece=None, unit="mm")
    with pytest.raises(Refused, match="more than the widest gap, 100 mm"):
        spacing_at_most(100 * MM, 0, 100 * MM, piece=None, unit="mm")
