"""The nodes of a search: in which order they are followed, and that none is lost on the way."""

from __future__ import annotations

from dataclasses import replace

from cutplan.solving.frontier import Frontier
from cutplan.solving.nodes import Node, by_length
from cutplan.solving.parameters import Parameters
from tests import builders
from tests.solver_instances import instance_for


def node(bound: int) -> Node:
    one = by_length(
        instance_for(builders.job([builders.part("A", 6, 300)], [builders.offer("P", 1000, 10)])), 1_000, Parameters()
    )
    return replace(one, bound=bound)


def test_the_least_bound_is_followed_first_and_of_equals_the_newest() -> None:
    seven, nine, other_seven, three = node(7), node(9), node(7), node(3)
    frontier = Frontier(1).wait([nine, seven]).wait([other_seven]).wait([three])
    assert [one.bound for one in frontier.open] == [3, 7, 7, 9]
    assert frontier.open[1] is other_seven
    assert frontier.open[2] is seven


def test_nodes_that_cover_one_stand_in_for_it_wherever_it_was() -> None:
    aside, waiting, begun = node(1), node(2), node(3)
    frontier = Frontier(1, fathomed=(begun,), deferred=(aside,), open=(waiting,))
    left, right = node(5), node(6)
    assert frontier.instead(aside, [left, right]) == Frontier(1, (begun, left, right), (), (waiting,))
    assert frontier.instead(waiting, [left]) == Frontier(1, (begun, left), (aside,), ())
    assert frontier.instead(aside, [left, right]).all() == (begun, left, right, waiting)


def test_nodes_whose_plans_may_have_been_missed_are_opened_again() -> None:
    sure, missed, closed = node(4), replace(node(5), reach=8, sure=False), replace(node(9), reach=9, sure=False)
    frontier = Frontier(1, deferred=(sure, missed, closed)).again(lambda one: one.bound >= 9)
    assert frontier.deferred == (sure, closed)
    assert frontier.open == (replace(missed, reach=-1, sure=True),)
