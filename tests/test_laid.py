"""Sets judged by their best order, whatever the orders are: what a space keeps and what it sends on."""

from __future__ import annotations

import pickle

import pytest

from cutplan.solving.patterns.laid import LaidSpace, parts_by_kind
from tests import builders
from tests.solver_instances import instance_for


@pytest.mark.parametrize("share", [False, True])
def test_what_was_worked_out_is_not_sent_to_another_process(share: bool) -> None:
    parts = [builders.part("A", 2, 300, mitres=(45, 45))]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], kerf="2.5", share_mitres=share)
    here = instance_for(job).space
    assert isinstance(here, LaidSpace)
    assert here.can_be_cut(0, (2,))
    there = pickle.loads(pickle.dumps(here))
    assert there == here
    assert not there._laid
    assert there.laid(0, (2,)) == here.laid(0, (2,))


def test_parts_of_a_kind_come_longest_first_from_the_end() -> None:
    parts = [builders.part("A", 1, 300), builders.part("B", 1, 400), builders.part("C", 1, 200)]
    kind = instance_for(builders.job(parts, [builders.offer("P", 1000, 8)])).pieces[0].kind
    waiting = parts_by_kind([kind] * 3, parts)
    assert [waiting[kind].pop().mark for _ in parts] == ["B", "A", "C"]
