"""What parts are reckoned to take is never more than any order takes, and no less where both their ends are alike."""

from __future__ import annotations

import random
from collections.abc import Sequence

import pytest

from cutplan.checking.carry_pieces import sources_of
from cutplan.checking.reckoning import reckonings
from cutplan.checking.sources import Source
from cutplan.model import Goal, Job, groups_of
from cutplan.units import kerf_along
from tests import brute_force
from tests.builders import job, mm, offcut, offer, part
from tests.effort import seeds
from tests.test_laying import ENDS


def some_parts(seed: int, ends: Sequence[tuple[float, float]]) -> tuple[Job, list[int]]:
    """Parts that always fit, and how many of each lie in a bar."""
    draw = random.Random(seed)
    parts = [part(f"M{i}", 3, draw.randint(100, 200), mitres=draw.choice(ends)) for i in range(3)]
    counts = [draw.randint(0, 2) for _ in parts]
    counts[draw.randrange(3)] += 1
    kerf = draw.choice(["0", "2.5", "3.175"])
    made = job(parts, [offer("A", 3000, 10)], [offcut("R", 3000, 4)], kerf=kerf, end_trim=10,
               share_mitres=False)  # fmt: skip
    return made, counts


def truth(made: Job, counts: list[int], source: Source) -> tuple[int, int, int]:
    """By all orders: the least taken, the most left over, and the fewest strokes."""
    group = groups_of(made)[0]
    rules = brute_force.rules_of(made, group)
    stock = next(stock for stock in brute_force.stocks_of(made, group) if stock.name == source.name)
    lays = brute_force.lays_of(group.parts, counts, stock, rules)
    return min(x.end for x in lays) - stock.start_trim, max(x.left for x in lays), min(x.strokes for x in lays)


def reckoned(made: Job, counts: list[int], source: Source) -> list[tuple[int, int, int]]:
    """The same by every way to reckon."""
    group = groups_of(made)[0]
    held = {i for i, n in enumerate(counts) if n}
    found = []
    for way in reckonings(group.parts, made.workshop.saw.kerf):
        seen = [one for one in way if held <= one.places]
        assert seen, "every set falls under one"
        weight = [sum(n * w for n, w in zip(counts, one.weights, strict=True)) for one in seen]
        found.append(
            (
                min(w - one.spare for w, one in zip(weight, seen, strict=True)),
                max(one.open_length(source) - w for w, one in zip(weight, seen, strict=True)),
                min(
                    sum(n * s for n, s in zip(counts, one.strokes, strict=True))
                    + one.least[source.start_trim > 0, source.far_trim == 0]
                    for one in seen
                ),
            )
        )
    return found


@pytest.mark.parametrize("seed", seeds(120))
def test_no_order_takes_less_leaves_more_or_needs_fewer_strokes(seed: int) -> None:
    made, counts = some_parts(seed, ENDS)
    for source in sources_of(made, groups_of(made)[0], Goal.MONEY).values():
        least, most_left, fewest = truth(made, counts, source)
        for taken, left, strokes in reckoned(made, counts, source):
            assert taken <= least
            assert left >= most_left
            assert strokes <= fewest


@pytest.mark.parametrize("ends", [[(45, 45), (0, 0)], [(22.5, 22.5), (45, 45), (0, 0)], [(45, 0)], [(0, 45)]], ids=str)
def test_it_is_exact_where_ends_are_alike_or_all_parts_are(ends: Sequence[tuple[float, float]]) -> None:
    """Nothing ends flush here; from a sawn START the far end may, which is reckoned with."""
    for seed in range(30):
        made, counts = some_parts(seed, ends)
        bought = next(iter(sources_of(made, groups_of(made)[0], Goal.MONEY).values()))
        least, most_left, fewest = truth(made, counts, bought)
        ways = reckoned(made, counts, bought)
        assert max(taken for taken, _, _ in ways) == least, seed
        assert min(left for _, left, _ in ways) == most_left, seed
        assert max(strokes for _, _, strokes in ways) == fewest, seed


def test_square_parts_take_a_kerf_each_less_one() -> None:
    """Two of 100 with kerfs of 2.5: 205 less the last kerf; a stroke each and one that squares START."""
    made = job([part("P", 2, 100)], [offer("A", 1000, 10)], kerf="2.5", end_trim=10)
    ((one,),) = reckonings(groups_of(made)[0].parts, mm("2.5"))
    (source,) = sources_of(made, groups_of(made)[0], Goal.MONEY).values()
    assert (one.weights, one.strokes, one.spare, one.more_left) == ((mm("102.5"),), (1,), mm("2.5"), 0)
    assert (one.room(source), one.open_length(source)) == (mm("982.5"), mm(990))
    assert one.least[True, False] == 1


def test_parts_mitred_at_end_a_alone_take_that_kerf() -> None:
    made = job([part("P", 2, 100, mitres=(45, 0))], [offer("A", 1000, 10)], kerf="2.5")
    by_a, by_b = (way[0] for way in reckonings(groups_of(made)[0].parts, mm("2.5")))
    assert by_a.weights == (mm(100) + kerf_along(mm("2.5"), 45_000_000),)
    assert by_b.weights == (mm("102.5"),)
