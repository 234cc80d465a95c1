"""The pricing knapsack in states, against every set."""

from __future__ import annotations

import random
from itertools import product

import numpy as np
import pytest

from cutplan.solving import buffers
from cutplan.solving.buffers import Buffers
from cutplan.solving.knapsack import NO_SET
from cutplan.solving.patterns import state_table
from cutplan.solving.patterns.state_table import StateTable
from cutplan.solving.patterns.trail_states import Beyond, Stated, TrailStates
from tests.effort import seeds
from tests.test_trail_states import some_vertices


@pytest.mark.parametrize("dtype", [np.int64, np.float64])
@pytest.mark.parametrize("seed", seeds(120))
def test_every_fill_has_its_best_set(seed: int, dtype: type, monkeypatch: pytest.MonkeyPatch) -> None:
    draw = random.Random(seed)
    monkeypatch.setattr(state_table, "BLOCK", 5 if seed % 2 else 100)
    monkeypatch.setattr(buffers, "SMALLEST", 1)
    vertices = some_vertices(draw, draw.randint(1, 3))
    parts = draw.randint(1, 4)
    edges = tuple((draw.randrange(len(vertices)), draw.randrange(len(vertices))) for _ in range(parts))
    states = TrailStates(vertices, tuple(sorted(set(edges))))
    stated = Stated(states, edges)
    takes = [draw.randint(1, 9) for _ in edges]
    profits = [draw.randint(-2, 9) for _ in edges]
    limits = [draw.randint(0, 3) for _ in edges]
    held = [draw.random() < 0.6 for _ in edges]
    entries = [draw.choice([0, 3]) for _ in edges] if draw.random() < 0.4 else []
    # Sets without a part that earns less than nothing take no more than those with it.
    joined = [max(0, half - min(states.halves)) // 4 for half in states.halves]
    steps = tuple(min(one, 3) for one in joined)
    beyond = Beyond(steps, tuple(draw.randint(0, 2) if k else 0 for k in range(len(states.states))))
    start = 0
    layered = draw.random() < 0.5
    cap = 24
    pool = Buffers()
    garbage = [pool.take(cap + 1, dtype) for _ in range(30)]
    for array in garbage:
        array.fill(7)
    pool.give(garbage)
    table = StateTable(
        takes, profits, limits, held,
        stated=stated, start=start, beyond=beyond, entries=entries, layered=layered, cap=cap, dtype=dtype, buffers=pool,
    )  # fmt: skip
    told = [fill for fill in range(cap + 1) if table.tells(fill)]
    assert (table.likely >= np.maximum(table.short, table.held)).all()
    assert (table.likely[told] == table.held[told]).all()
    spread = max(beyond.costs) - min(beyond.costs)
    wanted = [i for i, profit in enumerate(profits) if profit + spread > 0]
    for fill in range(cap + 1):
        best = {False: NO_SET, True: NO_SET}
        for counts in product(*(range(most + 1) for most in limits)):
            spare = [i for i, n in enumerate(counts) if n and i not in wanted]
            if spare and not (table.layered and len(spare) == 1 and held[spare[0]] and counts[spare[0]] == 1):
                continue
            state = stated.start(counts)
            if sum(n * take for n, take in zip(counts, takes, strict=True)) + beyond.steps[state] > fill:
                continue
            worth = sum(n * profit for n, profit in zip(counts, profits, strict=True)) - beyond.costs[state]
            worth -= sum(entry for n, entry in zip(counts, entries, strict=False) if n)
            holds = table.layered and any(n and held[i] for i, n in enumerate(counts))
            best[holds] = max(best[holds], worth)
        for layer, holds in [(table.short, False), (table.held, True)] if table.layered else [(table.short, False)]:
            assert (layer[fill] <= NO_SET) == (best[holds] <= NO_SET)
            if best[holds] > NO_SET:
                assert layer[fill] == best[holds]
                found = table.pattern(fill, holds)
                state = stated.start(found)
                worth = sum(n * profit for n, profit in zip(found, profits, strict=True)) - beyond.costs[state]
                worth -= sum(entry for n, entry in zip(found, entries, strict=False) if n)
                assert worth == best[holds]
                taken = sum(n * take for n, take in zip(found, takes, strict=True)) + beyond.steps[state]
                assert taken <= fill
                assert all(n <= most for n, most in zip(found, limits, strict=True))


def test_sets_may_begin_in_another_state() -> None:
    vertices = some_vertices(random.Random(3), 2)
    states = TrailStates(vertices, ((0, 1),))
    stated = Stated(states, ((0, 1),))
    odd = states.after(0, (0, 1), 1)
    even = states.after(0, (0, 1), 2)
    steps = [0] * len(states.states)
    steps[odd] = 5
    beyond = Beyond(tuple(steps), (0,) * len(steps))
    table = StateTable([3], [7], [1], [True], stated=stated, start=odd, beyond=beyond, layered=False, cap=10)
    assert table.short[:3].tolist() == [NO_SET] * 3
    assert table.short[3:].tolist() == [7] * 8
    assert states.after(odd, (0, 1), 1) == even
