"""Bars that the edges of a graph fill: where the bound of the LP, rounded up, is one bar too few."""

from __future__ import annotations

from collections import Counter

import pytest

from cutplan.checking import check
from cutplan.model import Job, Status
from cutplan.planning import plan_job
from cutplan.solving import Parameters
from cutplan.units import CURRENCY
from tests.effort import some
from tests.published.graphs import PETERSEN, PRISM, TIETZE, Edges, matching_job

ALL = [PETERSEN, PRISM, TIETZE]


@pytest.mark.parametrize("edges", ALL, ids=["Petersen", "prism", "Tietze"])
def test_every_vertex_has_three_edges(edges: Edges) -> None:
    assert set(Counter(v for edge in edges for v in edge).values()) == {3}
    assert len({frozenset(edge) for edge in edges}) == len(edges)


def least_bars(job: Job, parameters: Parameters) -> int:
    """Bars of a plan that the leaves of its proof alone show to be the cheapest."""
    plan = plan_job(job, parameters=parameters)
    assert check(job, plan) == ()
    assert plan.status is Status.RECHECKED
    return plan.cost // CURRENCY


PARAMETERS = [Parameters(), Parameters(listed_first=0, listed=0)]


@pytest.mark.parametrize("parameters", some(PARAMETERS, PARAMETERS[0]), ids=["at large", "without listing"])
def test_four_bars_where_three_colours_do_not_suffice(parameters: Parameters) -> None:
    assert least_bars(matching_job(PETERSEN), parameters) == 4
    assert least_bars(matching_job(TIETZE), parameters) == 4


def test_bar_counts_alone_show_three() -> None:
    plan = plan_job(
        matching_job(PETERSEN),
        parameters=Parameters(divided_first=0, divided_full=0, divided=0, listed_first=0, listed=0),
    )
    assert plan.status is Status.NOT_PROVEN
    assert (plan.cost, plan.bound) == (4 * CURRENCY, 3 * CURRENCY)


def test_three_bars_where_three_colours_suffice() -> None:
    assert least_bars(matching_job(PRISM), Parameters()) == 3


def test_six_matchings_hold_every_edge_of_the_petersen_graph_twice() -> None:
    assert least_bars(matching_job(PETERSEN, copies=2), Parameters()) == 6
