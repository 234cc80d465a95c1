"""Plans decided by what pieces of lengths hold, against trying everything."""

from __future__ import annotations

import random
import time
from dataclasses import replace
from fractions import Fraction
from itertools import permutations

import pytest

from cutplan.model import Job, Status, Work, groups_of
from cutplan.solving.by_pieces import listed, put_together, told_by_pieces
from cutplan.solving.clock import Clock
from cutplan.solving.closing import NodeCloser
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import PieceSets, whole_pieces
from cutplan.solving.nodes import Bounder
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, covers, total_cost
from cutplan.solving.tree import TreeSearch
from cutplan.solving.whole_numbers import instance_of
from cutplan.units import CURRENCY, MM
from tests.builders import job, offcut, offer, part
from tests.carry_optimum import Bench, Yard, least
from tests.effort import seeds
from tests.test_carried import drawn, made_of, yard

NEVER = 10**9
EFFORT = 4.0


def generator_of(made: Job, clock: Clock) -> ColumnGenerator:
    (group,) = groups_of(made)
    instance = instance_of(group, made.workshop, group.offers, Parameters())
    return ColumnGenerator(instance, NEVER, clock, Parameters())


FREE_CUTS = 257
"""A job whose best plan has a length in three pieces where two would do, and pays for no cut."""


@pytest.mark.parametrize("seed", sorted({*seeds(300), FREE_CUTS}))
def test_what_the_program_finds_costs_what_trying_everything_does(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    clock = Clock(time.monotonic() + 60)
    generator = generator_of(made_of(parts, terms, bench), clock)
    instance = generator.instance
    if not told_by_pieces(generator):
        assert not any(source.carrying for source in instance.sources)
        return
    relaxation = generator.relax(generator.root_ranges, instance.demand, float("inf"), 400)
    assert relaxation is not None
    ranges = generator.root_ranges
    found = listed(generator, relaxation, ranges, NEVER, 10**5, clock.struck)
    assert found is not None
    chosen, ended = whole_pieces(instance, found.columns, found.pieces, ranges, 0, NEVER, EFFORT, 60)
    true = least(parts, terms, bench)
    if chosen is None or not found.all_of_use:
        assert true is None or not found.all_of_use
        return
    assert ended
    assert true is not None
    columns, lengths = chosen
    relaxed = sum(c.cost * n for c, n in columns) + sum(some.price * bars for some, bars, _ in lengths)
    assert Fraction(relaxed, CURRENCY) <= true
    made = put_together(instance, lengths)
    plan = [*(PatternUse(column.source, column.pattern, n) for column, n in columns), *(made or ())]
    if made is not None and covers(instance, plan):
        assert Fraction(total_cost(instance, plan), CURRENCY) == true


def decided(
    parts: list[int], terms: Yard, bench: Bench, parameters: Parameters | None = None, *, thorough: bool = False
) -> tuple[bool, Fraction | None]:
    """Is a whole job decided by what pieces hold, and what does the plan found cost?"""
    generator = generator_of(made_of(parts, terms, bench), Clock(time.monotonic() + 60))
    incumbent = Incumbent(generator.instance)
    if not told_by_pieces(generator):
        return False, None
    node = Bounder(generator, incumbent, Parameters(), generator.unit).bounded(generator.root_ranges)
    closer = NodeCloser(generator, incumbent, parameters or Parameters())
    while not incumbent.fathoms(node.next):
        looked = closer.decide_by_pieces(node, thorough=thorough)
        assert looked.next > node.next
        node = looked
    return node.sure, None if incumbent.plan is None else Fraction(incumbent.cost, CURRENCY)


LITTLE = Parameters(pieces_few=10, pieces_widened=2, pieces_listed=40)
"""Lists of which most are too long, so that only what costs least by the duals is in them."""

MISSED = (57, 75, 116)
"""Jobs whose best plan is not in such lists."""


@pytest.mark.parametrize("parameters", [Parameters(), LITTLE], ids=["all", "little"])
@pytest.mark.parametrize("thorough", [False, True])
@pytest.mark.parametrize("seed", sorted({*seeds(300), *MISSED}))
def test_a_node_is_decided_only_with_its_cheapest_plan_at_hand(
    seed: int, thorough: bool, parameters: Parameters
) -> None:
    job_drawn = drawn(seed)
    done, cost = decided(*job_drawn, parameters, thorough=thorough)
    assert not done or cost == least(*job_drawn)


@pytest.mark.parametrize("seed", seeds(100))
def test_lists_are_of_lengths_that_there_may_be(seed: int) -> None:
    generator = generator_of(made_of(*drawn(seed)), Clock(time.monotonic() + 60))
    instance = generator.instance
    relaxation = generator.relax(generator.root_ranges, instance.demand, float("inf"), 400)
    assert relaxation is not None
    everything = listed(generator, relaxation, generator.root_ranges, NEVER, 10**5, lambda: False)
    assert everything is not None
    for index in range(len(instance.sources)):
        ranges = tuple((0, 0) if place == index else most for place, most in enumerate(generator.root_ranges))
        without = listed(generator, relaxation, ranges, NEVER, 10**5, lambda: False)
        assert without is not None
        assert without.pieces == tuple(some for some in everything.pieces if some.source != index)
        assert without.columns == tuple(column for column in everything.columns if column.source != index)


@pytest.mark.parametrize("charge", [0, 2])
@pytest.mark.parametrize("parts", [[3993] * 3, [3993] * 3 + [500], [3993, 3992, 3991, 1000, 2000]])
def test_a_piece_that_only_fits_between_two_cuts_is_one_of_a_length(parts: list[int], charge: int) -> None:
    """A mill end loses 10 mm, an end that the merchant cut nothing: two of three pieces have room for 3990 mm."""
    terms = Yard(((12000, 120),), 4000, charge=charge, squared=False), Bench(trim=10)
    done, cost = decided(parts, *terms)
    assert not done or cost == least(parts, *terms)


def paired(fills: list[int], room: int) -> bool:
    """Does the program find a way for pieces of such fills to be those of lengths cut in two? [mm]"""
    made = made_of(fills, Yard(((6000, 60),), 4000), Bench())
    instance = generator_of(made, Clock(NEVER)).instance
    lengths = PieceSets(0, 2, room * MM, 60, tuple(instance.single(i) for i in range(len(instance.pieces))))
    bars = len(fills) // 2
    chosen, ended = whole_pieces(instance, [], [lengths], [(bars, bars)], 0, NEVER, EFFORT, 60)
    assert ended
    return chosen is not None


def test_pieces_of_lengths_cut_in_two_make_pairs() -> None:
    """On 6 m: beside 4 m twice there is room for 2 m twice, and only one piece is as short."""
    assert paired([4000, 1000, 3000, 3000], 6000)
    assert not paired([4000, 4000, 2500, 1000], 6000)
    # Longer ones than half a length stand alone.
    assert not paired([3500, 3500], 6000)


@pytest.mark.parametrize("seed", seeds(300))
def test_pieces_make_pairs_where_some_way_pairs_all(seed: int) -> None:
    draw = random.Random(seed)
    room, fills = 5000, [500 * draw.randint(1, 8) for _ in range(2 * draw.randint(1, 4))]
    pairs = (list(zip(order[::2], order[1::2], strict=True)) for order in permutations(fills))
    assert paired(fills, room) == any(all(a + b <= room for a, b in some) for some in pairs)


def test_what_is_known_to_cost_more_is_not_looked_for() -> None:
    """Pieces of 4 and 2 m twice over fill two lengths of 6 m, which cost 120; three are looked for from 121 on."""
    instance = small()
    (source,) = instance.sources
    lengths = PieceSets(0, 2, source.room, source.price, ((0, 0, 0, 0), *map(instance.single, range(4))))
    for least_known, bars in ((0, 2), (2 * source.price, 2), (2 * source.price + 1, 3)):
        chosen, ended = whole_pieces(instance, [], [lengths], [(0, 9)], least_known, NEVER, EFFORT, 60)
        assert ended
        assert chosen is not None
        assert [number for _, number, _ in chosen[1]] == [bars]


ALONE = Parameters(root_dives=0, dives=0, root_effort=0.0, last_effort=0.0, listed=0, listed_first=0, divided=0)
"""Nothing but what pieces hold finds or decides more than the first plans and the bound do."""


@pytest.mark.parametrize("seed", [127, 171, 187, 296])
def test_a_bar_that_can_hold_no_part_keeps_nobody_from_looking_at_pieces(seed: int) -> None:
    parts, terms, bench = drawn(seed)
    made = replace(made_of(parts, terms, bench), offcuts=(offcut("R1", 60, "1"),))
    (group,) = groups_of(made)
    instance = instance_of(group, made.workshop, group.offers, ALONE)
    outcome = TreeSearch(instance, ALONE, Clock(time.monotonic() + 60)).run()
    assert outcome.status is Status.BY_SEARCH
    assert Fraction(outcome.cost, CURRENCY) == least(parts, terms, bench)


PAIRED = [4000, 4000, 2500, 2500, 2500, 2500]
"""In all 18 m, as three lengths of 6 m hold; but beside 4 m no 2.5 m fits."""


def test_what_pieces_hold_together_is_not_enough_for_lengths_cut_in_two() -> None:
    terms = Yard(((6000, 60),), 4400), Bench()
    done, cost = decided(PAIRED, *terms)
    assert (done, cost) == (True, least(PAIRED, *terms))


def small() -> Instance:
    """Lengths of 6 m in two pieces of 4 m at most, nothing lost."""
    return generator_of(made_of([1000, 2000, 3000, 4000], Yard(((6000, 60),), 4000), Bench()), Clock(NEVER)).instance


def test_pieces_are_exchanged_until_no_length_is_too_full() -> None:
    # Dealt out with the fullest first, 4 + 2 and 3 + 2 m are within 6 m, but 3 + 3 m not within 5 m:
    # a 3 and a 2 change places.
    instance = small()
    (source,) = instance.sources
    one, two, three, four = (instance.single(i) for i in range(4))
    lengths = PieceSets(0, 2, source.room, source.price, (one, two, three, four))
    short = lengths._replace(room=5000 * MM)
    made = put_together(instance, [(lengths, 2, [four, three, two, two]), (short, 1, [three, three])])
    assert made is not None
    assert sorted(instance.fill(bar.pattern) // MM for bar in made) == [5000, 6000, 6000]


def test_pieces_that_fit_no_length_are_not_put_together() -> None:
    instance = small()
    (source,) = instance.sources
    three, four = instance.single(2), instance.single(3)
    assert put_together(instance, [(PieceSets(0, 2, source.room, 1, ()), 1, [four, three])]) is None


def test_where_what_is_cut_has_a_price_pieces_do_not_tell() -> None:
    offers = [offer("P1", 6000, 60)]
    told = job([part("A", 2, 2500)], offers, longest_carry="4000", merchants=[yard()])
    priced = job([part("A", 2, 2500)], offers, longest_carry="4000", merchants=[yard()], work=Work(per_cut=CURRENCY))
    assert told_by_pieces(generator_of(told, Clock(NEVER)))
    assert not told_by_pieces(generator_of(priced, Clock(NEVER)))
