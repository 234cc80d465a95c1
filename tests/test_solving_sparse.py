"""Sparse first fit against first fit itself, which tries every piece for every bar."""

from __future__ import annotations

import random

import pytest

from cutplan.model import groups_of
from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.sparse import Filled, sparse_first_fit
from cutplan.solving.whole_numbers import instance_of
from tests import builders
from tests.effort import some


def some_instance(seed: int) -> Instance:
    draw = random.Random(seed)
    grades = ("", "S355") if seed % 3 == 0 else ("",)
    parts = [
        builders.part(
            f"M{n}", draw.randint(1, 9), draw.choice((draw.randint(40, 900), 1000)), grade=draw.choice(grades)
        )
        for n in range(draw.randint(1, 30))
    ]
    offers = [
        builders.offer("P", 1000, 10, grade=draw.choice(grades), available=draw.choice((None, 5))),
        builders.offer("Q", 1300, 12, available=draw.choice((None, 3)), grade="S355"),
    ]
    offcuts = [builders.offcut("K", draw.randint(200, 900), 1, quantity=draw.randint(1, 3))]
    job = builders.job(
        parts, offers, offcuts, kerf=draw.choice((0, 3)), end_trim=draw.choice((0, 10)),
        safe_hold=draw.choice((0, 120)), keep=150, mill_ends_accepted=draw.random() < 0.5,
    )  # fmt: skip
    group = groups_of(job)[0]
    return instance_of(group, job.workshop, group.offers, Parameters())


def dense(instance: Instance, filled: Filled) -> tuple[int, ...]:
    held = dict(filled.holds)
    return tuple(held.get(piece, 0) for piece in range(len(instance.pieces)))


@pytest.mark.parametrize("seed", some(range(60), *range(10)))
def test_it_is_first_fit(seed: int) -> None:
    instance = some_instance(seed)
    for preference in preferences(instance):
        wanted = first_fit(instance, preference, instance.demand, [source.most for source in instance.sources])
        found = sparse_first_fit(instance, preference)
        if wanted is None or found is None:
            assert (wanted is None) == (found is None)
        else:
            assert [(bars.source, dense(instance, bars), bars.count) for bars in found] == [
                (bars.source, bars.pattern, bars.count) for bars in wanted
            ]


def test_mitred_parts_are_refused() -> None:
    job = builders.job([builders.part("A", 1, 500, mitres=(45, 45))], [builders.offer("P", 1000, 10)])
    group = groups_of(job)[0]
    with pytest.raises(ValueError, match="no sum"):
        sparse_first_fit(instance_of(group, job.workshop, group.offers, Parameters()), [0])
