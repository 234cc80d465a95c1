"""The nodes of a search that together cover everything: what is known of each is in how it is kept here."""

from __future__ import annotations

import bisect
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from cutplan.solving.nodes import Node
from cutplan.units import Length


@dataclass(frozen=True)
class Frontier:
    """Nodes that together cover everything: fathomed ones, those set aside, and those open, least bound first.

    All are counted in one ``step``. [nm]
    """

    step: Length
    fathomed: tuple[Node, ...] = ()
    deferred: tuple[Node, ...] = ()
    open: tuple[Node, ...] = ()

    def all(self) -> tuple[Node, ...]:
        """Every node."""
        return self.fathomed + self.deferred + self.open

    def instead(self, node: Node, nodes: Sequence[Node]) -> Frontier:
        """With fathomed nodes in place of one set aside or open, which they cover."""
        deferred, waiting = (tuple(one for one in some if one is not node) for some in (self.deferred, self.open))
        return replace(self, fathomed=(*self.fathomed, *nodes), deferred=deferred, open=waiting)

    def wait(self, nodes: Sequence[Node]) -> Frontier:
        """With further nodes open, before those of the same bound, so that one node is followed to its end."""
        waiting = list(self.open)
        for node in nodes:
            bisect.insort_left(waiting, node, key=lambda one: one.next)
        return replace(self, open=tuple(waiting))

    def again(self, fathomed: Callable[[Node], bool]) -> Frontier:
        """With nodes open again of which plans of use may have been missed."""
        missed = [node for node in self.deferred if not (node.sure or fathomed(node))]
        aside = tuple(node for node in self.deferred if node not in missed)
        return replace(self, deferred=aside).wait([replace(node, reach=-1, sure=True) for node in missed])
