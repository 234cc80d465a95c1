"""Mitred parts sawn each for itself: which orders are not looked for, and what cannot be laid."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.model import Work
from cutplan.solving.patterns.sequences import Sequences
from tests import builders
from tests.solver_instances import instance_for


def space(*mitres: tuple[float, float], **settings: Any) -> Sequences:
    parts = [builders.part(f"M{n}", 2, 300 + n, mitres=ends) for n, ends in enumerate(mitres)]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], kerf="2.5", share_mitres=False, **settings)
    found = instance_for(job).space
    assert isinstance(found, Sequences)
    return found


@pytest.mark.parametrize(
    ("mitres", "per_cut", "judged"),
    [([(45, 45)], 1, True), ([(45, 45), (30, 30), (0, 0)], 1, False), ([(45, 45), (30, 30), (0, 0)], 0, True)],
)
def test_two_mitres_may_end_flush_by_chance(mitres: list[tuple[float, float]], per_cut: int, judged: bool) -> None:
    assert space(*mitres, work=Work(per_cut=per_cut)).judged is judged


def test_a_set_that_cannot_be_laid_costs_more_than_any_that_can() -> None:
    here = space((45, 45), work=Work(per_cut=1))
    assert here.laid(0, (4,)) is None
    assert here.cost(0, (4,), kept=True) > here.cost(0, (3,), kept=True)
    assert here.left(0, (4,)) == 0
