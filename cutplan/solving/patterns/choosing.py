"""Which pattern space a group has."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cutplan.solving.instance import Instance
from cutplan.solving.patterns.counts import Counts, SquareWeighing
from cutplan.solving.patterns.laying import Kind
from cutplan.solving.patterns.sequences import EndWeighing, Sequences
from cutplan.solving.patterns.space import PatternSpace, Weighing


@dataclass(frozen=True)
class Choice:
    """A pattern space for the instances of a group, and how its parts are weighed in it."""

    weighing: Weighing
    space: Callable[[Instance], PatternSpace]


def choose(kinds: Sequence[Kind], demand: Sequence[int]) -> Choice:
    """The space for a group of some kinds of parts; ``demand`` is how many there are of each."""
    if not any(kind.mitred_a or kind.mitred_b for kind in kinds):
        return Choice(SquareWeighing(kinds[0].kerf_a), Counts)
    return Choice(EndWeighing.of(kinds, demand), Sequences)
