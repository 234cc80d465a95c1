"""What was really cut of a plan, bar by bar, where it differs from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cutplan.units import Length, kerf_along

if TYPE_CHECKING:
    from cutplan.model.plan import Cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoiled:
    """Parts that were cut and cannot be used. A measured one goes on the rack; one that is not is scrap. [nm]"""

    mark: str
    quantity: int = 1
    measured: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarFact:
    """How one bar was cut.

    Parameters
    ----------
    cut
        How many of its parts, counted from START; None is all.
    left
        What is usable of it after the cuts, as measured; of a bar that was not cut, its length. None is as planned, or
        nothing where it is ``scrapped``. [nm]
    scrapped
        Beyond what is said to be usable, it cannot be used, such as when it is bent.
    more_kerf
        How much more than planned its cuts took. [nm]
    """

    cut: int | None = None
    left: Length | None = None
    spoiled: tuple[Spoiled, ...] = ()
    scrapped: bool = False
    more_kerf: Length = 0
    note: str = ""


def left_after(length: Length, ends: tuple[tuple[Length, Length], ...], cut: int) -> Length:
    """What is left of a bar after so many of its cuts, each given by the part's end and its kerf. [nm]"""
    return max(0, length - sum(ends[cut - 1])) if cut else length


def more_kerf(cuts: Sequence[Cut], cut: int, planned: Length, kerf: Length) -> Length:
    """How much more than planned so many of the cuts of a bar take with another kerf; none where that is thinner. [nm]

    Between two parts the steeper end says what is lost, after the last part its own end.
    """
    behind = [0 if number == cut else cuts[number].angle_a for number in range(1, cut + 1)]
    angles = [max(one.angle_b, angle) for one, angle in zip(cuts, behind, strict=False)]
    return max(0, sum(kerf_along(kerf, angle) - kerf_along(planned, angle) for angle in angles))


def came_short(lengths: Mapping[str, Length], spoiled: Iterable[Spoiled]) -> Length:
    """How much longer what is left of a bar is than planned: what spoiled parts came out short is on it still. [nm]

    ``lengths`` are those of the parts as planned, by mark. A part that came out long makes it negative.
    """
    return sum((lengths[one.mark] - one.measured) * one.quantity for one in spoiled if one.measured is not None)
