"""Closing a node over lists: over a short one of all bars, or over long ones of those whose left over is not kept.

For the latter numbers of bars whose left over is kept are told first.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from cutplan.model import Listing
from cutplan.solving.blocks import Partition
from cutplan.solving.certificate import dual_bound, fitting, leaf_of, whole
from cutplan.solving.columns import ColumnGenerator, unsolved
from cutplan.solving.component_branching import branched, candidates, children
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.listed_branching import ListedNodes, by_kept, can_be_listed
from cutplan.solving.nodes import Node, Splits


def branched_over_list(generator: ColumnGenerator, node: Node, incumbent: Incumbent, unit: int) -> list[Node] | None:
    """Cases over lists that together cover a node, as many of them fathomed as the work allowed on it suffices for.

    None where nothing can be listed. Plans that are found on the way are offered.
    """
    if not can_be_listed(generator):
        return None
    parameters, clock = generator.parameters, generator.clock

    def fathomed(one: Node) -> bool:
        return incumbent.fathoms(one.bound)

    closed: list[Node] | None = None
    # A short list has all bars. Where long ones without those whose left over is kept leave something open, and work is
    # left, it is made with these after all.
    for most, kept in (
        (parameters.listed_with_kept, True),
        (parameters.listed_sets, False),
        (parameters.listed_sets, True),
    ):
        until = clock.work + parameters.listed_work
        if kept:
            nodes = ListedNodes.of(generator, node, incumbent, unit, most, kept=True)
            if nodes is None:
                continue
            closed = branched(clock, nodes.bounded(()), parameters.listed_work, nodes.divided, fathomed)
        else:
            numbers = _KeptNumbers(generator, node, incumbent, unit)
            closed = branched(clock, numbers.told(()), parameters.listed_work, numbers.divided, fathomed)
        if all(map(fathomed, closed)) or clock.work >= until or clock.struck():
            break
    return closed


@dataclass(frozen=True)
class _KeptNumbers:
    """The nodes of one choice of bar counts by how many bars whose left over is kept there are of each source.

    Once an LP over all sets has whole numbers of these, the others are listed: the fewer numbers are possible, the less
    lies between its bound and the incumbent, and so the less is of use.
    """

    generator: ColumnGenerator
    node: Node
    incumbent: Incumbent
    unit: int
    over: dict[Splits, ListedNodes] = field(default_factory=dict)
    """The list that a node is branched over, by its splits."""

    def told(self, splits: Splits) -> Node:
        """A node with so many bars whose left over is kept, bounded by an LP over all sets."""
        generator, node, cutoff = self.generator, self.node, self.incumbent.cutoff()
        instance, numbers, relaxation = generator.instance, by_kept(splits), node.relaxation
        if splits:
            generator.clock.nodes += 1
            target = cutoff + generator.margin
            most_rounds = generator.parameters.rounds
            found = generator.relax(node.ranges, instance.demand, target, most_rounds, splits=numbers)
            relaxation = found or unsolved(instance)
        grid = generator.bound_grid.divided(Partition.of(instance, numbers).blocks)
        duals, keep_dual = whole(relaxation.duals, relaxation.keep_dual, self.unit)
        duals = fitting(grid, duals)
        bound, _ = dual_bound(grid, duals, node.ranges, self.unit, keep_dual, numbers)
        leaf = leaf_of(instance, duals, node.ranges, keep_dual, splits)
        # As the duals bound all sets, they bound those within their own list too.
        listing = Listing(duals=leaf.duals, keep_dual=keep_dual, below=cutoff, kept=False, splits=len(splits))
        leaf = replace(leaf, listing=listing, split_duals=(0,) * len(splits))
        return Node(node.ranges, min(bound, cutoff), leaf, relaxation, splits)

    def divided(self, node: Node) -> list[Node]:
        """A node's children, or itself over a list; none where that is too long or there is nothing to divide."""
        nodes = self.over.get(node.splits)
        if nodes is None:
            kept = next(candidates(self.generator, node.relaxation.solution, (), by_parts=False))
            if kept:
                return [self.told(splits) for splits in children(self.generator, node.splits, kept[0])]
            most = self.generator.parameters.listed_sets
            nodes = ListedNodes.of(
                self.generator, self.node, self.incumbent, self.unit, most, kept=False, within=node.splits
            )
            further = [nodes.bounded(node.splits)] if nodes else []
        else:
            further = nodes.divided(node)
        if nodes:
            self.over.update(dict.fromkeys((one.splits for one in further), nodes))
        return further
