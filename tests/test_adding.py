"""What parts are counted with, by which end."""

from __future__ import annotations

import pytest

from cutplan.solving.patterns.adding import Adding, Counted
from cutplan.solving.patterns.laying import Kind


def kind(a: int, b: int) -> Kind:
    return Kind(kerf_a=a, kerf_b=b, mitred_a=a > 2, mitred_b=b > 2, held=True, to_fit=False)


SQUARE, MITRED, FIRST, LAST = kind(2, 2), kind(3, 3), kind(3, 2), kind(2, 3)


@pytest.mark.parametrize(
    ("kinds", "demand", "by"),
    [
        ([SQUARE, MITRED], [1, 1], Counted.EITHER),
        ([SQUARE, FIRST], [9, 1], Counted.END_A),
        ([FIRST, LAST], [1, 2], Counted.END_B),
        ([FIRST, LAST], [2, 1], Counted.END_A),
    ],
)
def test_parts_are_counted_by_the_end_that_comes_to_more(kinds: list[Kind], demand: list[int], by: Counted) -> None:
    assert Adding.of(kinds, demand).by is by


def test_what_a_part_is_counted_with() -> None:
    by_a = Adding(Counted.END_A, (FIRST, LAST))
    assert [(by_a.kerf(one), by_a.cuts(one)) for one in by_a.kinds] == [(3, 2), (2, 1)]
    by_b = Adding(Counted.END_B, (FIRST, LAST))
    assert [(by_b.kerf(one), by_b.cuts(one)) for one in by_b.kinds] == [(2, 1), (3, 2)]
    assert (by_a.left_unsaid(), by_b.left_unsaid()) == (1, 0)


def test_alike_ends_are_seen_by_their_least_kerf() -> None:
    levels = list(Adding(Counted.EITHER, (SQUARE, MITRED)).levels())
    assert [level.kinds for level in levels] == [(SQUARE, MITRED), (MITRED,)]
    assert [level.spared() for level in levels] == [2, 3]
    assert [level.strokes_beyond(squared=True, open_end=False) for level in levels] == [1, 0]
    assert [level.strokes_beyond(squared=False, open_end=True) for level in levels] == [-1, 0]
