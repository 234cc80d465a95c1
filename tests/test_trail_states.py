"""What sets take beyond their parts by state, and the strokes of a bar, against every order and turn."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache
from itertools import combinations_with_replacement, product

import pytest

from cutplan.checking import trails
from cutplan.checking.nested import Nesting
from cutplan.solving.patterns.trail_states import Edge, TrailStates
from cutplan.solving.patterns.vertices import Vertex
from cutplan.units import DEGREE, kerf_along, mitre_saving
from tests.builders import mm
from tests.effort import seeds


def some_vertices(draw: random.Random, number: int, *, own: bool = False) -> tuple[Vertex, ...]:
    """A square end and mitres of other kerfs and savings, one of which is shared with nobody where ``own``."""
    kerf = draw.choice([0, 4, 10])
    found = {Vertex(kerf, False)}
    while len(found) < number:
        wider = kerf + draw.choice([0, 2, 4, 8])
        found.add(Vertex(wider, True, (draw.randint(1, 9), 0, draw.choice([0, 2, 6, 40, 80]))))
    if own:
        found.add(Vertex(kerf + 6, True))
    return tuple(sorted(found))


def least(
    vertices: Sequence[Vertex],
    edges: Sequence[Edge],
    *,
    squared: bool = False,
    open_end: bool = False,
    begun: int | None = None,
) -> tuple[int, int]:
    """What lies between neighbours and what strokes a bar takes, each at least, by trying every order and turn.

    With ``begun`` the first end is of that vertex, and there already.
    """

    @cache
    def onward(last: int, left: tuple[Edge, ...]) -> tuple[int, int]:
        if not left:
            return 0, int(vertices[last].mitred or not open_end)
        found = []
        for k, edge in enumerate(left):
            rest = left[:k] + left[k + 1 :]
            for near, far in {edge, edge[::-1]}:
                between, strokes = onward(far, rest)
                one, other = vertices[last], vertices[near]
                found.append((between + one.gap(other), strokes + one.strokes(other)))
        return min(between for between, _ in found), min(strokes for _, strokes in found)

    found = []
    for k, edge in enumerate(edges):
        for near, far in {edge, edge[::-1]}:
            if begun in (None, near):
                between, strokes = onward(far, (*edges[:k], *edges[k + 1 :]))
                found.append((between, strokes + int(begun is None and (squared or vertices[near].mitred))))
    return min(between for between, _ in found), min(strokes for _, strokes in found)


@pytest.mark.parametrize("seed", seeds(400))
def test_what_a_state_takes_is_what_the_best_order_does(seed: int) -> None:
    draw = random.Random(seed)
    vertices = some_vertices(draw, draw.randint(1, 4))
    places = range(len(vertices))
    edges = [(draw.choice(places), draw.choice(places)) for _ in range(draw.randint(1, 6))]
    states = TrailStates(vertices, tuple(sorted(set(edges))))
    if not states.told_apart:
        return
    state = 0
    for edge in edges:
        state = states.after(state, edge, 1)
    counted = sum(vertices[end].meeting for edge in edges for end in edge)
    squared, open_end = draw.random() < 0.5, draw.random() < 0.5
    between, strokes = least(vertices, edges, squared=squared, open_end=open_end)
    assert counted + states.halves[state] == 2 * between
    assert len(edges) + states.strokes(squared=squared, open_end=open_end)[state] <= strokes
    for begun, vertex in enumerate(vertices):
        at_least, at_most = (states.halves_from(vertex, at_most=most)[state] for most in (False, True))
        if not any(begun in edge for edge in edges):
            assert at_least is at_most is None
            continue
        between, strokes = least(vertices, edges, open_end=open_end, begun=begun)
        assert at_least is not None
        assert counted + at_least <= 2 * between
        assert at_most is None or 2 * between <= counted + at_most
        if len(vertices) <= 2:
            assert at_least == at_most, "with one mitre it is known"
        assert len(edges) + states.strokes_from(vertex, open_end=open_end)[state] <= strokes


@pytest.mark.parametrize("seed", seeds(60))
def test_the_checker_sees_every_state_take_as_much(seed: int) -> None:
    """Kerfs and savings as saws and sections have them: a bound that is stated is one that the checker reaches."""
    draw = random.Random(seed)
    mitres = [
        Vertex(kerf_along(mm("2.5"), angle), True, (angle, depth, mitre_saving(depth, angle)))
        for angle in draw.sample([15 * DEGREE, 22_500_000, 30 * DEGREE, 45 * DEGREE, 60 * DEGREE], draw.randint(1, 3))
        for depth in (mm(draw.choice([8, 12, 25, 40, 50, 100])),)
    ]
    vertices = tuple(sorted([Vertex(mm("2.5"), False), *mitres]))
    edges = tuple(combinations_with_replacement(range(len(vertices)), 2))
    states = TrailStates(vertices, edges)
    assert states.told_apart
    classes = tuple(trails.EndClass(each.kerf, each.saved, each.mitred) for each in vertices)
    nesting = Nesting(classes=classes, ends=edges, followed=True)
    for _ in range(40):
        state, seen = 0, trails.NO_PARTS
        for edge in draw.choices(edges, k=draw.randint(1, 5)):
            state, seen = states.after(state, edge, 1), trails.joined(seen, *edge, 1)
        assert states.halves[state] == trails.beyond_twice(seen, classes)
        for squared, open_end in product((False, True), repeat=2):
            twice = nesting.strokes_twice(seen, trimmed=squared, open_end=open_end)
            assert 2 * states.strokes(squared=squared, open_end=open_end)[state] == twice
        for place, vertex in enumerate(vertices):
            assert states.halves_from(vertex, at_most=False)[state] == trails.begun_twice(
                seen, classes, frozenset({place})
            )


@pytest.mark.parametrize("seed", seeds(60))
def test_a_mitre_that_shares_nothing_is_never_counted_with_more_than_it_takes(seed: int) -> None:
    draw = random.Random(seed)
    vertices = some_vertices(draw, draw.randint(1, 3), own=True)
    places = range(len(vertices))
    edges = [(draw.choice(places), draw.choice(places)) for _ in range(draw.randint(1, 5))]
    states = TrailStates(vertices, tuple(sorted(set(edges))))
    state = 0
    for edge in edges:
        state = states.after(state, edge, 1)
    counted = sum(vertices[end].meeting for edge in edges for end in edge)
    for squared, open_end in product((False, True), repeat=2):
        between, strokes = least(vertices, edges, squared=squared, open_end=open_end)
        assert counted + states.halves[state] == 2 * between
        assert len(edges) + states.strokes(squared=squared, open_end=open_end)[state] <= strokes


SQUARE, MITRE = Vertex(25, False), Vertex(36, True, (45, 0, 400))


@pytest.mark.parametrize(
    ("edges", "beyond"),
    [
        ([(0, 0)], -25),
        ([(1, 1), (1, 1)], 400 - 36),
        ([(0, 0), (1, 1)], 400 - 25),
        ([(0, 1)], (400 - 36 - 25) / 2),
        ([(0, 1), (0, 1)], -25),
        ([(0, 1), (1, 1), (0, 0)], (400 - 36 - 25) / 2),
    ],
)
def test_one_mitre_has_six_states(edges: list[Edge], beyond: float) -> None:
    states = TrailStates((SQUARE, MITRE), ((0, 0), (0, 1), (1, 1)))
    assert len(states.states) == 6
    state = 0
    for edge in edges:
        state = states.after(state, edge, 1)
    assert states.halves[state] == 2 * beyond


def test_copies_pair_off() -> None:
    states = TrailStates((SQUARE, MITRE), ((0, 0), (0, 1), (1, 1)))
    assert states.after(0, (0, 1), 4) == states.after(states.after(0, (0, 1), 1), (0, 1), 3)
    assert states.after(0, (0, 1), 3) == states.after(0, (0, 1), 1)


def test_beyond_four_kinds_of_ends_all_sets_count_as_the_best() -> None:
    vertices = tuple(Vertex(20 + n, n > 0, (n, 0, 100 * n) if n else ()) for n in range(5))
    states = TrailStates(vertices, tuple((n, n) for n in range(5)))
    assert not states.told_apart
    assert states.after(0, (3, 3), 1) == 0
    assert states.halves == (-40,)
