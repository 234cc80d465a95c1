"""What parts that share cuts are reckoned to take: held to trying every order, turn and roll."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking.carry_pieces import sources_of
from cutplan.checking.nested import Nesting, SetState, nesting_of
from cutplan.checking.sources import Source
from cutplan.checking.trails import NO_PARTS
from cutplan.model import Goal, Job, Lean, Saw, groups_of
from cutplan.units import ceil_div
from tests import brute_force
from tests.builders import job, mm, offcut, offer, part, part_of
from tests.effort import seeds
from tests.turned_solids import SECTIONS, in_some_form

Ends = Sequence[tuple[float, float]]

ONE_ANGLE: Ends = [(45, 45), (45, 0), (0, 45), (0, 0)]
TWO_ANGLES: Ends = [(45, 45), (22.5, 22.5), (45, 22.5), (45, 0), (0, 22.5), (0, 0)]


def some_parts(seed: int, ends: Ends, *, most: int = 4, handed: bool = False) -> tuple[Job, list[int]]:
    """Parts that always fit, and how many of each lie in a bar; with ``handed`` of an angle, a channel or a tee."""
    draw, form = random.Random(seed), random.Random(seed)
    name, depth = form.choice(SECTIONS)
    of: dict[str, Any] = {"section": part_of(name).section} if handed else {}
    parts = []
    for i in range(3):
        mitres = draw.choice(ends)
        lean = draw.choice(list(Lean)) if all(mitres) else Lean.OPPOSITE
        alone = draw.random() < 0.15
        parts.append(
            part(
                f"M{i}",
                3,
                draw.randint(100, 200) + 100 * handed,
                mitres=mitres,
                lean=lean,
                share_mitres=not alone,
                **of,
            )
        )
        if handed:
            parts[-1] = in_some_form(parts[-1], depth, form)
    counts = [0, 0, 0]
    for _ in range(draw.randint(1, most)):
        counts[draw.randrange(3)] += 1
    kerf = draw.choice(["0", "2.5", "3.175"])
    made = job(
        parts, [offer("A", 3000, 10, **of)], [offcut("R", 3000, 4, **of)], kerf=kerf, end_trim=10, share_mitres=True
    )
    return made, counts


def truth(made: Job, counts: list[int], source: Source) -> tuple[int, int, int]:
    """By all orders: the least taken, the most left over, and the fewest strokes."""
    group = groups_of(made)[0]
    rules = brute_force.rules_of(made, group)
    stock = next(stock for stock in brute_force.stocks_of(made, group) if stock.name == source.name)
    lays = brute_force.lays_of(group.parts, counts, stock, rules)
    return min(x.end for x in lays) - stock.start_trim, max(x.left for x in lays), min(x.strokes for x in lays)


def state_of(nesting: Nesting, counts: list[int]) -> SetState:
    state: SetState = NO_PARTS
    for ends, n in zip(nesting.ends, counts, strict=True):
        state = nesting.after(state, ends, n)
    return state


def reckoned(made: Job, nesting: Nesting, counts: list[int], source: Source) -> tuple[int, int, int]:
    parts = groups_of(made)[0].parts
    by_parts = nesting.reckoning(parts)
    taken = sum(n * weight for n, weight in zip(counts, by_parts.weights, strict=True))
    strokes = sum(n * each for n, each in zip(counts, by_parts.strokes, strict=True))
    state = state_of(nesting, counts)
    beyond = nesting.strokes_twice(state, trimmed=source.start_trim > 0, open_end=source.far_trim == 0)
    return (
        ceil_div(taken + nesting.beyond_twice(state), 2),
        (2 * (source.length - source.start_trim) - taken - nesting.left_twice(state)) // 2,
        strokes + ceil_div(beyond, 2),
    )


@pytest.mark.parametrize("handed", [False, True], ids=["of no hand", "handed"])
@pytest.mark.parametrize("ends", [ONE_ANGLE, TWO_ANGLES], ids=["one angle", "two angles"])
@pytest.mark.parametrize("seed", seeds(100))
def test_no_order_takes_less_leaves_more_or_needs_fewer_strokes(seed: int, ends: Ends, handed: bool) -> None:
    made, counts = some_parts(seed, ends, handed=handed)
    nesting = nesting_of(groups_of(made)[0].parts, made.workshop.saw)
    if nesting is None:
        return
    for source in sources_of(made, groups_of(made)[0], Goal.MONEY).values():
        least, most_left, fewest = truth(made, counts, source)
        taken, left, strokes = reckoned(made, nesting, counts, source)
        assert taken <= least
        assert left >= most_left
        assert strokes <= fewest


@pytest.mark.parametrize("seed", seeds(100))
def test_with_one_angle_it_is_what_the_best_order_takes(seed: int) -> None:
    made, counts = some_parts(seed, ONE_ANGLE, most=5)
    made = job([part for part in made.parts if part.share_mitres] or [part("M", 3, 100, mitres=(45, 45))],
               made.offers, kerf=2.5, end_trim=10, share_mitres=True)  # fmt: skip
    counts = counts[: len(made.parts)]
    nesting = nesting_of(made.parts, made.workshop.saw)
    if nesting is None or not any(counts):
        return
    (source,) = sources_of(made, groups_of(made)[0], Goal.MONEY).values()
    assert reckoned(made, nesting, counts, source)[::2] == truth(made, counts, source)[::2]


@pytest.mark.parametrize(
    ("why", "ends", "nest"),
    [
        ("square parts alone", [(0, 0)], False),
        ("one end of a class: turned end for end it may spare a stroke", [(45, 0)], True),
        ("two angles, one end each: turned, the wider kerf comes last", [(45, 22.5)], True),
        ("both ends of one part: but for one piece there is no neighbour", [(45, 45)], True),
        ("one end each of two parts", [(45, 0), (0, 45)], True),
        ("44.9 beside 45 shares nothing and may be turned", [(45, 0), (0, 44.9)], True),
    ],
)
def test_what_can_share_or_turn_at_all(why: str, ends: Ends, nest: bool) -> None:
    parts = [part(f"P{n}", 1, 300, mitres=mitres) for n, mitres in enumerate(ends)]
    assert (nesting_of(parts, Saw(share_mitres=True, kerf=mm("2.5"))) is not None) is nest, why
    assert nesting_of(parts, Saw(share_mitres=False)) is None


def test_a_blade_without_width_sees_no_difference_between_two_mitres() -> None:
    one = [part("P", 1, 300, mitres=(45, 22.5))]
    assert nesting_of(one, Saw(share_mitres=True, kerf=0)) is None
    assert nesting_of(one, Saw(share_mitres=True, kerf=mm("2.5"))) is not None


def test_the_same_angle_in_two_planes_are_two_classes() -> None:
    tube = part_of("RHS 60x40x3").section
    flat = [part("P", 2, 300, section=tube, mitres=(45, 45))]
    both = [*flat, replace(flat[0], mark="Q", depth=mm(40))]
    one, two = (nesting_of(parts, Saw(share_mitres=True)) for parts in (flat, both))
    assert one is not None
    assert two is not None
    assert [each.saved for each in one.classes] == [0, mm(60)]
    assert [each.saved for each in two.classes] == [0, mm(40), mm(60)]


def test_very_many_angles_are_not_followed() -> None:
    parts = [part(f"P{n}", 2, 600, mitres=(10 + n, 40 + n)) for n in range(8)]
    nesting = nesting_of(parts, Saw(share_mitres=True))
    assert nesting is not None
    assert not nesting.followed
    assert nesting.states(NO_PARTS, nesting.ends) == [NO_PARTS]
    least = min(each.saved - each.kerf for each in nesting.classes)
    assert nesting.beyond_twice(NO_PARTS) == 2 * least
