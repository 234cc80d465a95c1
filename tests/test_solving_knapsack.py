"""The bounded knapsack, against listing every set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan.solving.knapsack import NO_SET, Table, chunks_of
from tests.effort import examples
from tests.solver_instances import sets_of


@st.composite
def loads(draw: st.DrawFn) -> tuple[list[int], list[int], list[int], list[bool], int]:
    """Takes, profits, limits, which parts are held, and a cap."""
    many = draw(st.integers(1, 4))
    takes = draw(st.lists(st.integers(0, 9), min_size=many, max_size=many))
    profits = draw(st.lists(st.integers(0, 12), min_size=many, max_size=many))
    limits = draw(st.lists(st.integers(0, 4), min_size=many, max_size=many))
    held = draw(st.lists(st.booleans(), min_size=many, max_size=many))
    return takes, profits, limits, held, draw(st.integers(0, 30))


def dot(counts: Sequence[int], numbers: Sequence[Any]) -> Any:
    return sum(n * number for n, number in zip(counts, numbers, strict=True))


@given(loads(), st.sampled_from([np.int64, np.float64]))
@settings(max_examples=examples(150), deadline=None)
def test_a_plain_table_equals_listing_every_set(load: tuple[Any, ...], dtype: Any) -> None:
    takes, profits, limits, held, cap = load
    table = Table(takes, profits, limits, held, layered=False, cap=cap, dtype=dtype)
    for fill in range(cap + 1):
        truth = max(dot(counts, profits) for counts in sets_of(limits) if dot(counts, takes) <= fill)
        assert table.short[fill] == truth
        counts = table.pattern(fill, False)
        assert dot(counts, profits) == truth
        assert dot(counts, takes) <= fill
        assert all(n <= most for n, most in zip(counts, limits, strict=True))


@given(loads(), st.booleans())
@settings(max_examples=examples(200, 20), deadline=None)
def test_a_table_that_is_not_read_takes_parts_alike_as_one(load: tuple[Any, ...], layered: bool) -> None:
    """Each part is there twice, so that there always are some; a table to be read keeps them apart."""
    takes, profits, limits, held, cap = load
    twice = [2 * list(of) for of in (takes, profits, limits, held)]
    apart, as_one = (Table(*twice, layered=layered, cap=cap, dtype=np.int64, readable=r) for r in (True, False))
    assert as_one.short.tolist() == apart.short.tolist()
    assert as_one.held.tolist() == apart.held.tolist()


@given(loads(), st.sampled_from([np.int64, np.float64]))
@settings(max_examples=examples(200), deadline=None)
def test_a_layered_table_tells_sets_with_a_held_part_apart(load: tuple[Any, ...], dtype: Any) -> None:
    takes, profits, limits, held, cap = load
    table = Table(takes, profits, limits, held, layered=True, cap=cap, dtype=dtype)
    everything = list(sets_of(limits))
    for fill in range(cap + 1):
        fitting = [counts for counts in everything if dot(counts, takes) <= fill]
        with_held = [counts for counts in fitting if any(n and h for n, h in zip(counts, held, strict=True))]
        without = [counts for counts in fitting if counts not in with_held]
        if not table.layered:
            # Every part of worth is held, or too long for the bar: one layer says it all.
            assert table.short[fill] == max(dot(counts, profits) for counts in fitting)
            continue
        truth = max(dot(counts, profits) for counts in without)
        assert table.short[fill] == truth
        assert dot(table.pattern(fill, False), profits) == truth
        if not with_held:
            assert table.held[fill] == NO_SET
            continue
        truth = max(dot(counts, profits) for counts in with_held)
        assert table.held[fill] == truth
        counts = table.pattern(fill, True)
        assert dot(counts, profits) == truth
        assert dot(counts, takes) <= fill
        assert any(n and h for n, h in zip(counts, held, strict=True))
        assert all(n <= most for n, most in zip(counts, limits, strict=True))


def test_floats_and_integers_agree_where_both_are_exact() -> None:
    takes, limits, held = [7, 5, 3], [2, 3, 9], [True, False, False]
    whole = Table(takes, [70, 55, 29], limits, held, layered=True, cap=40, dtype=np.int64)
    broken = Table(takes, [70.0, 55.0, 29.0], limits, held, layered=True, cap=40)
    assert (whole.short == broken.short).all()
    assert (whole.held == broken.held).all()
    assert whole.short.dtype == np.int64


@given(st.integers(0, 300))
def test_bundles_make_every_number_of_copies_and_no_more(copies: int) -> None:
    sizes = chunks_of(copies)
    assert sum(sizes) == copies
    reached = {0}
    for size in sizes:
        reached |= {n + size for n in reached}
    assert reached == set(range(copies + 1))
