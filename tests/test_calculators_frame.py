"""The parts of a frame add up to its outside and leave its inside, whichever way it is joined and measured."""

from __future__ import annotations

import pytest

from cutplan.calculators.frame import HEIGHT_THROUGH, INSIDE, JOINTS, MITRED, OUTSIDE, WIDTH_THROUGH, frame
from cutplan.problems import Refused
from cutplan.units import DEGREE, MM


def pieces(joint: str) -> list[tuple[int, int, int]]:
    answer = frame(1000 * MM, 600 * MM, 40 * MM, measured=OUTSIDE, joint=joint, unit="mm")
    return [(piece.quantity, piece.length // MM, piece.angle // DEGREE) for piece in answer.pieces]


def test_parts_by_joint() -> None:
    assert pieces(MITRED) == [(2, 1000, 45), (2, 600, 45)]
    assert pieces(WIDTH_THROUGH) == [(2, 1000, 0), (2, 520, 0)]
    assert pieces(HEIGHT_THROUGH) == [(2, 600, 0), (2, 920, 0)]


@pytest.mark.parametrize("joint", JOINTS)
def test_inside_and_outside_size_of_one_frame_give_the_same_parts(joint: str) -> None:
    out = frame(1000 * MM, 600 * MM, 40 * MM, measured=OUTSIDE, joint=joint, unit="mm")
    inside = frame(920 * MM, 520 * MM, 40 * MM, measured=INSIDE, joint=joint, unit="mm")
    assert out.pieces == inside.pieces
    assert [step.length for step in out.steps] == [step.length for step in inside.steps]
    assert [step.formula for step in out.steps] != [step.formula for step in inside.steps]


def test_no_opening_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        frame(1000 * MM, 80 * MM, 40 * MM, measured=OUTSIDE, joint=MITRED, unit="mm")
    assert str(refused.value) == 'found "1000 mm x 80 mm". Accepted: more than 80 mm, two depths, both ways'
