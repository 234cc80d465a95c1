"""Mitred parts sawn each for itself: which orders are not looked for, and what cannot be laid."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.model import Work
from cutplan.solving.patterns.sequences import Sequences
from tests import builders
from tests.solver_instances import instance_for


def space(*mitres: tuple[float, float], bar: float = 1000, **settings: Any) -> Sequences:
    parts = [builders.part(f"M{n}", 2, 300 + n, mitres=ends) for n, ends in enumerate(mitres)]
    job = builders.job(parts, [builders.offer("P", bar, 8)], kerf="2.5", share_mitres=False, **settings)
    found = instance_for(job).space
    assert isinstance(found, Sequences)
    return found


TWO_MITRES = [(45, 45), (30, 30), (0, 0)]


@pytest.mark.parametrize(
    ("mitres", "bar", "per_cut", "hold", "judged"),
    [
        ([(45, 45)], 605.6, 1, 0, True),
        # 300 and a kerf of 3.6 across 45 degrees and then 302: flush in one order.
        (TWO_MITRES, 605.6, 1, 0, False),
        (TWO_MITRES, 605.6, 0, 0, True),
        (TWO_MITRES, 605.6, 1, 310, True),  # nothing that could be held last
        (TWO_MITRES, 605.7, 1, 0, True),
        (TWO_MITRES, 1000, 1, 0, True),
    ],
)
def test_two_mitres_may_end_flush_by_chance(
    mitres: list[tuple[float, float]], bar: float, per_cut: int, hold: float, judged: bool
) -> None:
    assert space(*mitres, bar=bar, work=Work(per_cut=per_cut), safe_hold=hold).judged is judged


def test_a_set_that_cannot_be_laid_costs_more_than_any_that_can() -> None:
    here = space((45, 45), work=Work(per_cut=1))
    assert here.laid(0, (4,)) is None
    assert here.cost(0, (4,), kept=True) > here.cost(0, (3,), kept=True)
    assert here.left(0, (4,)) == 0
