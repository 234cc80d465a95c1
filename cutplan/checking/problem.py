"""A group as a bound sees it: its parts and sources with what each part is reckoned to take."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from cutplan.checking.nested import Nesting
from cutplan.checking.reckoning import Reckoning
from cutplan.checking.sources import Source
from cutplan.model import Part
from cutplan.units import Length


@dataclass(frozen=True, kw_only=True)
class Problem:
    """A group as a bound sees it; lengths in nm, costs in cost units."""

    parts: tuple[Part, ...]
    sources: tuple[Source, ...]
    hold: Length
    keep: Length
    most_kept: int
    step: Length
    denominator: int
    reckoning: Reckoning
    flush: frozenset[int]
    """Places of the sources whose bars square parts can fill to their very end, which spares the last stroke."""
    sharing: tuple[int, ...] = ()
    """For each part how many share its set-up: those that are cut alike but lie the other way about."""
    nesting: Nesting | None = None
    """How parts share cuts; None where they do not. They are then reckoned in half nanometres."""

    @cached_property
    def mitred(self) -> bool:
        """Is any part mitred?"""
        return any(part.mitred for part in self.parts)

    @cached_property
    def told_by_fill(self) -> bool:
        """Does a set that ends flush fill a number of steps that no other does?"""
        return not any(weight % self.step for weight in self.reckoning.weights)

    @property
    def weight_step(self) -> int:
        """The working step in the unit of the weights."""
        return 2 * self.step if self.nesting else self.step

    def price(self, position: int) -> int:
        """What a bar costs at least, strokes of its parts and set-ups left aside. [cost unit]"""
        source = self.sources[position]
        if self.mitred:
            return self.reckoning.price(source)
        spared = position in self.flush and not self.told_by_fill
        return source.price + source.per_cut * (int(source.start_trim > 0) - int(spared))

    def set_up(self, per_setup: int, place: int) -> int:
        """What a part counts for of its set-up: its share."""
        return self.denominator * per_setup // self.sharing[place] if per_setup else 0
