"""Plans decided by what pieces of lengths hold, against trying everything."""

from __future__ import annotations

import time
from fractions import Fraction

import pytest

from cutplan.model import Job, Work, groups_of
from cutplan.solving.by_pieces import listed, put_together, told_by_pieces
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import PieceSets, whole_pieces
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, covers, total_cost
from cutplan.solving.whole_numbers import instance_of
from cutplan.units import CURRENCY, MM
from tests.builders import job, offer, part
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
    found = listed(generator, relaxation, NEVER, 10**5, clock.struck)
    assert found is not None
    chosen, ended = whole_pieces(instance, found.columns, found.pieces, generator.root_ranges, NEVER, EFFORT, 60)
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
