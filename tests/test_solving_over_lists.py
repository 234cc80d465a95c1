"""Nodes closed over lists of patterns: what their leaves claim is true, and the checker lists no more than that."""

from __future__ import annotations

import random
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import Status, Work
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.listed_branching import ListedNodes
from cutplan.solving.nodes import Bounder
from cutplan.solving.over_lists import branched_over_list
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from tests import brute_force, builders
from tests.benchmarks.instances import shop_job
from tests.effort import runs, seeds, some
from tests.properties.test_told_apart import some_job
from tests.solver_instances import instance_for

FEW = range(13, 50)
"""Seeds of jobs of which some leave leaves over lists."""


@pytest.mark.parametrize("with_kept", [Parameters().listed_with_kept, 0], ids=["all bars", "without those kept"])
@pytest.mark.parametrize("numbers", some([FEW, *runs(range(2000, 2600), of=50)], FEW))
def test_what_leaves_over_lists_claim_is_true_and_rechecked(numbers: range, with_kept: int) -> None:
    """Small jobs with set-ups, cuts, values and limits on kept left overs, against trying everything."""
    listed = 0
    for seed in numbers:
        job = some_job(seed)
        try:
            plan = plan_job(job, parameters=Parameters(listed_with_kept=with_kept))
        except NoPlan:
            continue
        assert check(job, plan) == (), seed
        if any(leaf.listing for group in plan.groups for leaf in group.proof.leaves):
            listed += 1
            truth = brute_force.least_cost(job)
            assert truth is not None
            assert plan.bound <= truth <= plan.cost, seed
            assert plan.status is not Status.RECHECKED or plan.cost == truth, seed
    assert listed > 0


def test_what_a_list_shows_beside_a_price_for_cuts_is_rechecked() -> None:
    """No bar of four that is of use keeps anything: each costs 20.07, and 0.07 for each part, as in every plan."""
    lengths = {"A": (4, 14), "B": (4, 40), "C": (3, 16), "D": (2, 45), "E": (2, 54)}
    parts = [builders.part(mark, quantity, length) for mark, (quantity, length) in lengths.items()]
    work = Work(per_cut=70_000)
    shop: dict[str, Any] = {"kerf": 5, "end_trim": 5, "keep": 30, "offcut_value_per_mm": 20_000, "work": work}
    job = builders.job(parts, [builders.offer("P", 140, 20)], **shop)
    only_lists = Parameters(listed_first=0, listed=0, finished=0, divided=0, divided_first=0)
    plan = plan_job(job, parameters=only_lists)
    assert any(leaf.listing for leaf in plan.groups[0].proof.leaves)
    assert plan.status is Status.RECHECKED
    assert check(job, plan) == ()
    assert plan.cost == brute_force.least_cost(job)


@pytest.mark.parametrize("seed", seeds(200))
def test_a_cheapest_plan_is_found_over_a_list(seed: int) -> None:
    """Branching alone comes from a plan of one bar for each part to the cheapest there is, and shows that it is."""
    draw = random.Random(seed)
    parts = [
        builders.part(mark, draw.randint(1, 3), length)
        for mark, length in zip("ABCD", draw.sample(range(150, 600, 7), 4), strict=True)
    ]
    offers = [builders.offer("P", 1000, 10)]
    job = builders.job(parts, offers, keep=200, offcut_value_per_mm=2000, most_kept=draw.choice([None, 1]))
    instance = instance_for(job)
    incumbent = Incumbent(instance)
    incumbent.offer([PatternUse(0, instance.single(i), piece.demand) for i, piece in enumerate(instance.pieces)])
    generator = ColumnGenerator(instance, incumbent.cutoff(), Clock(deadline=1e9), Parameters())
    node = Bounder(generator, incumbent, Parameters(), generator.unit).bounded(generator.root_ranges)
    leaves = branched_over_list(generator, node, incumbent, generator.unit)
    assert leaves is not None
    assert all(incumbent.fathoms(leaf.bound) for leaf in leaves)
    assert incumbent.cost + instance.outside == brute_force.least_cost(job)


@pytest.mark.parametrize(("most", "listed"), [(1, False), (1000, True)])
def test_too_long_a_list_is_not_branched_over(most: int, listed: bool) -> None:
    job = builders.job(
        [builders.part("A", 3, 300), builders.part("B", 2, 200)],
        [builders.offer("P", 1000, 10)],
        keep=150,
        offcut_value_per_mm=2000,
    )
    instance = instance_for(job)
    incumbent = Incumbent(instance)
    incumbent.offer([PatternUse(0, instance.single(i), piece.demand) for i, piece in enumerate(instance.pieces)])
    figures = Parameters(listed_with_kept=0, listed_sets=most)
    generator = ColumnGenerator(instance, incumbent.cutoff(), Clock(deadline=1e9), figures)
    node = Bounder(generator, incumbent, Parameters(), generator.unit).bounded(generator.root_ranges)
    leaves = branched_over_list(generator, node, incumbent, generator.unit)
    assert leaves is not None
    assert all(incumbent.fathoms(leaf.bound) for leaf in leaves) is listed


def test_lists_within_numbers_of_kept_left_overs_are_shorter_and_hold(monkeypatch: pytest.MonkeyPatch) -> None:
    """A made-up job whose proof has lists made within one, two and three splits by what is kept."""
    lengths: list[tuple[int, int]] = []
    made = ListedNodes.of.__func__  # type: ignore[attr-defined]

    def of(*given: Any, **named: Any) -> ListedNodes | None:
        nodes: ListedNodes | None = made(*given, **named)
        if nodes and nodes.listing.splits:
            whole = made(*given, **named | {"within": ()})
            lengths.append((len(nodes.rows.costs), len(whole.rows.costs)))
        return nodes

    monkeypatch.setattr(ListedNodes, "of", classmethod(of))
    job = shop_job(10, seed=1, number=4, offcut_value=True, cut_charges=True).job
    plan = plan_job(job, parameters=Parameters(listed_with_kept=0, divided_first=0))
    assert check(job, plan) == ()
    assert plan.status is Status.RECHECKED
    assert lengths
    assert sum(one for one, _ in lengths) < sum(whole for _, whole in lengths)
