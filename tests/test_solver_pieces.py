"""What the solver sees of parts and bars."""

from __future__ import annotations

import pytest

from tests import builders
from tests.solver_instances import instance_for


@pytest.mark.parametrize(("mitres", "square"), [((0, 0), True), ((45, 0), False), ((0, 22.5), False)])
def test_a_piece_is_square_where_both_ends_are(mitres: tuple[float, float], square: bool) -> None:
    parts = [builders.part("A", 1, 400, mitres=mitres)]
    (piece,) = instance_for(builders.job(parts, [builders.offer("P", 1000, 8)])).pieces
    assert piece.square is square


@pytest.mark.parametrize(("ends", "trimmed"), [("mill mill", True), ("mill sawn", True), ("sawn sawn", False)])
def test_a_bar_is_trimmed_where_an_end_is_from_the_mill(ends: str, trimmed: bool) -> None:
    job = builders.job([builders.part("A", 1, 400)], [], [builders.offcut("K", 900, ends=ends)], end_trim=10)
    assert instance_for(job).sources[0].trimmed is trimmed


def test_a_piece_is_held_by_what_both_sides_of_it_have() -> None:
    parts = [builders.part("A", 1, 150, mitres=(45, 0)), builders.part("B", 1, 150)]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], safe_hold=120)
    assert [piece.held for piece in instance_for(job).pieces] == [False, True]
