"""What a pattern space is asked: how a set is weighed, whether it can be cut, what it costs and leaves, and how it is
priced and listed.

Master, tree and primal side know patterns as vectors of counts alone. What a vector stands for on a bar, and by which
sums of its parts it is bounded, is for the space of the group.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol, TypeAlias

from numpy.typing import NDArray

from cutplan.model import Part
from cutplan.model.placing import AS_LISTED, Way
from cutplan.solving.patterns.laying import Kind
from cutplan.solving.patterns.trail_states import Stated
from cutplan.solving.solver_pieces import Pattern, Piece, Source
from cutplan.units import Length

Array: TypeAlias = NDArray[Any]


class Placed(NamedTuple):
    """A part in its place in a bar: how it lies, and whether the next one shares the cut after it.

    ``on_slant`` tells that it begins on the slanted end of the piece, with no cut.
    """

    part: Part
    way: Way = AS_LISTED
    shared: bool = False
    on_slant: bool = False


@dataclass(frozen=True)
class View:
    """Pieces and sources as they are where sets add up part by part, and the most of each that a set seen so holds.

    With ``stated``, what a set takes and costs depends on its state too.
    """

    pieces: tuple[Piece, ...]
    sources: tuple[Source, ...]
    limits: Pattern
    stated: Stated | None = None


def as_usual(parts: Sequence[Part], usual: Sequence[Part]) -> list[Placed]:
    """Parts of which no order is cheaper than another."""
    return [Placed(part) for part in usual]


class CarriedPiece(NamedTuple):
    """One piece of a length: what is cut from it, nothing where it is left whole, and it as a bar of its own.

    ``left`` is what that leaves, less than nothing where the last part may spare its cut. ``in_order`` is as
    :meth:`PatternSpace.in_order`. [nm]
    """

    pattern: Pattern
    source: Source
    left: Length
    in_order: Callable[[Sequence[Part], Sequence[Part]], list[Placed]] = as_usual

    @property
    def fill(self) -> bool:
        """Is anything cut from it?"""
        return any(self.pattern)


@dataclass(frozen=True)
class Parted:
    """A set shared out among the pieces of a length, in the order in which they are cut.

    ``ordered`` is what each piece is ordered by. [nm]
    """

    ordered: tuple[Length, ...]
    pieces: tuple[CarriedPiece, ...]


class Weighing(Protocol):
    """What parts are counted with whatever else is in their bar, and what bars then have room for.

    No set may take less, or fewer strokes, than this adds up to.
    """

    def kerf(self, kind: Kind) -> Length:
        """What a part is counted with beyond its length. [nm]"""
        ...

    def cuts(self, kind: Kind) -> int:
        """The strokes that a part is counted with."""
        ...

    def spared(self) -> Length:
        """The most that a set takes less than its parts are counted with. [nm]"""
        ...

    def left_unsaid(self) -> Length:
        """By how much what is left of a bar may be more than its parts leave as they are counted. [nm]"""
        ...

    def strokes_beyond(self, *, squared: bool, open_end: bool) -> int:
        """Strokes of a bar at least beyond those of its parts.

        START is ``squared`` where it is trimmed; with an ``open_end`` a part may be flush with the far end.
        """
        ...

    def ends_flush(self, served: Iterable[Piece], room: Length, most_steps: int) -> bool:
        """May parts of a bar that spare the last stroke end at its very end, beyond a part that is the whole bar?"""
        ...


class PatternSpace(Protocol):
    """All patterns of an instance. ``index`` is that of a source everywhere.

    The instance asks for grade and for the sum of the takes itself, before it asks what follows.
    """

    @property
    def adds_up(self) -> bool:
        """Is what a set takes the sum of what its parts take, so that every part of a set can be cut too?

        Then one grid serves plans, bounds and listing; fills say when a bar ends flush; and parts may be laid without
        a look at the rest of the bar.
        """
        ...

    @property
    def adds_up_on_pieces(self) -> bool:
        """Are some bars in pieces, on each of which what a set takes is the sum of what its parts take?

        Then sets of pieces can be listed and put together to bars, and are seen alike for plans and for bounds.
        """
        ...

    @property
    def states(self) -> int:
        """How many states of sets are told apart, each with a table of its own; 1 where sets have none."""
        ...

    @property
    def told_by_view(self) -> bool:
        """Does the view for plans see sets as they are, so that pricing finds what pays? Else it sees no shared cut."""
        ...

    @property
    def beyond(self) -> tuple[Length, ...]:
        """What sets may take beyond the takes of their parts. [nm]"""
        ...

    @property
    def judged(self) -> bool:
        """Is the cost of every set the least it has?"""
        ...

    def can_be_cut(self, index: int, pattern: Pattern) -> bool:
        """Does a set that its grade and the sum of its takes allow fit, and can it be held?"""
        ...

    def which_can_be_cut(self, index: int, counts: Array, stopped: Callable[[], bool]) -> Array:
        """The same of many sets, one in each row, the sum of whose takes is not looked at before.

        Where each is tried by itself, none is any more once that is ``stopped``.
        """
        ...

    def thinned(self, index: int, pattern: Pattern) -> Pattern:
        """Of a set that cannot be cut, one that can, with some parts left out; nothing where none is to be looked for.

        Wanted where sets are met in a view for plans that cannot be cut.
        """
        ...

    def cost(self, index: int, pattern: Pattern, *, kept: bool) -> int:
        """What a bar costs, its left over counted by its value where it is ``kept``. [cost unit]

        Of a set that cannot be cut it is more than any that can.
        """
        ...

    def left(self, index: int, pattern: Pattern) -> Length:
        """What a set that can be cut leaves of a bar. [nm]"""
        ...

    def views_for_bounds(self) -> tuple[View, ...]:
        """Views that together see every set, each at no more than it takes and costs."""
        ...

    def view_for_plans(self) -> View:
        """A view in which no set takes less than it really does."""
        ...

    def in_order(self, index: int, pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]) -> list[Placed]:
        """The parts of a bar as they are laid from START on: in the ``usual`` order unless another is cheaper.

        ``parts`` come as the pattern counts them.
        """
        ...

    def parted(self, index: int, pattern: Pattern) -> Parted | None:
        """The pieces in which a bar comes home, with what is cut from each; None where it comes whole."""
        ...
