"""Pricing over sets that are listed, against every set and against the tables in states."""

from __future__ import annotations

import random
from itertools import product
from typing import Any

import numpy as np
import pytest

from cutplan.solving.knapsack import NO_SET
from cutplan.solving.patterns import set_table
from cutplan.solving.patterns.set_table import SetTable, listed_sets
from cutplan.solving.patterns.state_table import StateTable
from cutplan.solving.patterns.trail_states import Beyond, Stated, TrailStates
from tests.effort import seeds
from tests.test_trail_states import some_vertices

CAP = 24


def some_stated(draw: random.Random) -> Stated:
    vertices = some_vertices(draw, draw.randint(1, 3))
    edges = tuple((draw.randrange(len(vertices)), draw.randrange(len(vertices))) for _ in range(draw.randint(1, 4)))
    return Stated(TrailStates(vertices, tuple(sorted(set(edges)))), edges)


@pytest.mark.parametrize("dtype", [np.int64, np.float64])
@pytest.mark.parametrize("seed", seeds(80))
def test_every_fill_has_its_best_set(seed: int, dtype: type) -> None:
    draw = random.Random(seed)
    stated = some_stated(draw)
    parts = range(len(stated.edges))
    takes = tuple(draw.randint(0, 9) for _ in parts)
    profits = [draw.randint(-2, 9) for _ in parts]
    limits = tuple(draw.randint(0, 3) for _ in parts)
    held = [draw.random() < 0.6 for _ in parts]
    entries = [draw.choice([0, 3]) for _ in parts] if draw.random() < 0.4 else []
    states = range(len(stated.states.states))
    beyond = Beyond(tuple(draw.randint(0, 3) for _ in states), tuple(draw.randint(0, 2) for _ in states))
    start = draw.choice(states)
    begun, layered = draw.random() < 0.5, draw.random() < 0.5

    def after(counts: tuple[int, ...]) -> int:
        state = start
        for edge, n in zip(stated.edges, counts, strict=True):
            state = stated.states.after(state, edge, n) if n else state
        return state

    def fill(counts: tuple[int, ...]) -> int:
        taken = sum(n * take for n, take in zip(counts, takes, strict=True))
        return taken + beyond.steps[after(counts)]

    def worth(counts: tuple[int, ...]) -> int:
        first = sum(entry for n, entry in zip(counts, entries, strict=False) if n)
        cost: int = first + beyond.costs[after(counts)]
        return sum(n * y for n, y in zip(counts, profits, strict=True)) - cost

    sets = listed_sets(stated, start, takes, limits, beyond.steps, CAP)
    assert sets is not None
    fewer, less = tuple(draw.randint(0, most) for most in limits), draw.randint(0, CAP)
    by_limits = listed_sets(stated, start, takes, fewer, beyond.steps, less)
    assert by_limits is not None
    within = sets.within(fewer, less)
    assert sorted(within.counts.T.tolist()) == sorted(by_limits.counts.T.tolist())
    assert within.fills.tolist() == by_limits.fills.tolist()
    table = SetTable(
        takes, profits, limits, held,
        sets=sets, beyond=beyond, entries=entries, layered=layered, begun=begun, cap=CAP, dtype=dtype,
    )  # fmt: skip
    every = [*product(*(range(most + 1) for most in limits))]
    assert sorted(map(tuple, sets.counts.T.tolist())) == sorted(c for c in every if fill(c) <= CAP)
    for most in range(CAP + 1):
        row = table.row(most)
        for holds, layer in [(False, table.short), (True, table.held)] if layered else [(False, table.short)]:
            there = [
                counts
                for counts in every
                if fill(counts) <= most
                and (not layered or holds == any(n and h for n, h in zip(counts, held, strict=True)))
            ]
            if not there:
                assert row < 0 or layer[row] == NO_SET
                continue
            assert layer[row] == max(map(worth, there))
            assert table.fills()[row] == max(fill(c) for c in every if fill(c) <= most)
            found = table.pattern(most, holds)
            assert found in there
            assert worth(found) == layer[row]


@pytest.mark.parametrize("seed", seeds(40))
def test_tables_in_states_say_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    draw = random.Random(seed)
    monkeypatch.setattr(set_table, "BLOCK", draw.choice([1, 3, 10, 100]))
    stated = some_stated(draw)
    parts = range(len(stated.edges))
    takes = tuple(draw.randint(1, 9) for _ in parts)
    limits = tuple(draw.randint(1, 3) for _ in parts)
    states = range(len(stated.states.states))
    beyond = Beyond(tuple(draw.randint(0, 3) for _ in states), (0,) * len(states))
    of: dict[str, Any] = {
        "takes": takes, "profits": [draw.randint(1, 9) for _ in parts], "limits": limits,
        "held": [draw.random() < 0.6 for _ in parts], "beyond": beyond, "layered": True, "begun": True, "cap": CAP,
    }  # fmt: skip
    sets = listed_sets(stated, 0, takes, limits, beyond.steps, CAP)
    assert sets is not None
    listed, dense = SetTable(sets=sets, **of), StateTable(stated=stated, start=0, **of)
    for fill in range(CAP + 1):
        row = listed.row(fill)
        for one, other in [(listed.short, dense.short), (listed.held, dense.held)]:
            assert max(NO_SET, one[row] if row >= 0 else NO_SET) == max(NO_SET, other[fill])


def test_many_sets_are_not_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(set_table, "MOST_CELLS", 3 * 8**3)
    vertices = some_vertices(random.Random(3), 2)
    stated = Stated(TrailStates(vertices, ((0, 1),)), ((0, 1),) * 3)
    nothing = (0,) * len(stated.states.states)
    some = listed_sets(stated, 0, (1, 1, 1), (7, 7, 7), nothing, 80)
    assert some is not None
    assert len(some.fills) == 8**3
    assert listed_sets(stated, 0, (1, 1, 1), (7, 7, 8), nothing, 80) is None
    # Those that fill too much are not among them.
    assert listed_sets(stated, 0, (1, 1, 1), (7, 7, 8), nothing, 8) is not None
