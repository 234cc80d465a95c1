"""What was really cut of a plan, bar by bar, where it differs from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from cutplan.units import Length


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
    """

    cut: int | None = None
    left: Length | None = None
    spoiled: tuple[Spoiled, ...] = ()
    scrapped: bool = False
    note: str = ""


def left_after(length: Length, ends: tuple[tuple[Length, Length], ...], cut: int) -> Length:
    """What is left of a bar after so many of its cuts, each given by the part's end and its kerf. [nm]"""
    return max(0, length - sum(ends[cut - 1])) if cut else length


def came_short(lengths: Mapping[str, Length], spoiled: Iterable[Spoiled]) -> Length:
    """How much longer what is left of a bar is than planned: what spoiled parts came out short is on it still. [nm]

    ``lengths`` are those of the parts as planned, by mark. A part that came out long makes it negative.
    """
    return sum((lengths[one.mark] - one.measured) * one.quantity for one in spoiled if one.measured is not None)
