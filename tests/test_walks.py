"""The best orders of parts that share cuts, against trying every order and turn."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise, permutations, product

import pytest

from cutplan.solving.patterns.laying import Kind
from cutplan.solving.patterns.vertices import Vertex, ends_of
from cutplan.solving.patterns.walks import Step, Walks
from tests.effort import seeds

ENDS = [Vertex(4, False), Vertex(6, True, (45, 0, 40)), Vertex(6, True, (45, 1, 60)), Vertex(5, True, (30, 0, 22))]


def kind(one: Vertex, other: Vertex, *, held: bool = True, to_fit: bool = False, may_turn: bool = True) -> Kind:
    """A part with these ends, which lies with end B towards START only if it may."""
    meeting = one.joint, other.joint, may_turn, one.hand, other.hand
    return Kind(one.kerf, other.kerf, one.mitred, other.mitred, held, to_fit, *meeting)


def every(
    kinds: Sequence[Kind], counts: Sequence[int], squared: bool, slant: Vertex | None
) -> set[tuple[int, int, Vertex, bool, bool]]:
    """What every order and turn comes to: between, strokes, last end, held, out of turn; on a slant where there is."""
    parts = [k for k, n in enumerate(counts) for _ in range(n)]
    found = set()
    for order in set(permutations(parts)):
        fits = [kinds[k].to_fit for k in order]
        late = fits != sorted(fits)
        if late and (fits[:-1] != sorted(fits[:-1]) or not kinds[order[-1]].held):
            continue
        for turns in product((False, True), repeat=len(order)):
            if any(turned and not kinds[k].may_turn for k, turned in zip(order, turns, strict=True)):
                continue
            ends = [ends_of(kinds[k])[:: -1 if turned else 1] for k, turned in zip(order, turns, strict=True)]
            joins = [(one[1], other[0]) for one, other in pairwise(ends)]
            if slant and ends[0][0] != slant:
                continue
            strokes = sum(a.strokes(b) for a, b in joins) + int(not slant and (squared or ends[0][0].mitred))
            found.add((sum(a.gap(b) for a, b in joins), strokes, ends[-1][1], kinds[order[-1]].held, late))
    return found


HANDED = [*ENDS[:1], *(Vertex(6, True, (45, plane, 40), hand) for plane in (0, 1) for hand in (1, -1)), ENDS[3]]
"""Ends of which those of a plane meet where their hands are opposite, and some that meet as they are."""


@pytest.mark.parametrize("handed", [False, True])
@pytest.mark.parametrize("seed", seeds(150))
def test_no_order_beats_all_walks(seed: int, handed: bool) -> None:
    draw = random.Random(seed)
    ends = HANDED[: draw.randint(3, 6)] if handed else ENDS[: draw.randint(2, 4)]
    ends = ends + ([Vertex(6, True)] if draw.random() < 0.2 else [])
    kinds = sorted(
        {
            kind(
                a, b, held=draw.random() < 0.6, to_fit=draw.random() < 0.2, may_turn=all(e != ends[-1] for e in (a, b))
            )
            for a, b in [(draw.choice(ends), draw.choice(ends)) for _ in range(3)]
        }
    )
    counts = [draw.randint(0, 3) for _ in kinds]
    while sum(counts) > 5:
        counts[counts.index(max(counts))] -= 1
    if not any(counts):
        return
    squared, slant = draw.random() < 0.5, draw.choice([None, None, *(end for end in ends if end.mitred)])
    walks = Walks(tuple(kinds))
    truth = every(kinds, counts, squared, slant)
    found = {
        (t.between, t.strokes, walks.far(t.last), kinds[t.last[0]].held, t.out_of_turn)
        for t in walks.of(tuple(counts), squared=squared, slant=slant)
    }
    assert found <= truth
    for between, strokes, *ending in truth:
        assert any(b <= between and s <= strokes for b, s, *same in found if same == ending)


@pytest.mark.parametrize("most_sets", [3_000, 5])
@pytest.mark.parametrize("ends", [ENDS, HANDED], ids=["of no hand", "handed"])
@pytest.mark.parametrize("seed", seeds(60))
def test_an_order_in_full_comes_to_what_it_is_said_to(seed: int, ends: list[Vertex], most_sets: int) -> None:
    draw = random.Random(seed)
    kinds = sorted({kind(draw.choice(ends), draw.choice(ends), to_fit=draw.random() < 0.1) for _ in range(3)})
    counts = tuple(draw.randint(1, 9) for _ in kinds)
    walks = Walks(tuple(kinds), most_sets)
    found = list(walks.of(counts, squared=True))
    assert found
    for walk in found:
        steps = walk.in_full()
        assert tuple(sum(k == step[0] for step in steps) for k in range(len(kinds))) == counts
        laid = walks.as_given(steps, squared=True)
        assert (laid.between, laid.strokes, laid.last) == (walk.between, walk.strokes, walk.last)


def test_an_order_of_kinds_is_turned_as_is_best() -> None:
    square, mitre = ENDS[:2]
    walks = Walks((kind(square, mitre), kind(mitre, mitre)))

    def taken(steps: Sequence[Step]) -> int:
        return walks.as_given(steps, squared=True).between

    steps = walks.turned_best([0, 1, 0, 0], squared=True)
    assert [step[0] for step in steps] == [0, 1, 0, 0]
    assert taken(steps) == -34 - 34 + 4
    assert taken(steps) == min(
        taken([(k, t) for k, t in zip([0, 1, 0, 0], ts, strict=True)]) for ts in product((False, True), repeat=4)
    )


@pytest.mark.parametrize("seed", seeds(100))
def test_of_very_many_parts_some_orders_are_tried_and_none_is_better_than_all(seed: int) -> None:
    draw = random.Random(seed)
    kinds = sorted(
        {
            kind(draw.choice(HANDED), draw.choice(HANDED), held=draw.random() < 0.5, to_fit=draw.random() < 0.2)
            for _ in range(3)
        }
    )
    counts = tuple(draw.randint(1, 4) for _ in kinds)
    every_one, some = Walks(tuple(kinds)), Walks(tuple(kinds), 1)
    assert not some.tries_all(counts, sum(counts))
    assert every_one.tries_all(counts, sum(counts))
    best = list(every_one.of(counts, squared=False))
    for walk in some.of(counts, squared=False):
        fits = [kinds[k].to_fit for k, _ in walk.in_full()]
        assert walk.out_of_turn == (fits != sorted(fits))
        ending = some.far(walk.last), kinds[walk.last[0]].held, walk.out_of_turn
        assert any(
            each.between <= walk.between
            and each.strokes <= walk.strokes
            and (every_one.far(each.last), kinds[each.last[0]].held, each.out_of_turn) == ending
            for each in best
        )


def test_how_many_parts_of_different_kinds_are_tried_in_every_order() -> None:
    """Of two kinds 30 together make the most sets as 15 and 15: 16 x 16."""
    one, other = HANDED[1], HANDED[2]
    kinds = kind(HANDED[0], one), kind(HANDED[0], other)
    assert Walks(kinds, 256).tries_all((100, 100), 30)
    assert not Walks(kinds, 255).tries_all((100, 100), 30)
    assert Walks(kinds, 255).tries_all((14, 16), 30)
