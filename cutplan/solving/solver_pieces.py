"""What the solver sees of a group: its pieces, and the sources of its bars. Lengths in nanometres."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import NamedTuple, TypeAlias

from cutplan.model import Carrying, EndState, SourceKind
from cutplan.model.placing import PlacedEnd
from cutplan.solving.patterns.laying import Kind
from cutplan.solving.patterns.vertices import Vertex
from cutplan.units import Length

Pattern: TypeAlias = tuple[int, ...]
"""How many of each piece one bar holds, in the order of the pieces of an instance."""

BarPattern: TypeAlias = tuple[int, Pattern]
"""A source and how a bar of it is cut."""

BarPatterns: TypeAlias = Counter[BarPattern]
"""How many bars are cut to each; those cut to one pattern are cut together."""


class Piece(NamedTuple):
    """Parts that are laid alike, as the solver sees them.

    ``parts`` are their places in the group. ``take`` is the length and a kerf;
    ``cuts`` the strokes that are counted for one, one or two; ``kind`` tells
    kerfs and mitres of its ends; ``setting`` is equal for pieces that share a
    set-up. Without ``grades`` it is served by any bar. ``spares`` is how many more
    are welcome where they cost nothing. [nm]
    """

    parts: tuple[int, ...]
    length: Length
    take: Length
    demand: int
    spares: int
    grades: tuple[str, ...]
    kind: Kind
    cuts: int
    setting: int

    @property
    def held(self) -> bool:
        """Is it long enough for the vice?"""
        return self.kind.held

    @property
    def square(self) -> bool:
        """Are both ends square?"""
        return not (self.kind.mitred_a or self.kind.mitred_b)


class InPieces(NamedTuple):
    """A length cut into so many pieces: what the takes of their parts may come to in all, and its price. [nm]

    ``as_one`` is the same where all are seen as one bar; parts with mitres may take more in one than on pieces.
    """

    number: int
    room: Length
    as_one: Length
    price: int


class SlantedEnd(NamedTuple):
    """The end of a piece from the rack that a part may begin on: which ends of parts do, and as they then lie."""

    vertex: Vertex
    lying: PlacedEnd


@dataclass(frozen=True, kw_only=True)
class Source:
    """A stock length or one offcut.

    Parameters
    ----------
    room
        What the takes of a set may add up to: length less trims plus one kerf. [nm]
    reach
        Length less the start trim; the remainder after a set is ``reach`` less its takes. [nm]
    bare
        What one bar costs by itself: bought or booked, and handled. [cost unit]
    price
        The same with the strokes that no part of a bar is counted for, such as the squaring of START. [cost unit]
    rate
        What a kept left over is worth; no more than the bar itself costs. [cost unit per mm]
    per_cut, per_setup
        What each cut (beyond what every plan pays) and each different piece on the bar adds. [cost unit]
    flush
        True where square parts can fill the bar to its very end, which spares the last cut.
    most
        How many there are; the number of pieces when there is no limit.
    carrying
        How the length is cut for the carry; ``length``, trims, ``room`` and ``reach`` are then those of its pieces in
        all where they are as few as can be, and ``price`` has the charges for their cuts in it. Where parts are mitred
        they are those of one bar in which the parts of all pieces lie, and ``bare`` has the charges in it too.
    piece_room
        What the takes of a set on one such piece may add up to. [nm]
    in_pieces
        The length cut into as few pieces as can be, and into more of them; the last stands for all beyond it. None
        where parts are mitred and work or left overs have a price.
    slant
        Of a piece with a slanted end on which some part may begin as it is; ``start_trim`` is the tip of that.
    per_stroke
        What each cut of such a piece adds, where ``per_cut`` leaves it out because a piece may spare some.
    """

    id: str
    kind: SourceKind
    length: Length
    start_trim: Length
    far_trim: Length
    room: Length
    reach: Length
    bare: int
    price: int
    rate: int
    per_cut: int
    per_setup: int
    most: int
    grade: str
    far_end: EndState
    flush: bool = False
    carrying: Carrying | None = None
    piece_room: Length = 0
    in_pieces: tuple[InPieces, ...] = ()
    per_stroke: int = 0
    slant: SlantedEnd | None = None

    @property
    def untouched(self) -> Length:
        """What is left of a bar from which nothing is cut; ``reach`` may have taken off what every set takes. [nm]"""
        return max(self.reach, self.length - self.start_trim)

    @property
    def as_slanted(self) -> Source:
        """The same where the first part begins on its slanted end."""
        return replace(self, start_trim=0)

    @property
    def on_slant(self) -> bool:
        """Does the first part begin on a slanted end, with no cut?"""
        return self.slant is not None and self.start_trim == 0

    @property
    def trimmed(self) -> bool:
        """Does either end need a cut before the bar is used?"""
        return self.start_trim > 0 or self.far_trim > 0
