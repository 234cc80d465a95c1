"""By what bars are told apart, and that the nodes this makes leave out no plan."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest

from cutplan.checking.shares import case_failure
from cutplan.model import Leaf, Split, groups_of
from cutplan.solving.blocks import Partition
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator, unsolved
from cutplan.solving.component_branching import Candidate, Choice, Way, candidate, children, divided, with_shortest
from cutplan.solving.instance import Instance
from cutplan.solving.nodes import Node, Splits
from cutplan.solving.parameters import Parameters
from cutplan.solving.solver_pieces import Pattern
from cutplan.solving.whole_numbers import instance_of
from tests import builders
from tests.effort import seeds

# A, B and C are wanted four times each; P holds four parts, Q six.
PARTS = [builders.part("A", 4, 300), builders.part("B", 4, 200), builders.part("C", 4, 100)]
JOB = builders.job(PARTS, [builders.offer("P", 1000, 9), builders.offer("Q", 1500, 13)])
GROUP = groups_of(JOB)[0]

Uses = Sequence[tuple[int, Pattern, float]]


def generator() -> ColumnGenerator:
    return ColumnGenerator(
        instance_of(GROUP, JOB.workshop, GROUP.offers, Parameters()), 10**9, Clock(deadline=1e9), Parameters()
    )


def chosen(uses: Uses, splits: Splits = (), choice: Choice = candidate) -> Candidate | None:
    """The candidate where an LP solution uses so much of these patterns and nothing of others."""
    made = generator()
    for source, pattern, _ in uses:
        made.add(source, pattern)
    wanted = {(source, pattern): use for source, pattern, use in uses}
    found = tuple(wanted.get((column.source, column.pattern), 0.0) for column in made.master.columns)
    return choice(made, replace(unsolved(made.instance).solution, uses=found), splits)


def test_the_most_broken_number_of_bars_that_hold_a_part() -> None:
    """One and a half with A, two and a quarter with B."""
    found = chosen([(0, (1, 1, 0), 1.5), (0, (0, 1, 0), 0.75)])
    assert found == Candidate(block=0, held=((0, 1),), number=1.5)


def test_bars_in_whole_numbers_count_too() -> None:
    """One whole bar and half a one hold an A."""
    assert chosen([(0, (1, 1, 0), 1.0), (0, (1, 0, 1), 0.5)]) == Candidate(block=0, held=((0, 1),), number=1.5)


def test_so_many_of_a_part_or_more() -> None:
    """Two bars hold an A, half a bar two of them."""
    assert chosen([(0, (1, 0, 0), 1.5), (0, (2, 0, 0), 0.5)]) == Candidate(block=0, held=((0, 2),), number=0.5)


def test_the_longest_of_what_is_equally_broken() -> None:
    assert chosen([(0, (0, 1, 2), 0.5), (0, (1, 0, 0), 0.5)]) == Candidate(block=0, held=((0, 1),), number=0.5)
    assert chosen([(0, (0, 1, 2), 0.5), (0, (0, 0, 0), 0.0)]) == Candidate(block=0, held=((1, 1),), number=0.5)


def test_two_parts_together_where_each_alone_is_in_whole_numbers() -> None:
    pairs = [(0, (1, 1, 0), 0.5), (0, (1, 0, 1), 0.5), (0, (0, 1, 1), 0.5)]
    assert chosen(pairs) == Candidate(block=0, held=((0, 1), (1, 1)), number=0.5)


def test_every_source_and_share_by_itself() -> None:
    """Half a bar of each source holds an A. Of Q's bars those with a B are a block, and hold all of Q's A."""
    uses = [(0, (1, 0, 0), 0.75), (1, (1, 1, 0), 0.25), (1, (0, 0, 1), 1.0)]
    assert chosen(uses) == Candidate(block=0, held=((0, 1),), number=0.75)
    assert chosen(uses[1:]) == Candidate(block=1, held=((0, 1),), number=0.25)
    split = Split(share=1, part=1, copies=1, low=0, high=4)
    assert chosen(uses[1:], (split,)) == Candidate(block=2, held=((0, 1),), number=0.25)


def test_nothing_to_choose() -> None:
    assert chosen([(0, (1, 1, 0), 1.0), (1, (0, 1, 2), 2.0)]) is None
    assert chosen([]) is None


def test_two_parts_of_which_one_is_the_shortest_of_all_so_told() -> None:
    """C is the shortest: a quarter of a bar has it with A, half a bar with B, and half a bar has A and B."""
    uses = [(0, (1, 0, 1), 0.25), (0, (0, 1, 1), 0.5), (0, (1, 1, 0), 0.5), (0, (1, 0, 0), 0.3), (0, (0, 0, 1), 0.4)]
    assert chosen(uses, choice=with_shortest) == Candidate(block=0, held=((1, 1), (2, 1)), number=0.5)
    whole = [(0, (1, 0, 1), 1.0), (0, (0, 1, 1), 2.0), *uses[2:]]
    assert chosen(whole, choice=with_shortest) == Candidate(block=0, held=((0, 1), (1, 1)), number=0.5)
    assert chosen(whole[:2], choice=with_shortest) is None


def node(bound: int) -> Node:
    return Node((), bound, Leaf(ranges=(), duals=()), unsolved(generator().instance))


def test_bars_are_told_apart_by_what_fathoms_a_node() -> None:
    """Bounds of 10 fathom. What does so comes first at the next node."""
    one, other = (Candidate(block=0, held=((part, 1),), number=0.5) for part in (0, 1))
    bounds = {one: [7, 8], other: [7, 10]}
    asked: list[Candidate] = []

    def made(_: Node, found: Candidate) -> list[Node]:
        asked.append(found)
        return [node(bound) for bound in bounds[found]]

    def children_by(ways: list[Way]) -> list[int]:
        asked.clear()
        return [child.bound for child in divided(node(5), ways, made, lambda child: child.bound >= 10)]

    def by(found: Candidate | None) -> Way:
        return lambda _: found

    first, second, none = by(one), by(other), by(None)
    ways = [none, first, second]
    assert children_by(ways) == bounds[other]
    assert (asked, ways) == ([one, other], [second, none, first])
    assert children_by(ways) == bounds[other]
    assert asked == [other]
    # None fathoms: the first stands, and is not made twice.
    ways = [first, none, by(one)]
    before = list(ways)
    assert children_by(ways) == bounds[one]
    assert (asked, ways) == ([one], before)
    assert children_by([none]) == []


VALUED = builders.job(
    PARTS, [builders.offer("P", 1000, 9), builders.offer("Q", 1500, 13)], keep=300, offcut_value_per_mm=1000
)


def chosen_where_left_overs_have_a_value(uses: Uses, splits: Splits = (), *, by_parts: bool = True) -> Candidate | None:
    """As :func:`chosen`; P keeps a left over of 300 and more, and so does Q."""
    group = groups_of(VALUED)[0]
    instance = instance_of(group, VALUED.workshop, group.offers, Parameters())
    made = ColumnGenerator(instance, 10**9, Clock(deadline=1e9), Parameters())
    for source, pattern, _ in uses:
        made.add(source, pattern)
    wanted = {(source, pattern): use for source, pattern, use in uses}
    found = tuple(wanted.get((column.source, column.pattern), 0.0) for column in made.master.columns)
    return candidate(made, replace(unsolved(made.instance).solution, uses=found), splits, by_parts=by_parts)


def test_bars_whose_left_over_is_kept_come_first() -> None:
    """Of P half a bar with 400 left and one with 700, of Q half a bar with 900; half a bar holds three A."""
    uses = [(0, (2, 0, 0), 0.5), (0, (1, 0, 0), 1.0), (0, (3, 0, 0), 0.5), (1, (2, 0, 0), 0.25), (1, (4, 1, 0), 0.75)]
    assert chosen_where_left_overs_have_a_value(uses) == Candidate(block=0, held=(), number=1.5)
    told: Splits = (Split(share=0, part=0, copies=0, low=2, high=12, kept=True),)
    assert chosen_where_left_overs_have_a_value(uses, told) == Candidate(block=1, held=(), number=0.25)
    told = (*told, Split(share=1, part=0, copies=0, low=0, high=0, kept=True))
    assert chosen_where_left_overs_have_a_value(uses, told) == Candidate(block=0, held=((0, 3),), number=0.5)
    assert chosen_where_left_overs_have_a_value(uses, told, by_parts=False) is None


def test_a_number_of_left_overs_kept_makes_two_nodes() -> None:
    """Twelve parts are on twelve bars at most."""
    few, more = children(generator(), (), Candidate(block=1, held=(), number=1.5))
    assert few == (Split(share=1, part=0, copies=0, low=0, high=1, kept=True),)
    assert more == (Split(share=1, part=0, copies=0, low=2, high=12, kept=True),)


def plans(draw: random.Random, instance: Instance) -> list[tuple[int, Pattern, bool]]:
    """Every part on some bar, whose left over is kept or not, by chance; room is left aside."""
    left = [i for i, piece in enumerate(instance.pieces) for _ in range(piece.demand)]
    draw.shuffle(left)
    bars = []
    while left:
        held = [left.pop() for _ in range(min(len(left), draw.randint(1, 4)))]
        pattern = tuple(held.count(i) for i in range(len(instance.pieces)))
        bars.append((draw.randrange(len(instance.sources)), pattern, draw.random() < 0.4))
    return bars


def meets(instance: Instance, bars: Sequence[tuple[int, Pattern, bool]], splits: Splits) -> bool:
    """Are there as many bars of every block made as the splits say?"""
    ranges = Partition.of(instance, splits).ranges
    return all(
        low <= sum(block.source == source and block.has(pattern, kept=keeps) for source, pattern, keeps in bars) <= high
        for block, (low, high) in ranges.items()
    )


def some_candidate(draw: random.Random, blocks: int) -> Candidate:
    held = tuple((part, draw.randint(1, 4)) for part in draw.sample(range(3), draw.choice([1, 1, 2])))
    return Candidate(block=draw.randrange(blocks), held=held, number=draw.randint(0, 4) + 0.5)


@pytest.mark.parametrize("seed", seeds(60))
def test_the_nodes_of_a_candidate_hold_every_plan_once(seed: int) -> None:
    draw, made = random.Random(seed), generator()
    nodes: list[Splits] = [()]
    for _ in range(3):
        node = nodes.pop(draw.randrange(len(nodes)))
        blocks = Partition.of(made.instance, node).blocks
        chosen = some_candidate(draw, len(blocks))
        if blocks[chosen.block].kept is None and draw.random() < 0.5:
            chosen = replace(chosen, held=())
        nodes += children(made, node, chosen)
    for _ in range(50):
        bars = plans(draw, made.instance)
        assert sum(meets(made.instance, bars, node) for node in nodes) == 1
    leaves = [Leaf(ranges=((0, 12), (0, 12)), duals=(0, 0, 0), splits=node) for node in nodes]
    assert case_failure(GROUP, list(enumerate(leaves, start=1))) is None


def test_more_bars_than_parts_are_no_case() -> None:
    """An LP may cut more than is wanted: four A are on four bars at most."""
    nodes = children(generator(), (), Candidate(block=1, held=((0, 1),), number=4.5))
    assert nodes == [(Split(share=1, part=0, copies=1, low=0, high=4),)]
