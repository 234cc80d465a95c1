"""The knapsack against values found by hand and by listing every set."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan.checking import dynamic_program
from cutplan.checking.dynamic_program import NO_SET, SAFE, Load, best_worths, worths_by_state
from cutplan.checking.trails import NO_PARTS, State, joined, reached_from


def load(weight: int, worth: int, quantity: int = 1, *, holds: bool = False, entry: int = 0) -> Load:
    return Load(weight=weight, worth=worth, quantity=quantity, holds=holds, entry=entry)


def test_by_hand() -> None:
    """Weights 3 and 4, worth 4 and 5: 3 at most once and 4 at most twice within 8."""
    any_set, held = best_worths([load(3, 4), load(4, 5, 2)], 8)
    assert any_set.tolist() == [0, 0, 0, 4, 5, 5, 5, 9, 10]
    assert all(worth < 0 for worth in held)


def test_quantities_bind() -> None:
    assert best_worths([load(1, 1, 5)], 9)[0].tolist() == [0, 1, 2, 3, 4, 5, 5, 5, 5, 5]


def test_a_set_that_holds_has_one_long_part() -> None:
    """The long part weighs 5 and is worth nothing; short ones are worth 2 each."""
    any_set, held = best_worths([load(2, 2, 9), load(5, 0, holds=True)], 9)
    assert any_set.tolist() == [0, 0, 2, 2, 4, 4, 6, 6, 8, 8]
    assert [worth if worth >= 0 else None for worth in held.tolist()] == [None] * 5 + [0, 0, 2, 2, 4]


def test_the_first_of_a_part_may_cost_something() -> None:
    """Each 3 is worth 4, the first costs 5: one is not worth it, two come to 3."""
    assert best_worths([load(3, 4, 3, entry=5)], 9)[0].tolist() == [0, 0, 0, 0, 0, 0, 3, 3, 3, 7]


def test_a_part_that_holds_may_be_worth_less_than_nothing() -> None:
    """Short ones are worth 5; what holds them weighs 2 and costs 3."""
    any_set, held = best_worths([load(2, 5, 9), load(2, -2, holds=True, entry=1)], 6)
    assert any_set.tolist() == [0, 0, 5, 5, 10, 10, 15]
    assert held.tolist()[4:] == [2, 2, 7]


def test_no_parts_and_no_room() -> None:
    assert best_worths([], 3)[0].tolist() == [0, 0, 0, 0]
    assert best_worths([load(1, 7)], 0)[0].tolist() == [0]


def test_worths_too_large_for_64_bits_are_refused() -> None:
    with pytest.raises(OverflowError, match="too large for 64-bit sums"):
        best_worths([load(1, SAFE // 2, 2)], 4)
    assert best_worths([load(1, SAFE // 2 - 1, 2)], 4)[0][-1] == SAFE - 2


def test_only_what_fits_together_is_summed() -> None:
    """A thousand parts of which no two fit: each may be worth as much as one sum holds."""
    parts = [load(3 + number % 2, SAFE // 4 - number, 100_000) for number in range(1000)]
    assert best_worths(parts, 5)[0].tolist() == [0, 0, 0, SAFE // 4, SAFE // 4, SAFE // 4]


def test_a_part_that_weighs_nothing_is_always_in() -> None:
    any_set, held = best_worths([load(0, 2, 3), load(0, -1, holds=True), load(2, 5)], 2)
    assert any_set.tolist() == [6, 6, 11]
    assert held.tolist() == [5, 5, 10]


ANY_LOAD = st.builds(
    load, st.integers(0, 9), st.integers(-4, 9), st.integers(1, 6), holds=st.booleans(), entry=st.integers(0, 5)
)
LOADS = st.lists(ANY_LOAD, max_size=3)


@settings(deadline=None)
@given(LOADS, st.integers(0, 25))
def test_equals_listing_every_set(loads: list[Load], cap: int) -> None:
    any_set, held = best_worths(loads, cap)
    sets = [
        (
            sum(n * item.weight for n, item in zip(counts, loads, strict=True)),
            sum(n * item.worth - (n > 0) * item.entry for n, item in zip(counts, loads, strict=True)),
            any(n and item.holds for n, item in zip(counts, loads, strict=True)),
        )
        for counts in product(*(range(item.quantity + 1) for item in loads))
    ]
    for fill in range(cap + 1):
        assert any_set[fill] == max(worth for weight, worth, _ in sets if weight <= fill)
        holding = [worth for weight, worth, holds in sets if weight <= fill and holds]
        assert held[fill] == max(holding, default=NO_SET)


@settings(deadline=None)
@given(
    LOADS,
    st.lists(st.sampled_from([(0, 0), (0, 1), (1, 1)]), min_size=3, max_size=3),
    st.integers(0, 20),
    st.sampled_from([0, dynamic_program.MOST_LISTED]),
)
def test_by_state_equals_listing_every_set_of_each(
    loads: list[Load], ends: list[tuple[int, int]], cap: int, most_listed: int
) -> None:
    loads = [replace(item, ends=of) for item, of in zip(loads, ends, strict=False)]
    states = reached_from(NO_PARTS, [item.ends for item in loads], 10) or []
    found: dict[State, list[tuple[int, int, bool]]] = {state: [] for state in states}
    for counts in product(*(range(item.quantity + 1) for item in loads)):
        state = NO_PARTS
        for n, item in zip(counts, loads, strict=True):
            state = joined(state, *item.ends, n) if n else state
        pairs = list(zip(counts, loads, strict=True))
        worth = sum(n * item.worth - (n > 0) * item.entry for n, item in pairs)
        found[state].append((sum(n * item.weight for n, item in pairs), worth, any(n and i.holds for n, i in pairs)))
    with mock.patch.object(dynamic_program, "MOST_LISTED", most_listed):
        any_sets, held_sets = worths_by_state(
            loads, cap, states, lambda state, of, copies: joined(state, *of, copies) if copies else state
        )
    for state, any_set, held_set in zip(states, any_sets, held_sets, strict=True):
        for fill in range(cap + 1):
            fitting = [(worth, holds) for weight, worth, holds in found[state] if weight <= fill]
            assert any_set[fill] == max((worth for worth, _ in fitting), default=NO_SET)
            assert held_set[fill] == max((worth for worth, holds in fitting if holds), default=NO_SET)


def test_by_state_worths_too_large_are_refused() -> None:
    with pytest.raises(OverflowError, match="too large for 64-bit sums"):
        worths_by_state([load(1, SAFE // 2, 2)], 4, [NO_PARTS], lambda state, of, copies: state)
