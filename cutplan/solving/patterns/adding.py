"""What mitred parts take and how many strokes they count for, part by part, whatever their order.

Between two neighbours lies the wider of two kerfs, and so at least the kerf of either. Counted by end A, every part
takes its length and the kerf of its end A, less that of the first; counted by end B the same holds of the last. Where
both ends of every part are alike, each part but the one of the least kerf can be given the kerf between it and the
next towards that one, so that a set takes all its kerfs less the least: that much it takes in the best order too. With
strokes it is the same: two neighbours are parted by one where both ends are square, else by two.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from cutplan.solving.patterns.laying import Kind
from cutplan.units import Length


class Counted(Enum):
    """By which of its ends a part is counted."""

    EITHER = "both are alike"
    END_A = "end A"
    END_B = "end B"


@dataclass(frozen=True)
class Adding:
    """How parts of some kinds add up. Lengths in nm."""

    by: Counted
    kinds: tuple[Kind, ...]

    @classmethod
    def of(cls, kinds: Sequence[Kind], demand: Sequence[int]) -> Adding:
        """By the end whose kerfs come to more; ``demand`` is how many there are of each kind."""
        if all(kind.alike for kind in kinds):
            return cls(Counted.EITHER, tuple(kinds))
        wanted = list(zip(kinds, demand, strict=True))
        by_a = sum(n * kind.kerf_a for kind, n in wanted), sum(n * kind.mitred_a for kind, n in wanted)
        by_b = sum(n * kind.kerf_b for kind, n in wanted), sum(n * kind.mitred_b for kind, n in wanted)
        return cls(Counted.END_A if by_a >= by_b else Counted.END_B, tuple(kinds))

    def kerf(self, kind: Kind) -> Length:
        """The kerf that a part is counted with."""
        return kind.kerf_b if self.by is Counted.END_B else kind.kerf_a

    def cuts(self, kind: Kind) -> int:
        """The strokes that a part is counted with."""
        return 1 + (kind.mitred_b if self.by is Counted.END_B else kind.mitred_a)

    def spared(self) -> Length:
        """The most that a set takes less than its parts are counted with."""
        kerfs = [self.kerf(kind) for kind in self.kinds]
        return min(kerfs) if self.by is Counted.EITHER else max(kerfs)

    def left_unsaid(self) -> Length:
        """By how much what is left of a bar may be more than its parts and their kerfs leave."""
        if self.by is not Counted.END_A:
            return 0
        return max(kind.kerf_a for kind in self.kinds) - min(kind.kerf_b for kind in self.kinds)

    def strokes_beyond(self, *, squared: bool, open_end: bool) -> int:
        """Strokes that every bar takes at least beyond those its parts are counted with; may be negative.

        The squaring of START is one where it is ``squared``, unless a mitre comes first; the last cut is none where the
        far end needs no trim, so that the bar is an ``open_end``, and a square end may be flush with it.
        """
        mitred_a = any(kind.mitred_a for kind in self.kinds)
        mitred_b = any(kind.mitred_b for kind in self.kinds)
        square_a = not all(kind.mitred_a for kind in self.kinds)
        square_b = not all(kind.mitred_b for kind in self.kinds)
        if self.by is Counted.EITHER:
            return int(squared) - int(open_end) if square_a else 0
        if self.by is Counted.END_A:
            return int(not (open_end and square_b)) - int(mitred_a or not squared)
        return int(squared or not square_a) - int(mitred_b or open_end)

    def levels(self) -> Iterator[Adding]:
        """Kinds of which every set of parts belongs to one, each as tight as it can be by itself.

        Where both ends are alike: all kinds, those above the least kerf, those above the next.
        """
        if self.by is not Counted.EITHER:
            yield self
            return
        for level in sorted({(kind.kerf_a, kind.mitred_a) for kind in self.kinds}):
            yield replace(self, kinds=tuple(kind for kind in self.kinds if (kind.kerf_a, kind.mitred_a) >= level))
