"""What the sheet to cut from says beyond the plan: from what to recut, which parts to tell apart."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutplan.model import CutBar, EndState, Fate, Group, Job, Offcut, Part, SourceKind, Workshop, serves
from cutplan.units import MM, Angle, Length, kerf_along, length_text

NEAR: Length = 10 * MM
"""Parts of one section that differ by no more are easily taken for one another. Common practice, no source."""


# --- from what to recut -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Spares:
    """Where a spoiled part of one group could be cut again: bars as they are cut, and offcuts that the plan leaves.

    Of bars cut alike the first stands for all. ``places`` are where bars stand in the order of cutting, by number.
    ``roomy`` are those of the bars with room for any part at all, the tightest first, ``slacks`` what each has, and
    ``whole`` those from which nothing is cut. ``holdable`` is the longest short point on each bar.
    """

    places: dict[int, int]
    roomy: tuple[CutBar, ...]
    slacks: tuple[Length, ...]
    whole: tuple[CutBar, ...]
    holdable: dict[int, Length]
    grades: dict[int, str]
    offcuts: tuple[Offcut, ...]
    shop: Workshop

    def words(self, bar: CutBar, part: Part) -> str:
        """From what to recut: this bar, a later one, a left over cut before, an offcut; blank when nothing has room."""
        if self._has_room(bar, part):
            return "this bar"
        at = self.places[bar.number]
        later = self._tightest(part, lambda other: self.places[other.number] > at)
        if later is not None:
            return f"bar {later.number}"
        before = self._tightest(part, lambda other: self.places[other.number] < at and other.drop.fate is Fate.KEEP)
        if before is not None:
            return f"left over of bar {before.number}"
        fitting = [offcut for offcut in self.offcuts if self._offcut_has_room(offcut, part)]
        return f"offcut {min(fitting, key=lambda offcut: (offcut.length, offcut.mark)).mark}" if fitting else ""

    def _tightest(self, part: Part, wanted: Callable[[CutBar], bool]) -> CutBar | None:
        """The bar with the least slack among those wanted into which the part fits."""
        wide = self.roomy[bisect_left(self.slacks, part.length) :]
        fitting = (
            next((bar for bar in bars if wanted(bar) and self._has_room(bar, part)), None)
            for bars in (wide, self.whole)
        )
        return min((bar for bar in fitting if bar is not None), key=_tightness, default=None)

    def _has_room(self, bar: CutBar, part: Part) -> bool:
        """Does the part fit into the slack of the bar, by a bar of its grade, with something left to clamp?"""
        if not bar.cuts:
            left = bar.length - bar.start_trim - part.length
            held = max(left - kerf_along(self.shop.saw.kerf, part.end_b.angle), part.short_point)
            return (
                left >= bar.far_trim
                and held >= self.shop.saw.safe_hold
                and serves(self.grades[bar.number], part.grades)
            )
        # It is laid after the last one: the wider of two kerfs lies between them.
        kerf = self.shop.saw.kerf
        between = kerf_along(kerf, max(bar.cuts[-1].angle_b, part.end_a.angle))
        taken = between - bar.cuts[-1].kerf + part.length + kerf_along(kerf, part.end_b.angle)
        if bar.slack < part.length + between or not serves(self.grades[bar.number], part.grades):
            return False
        hold = self.shop.saw.safe_hold
        return max(bar.drop.length - taken, self.holdable[bar.number], part.short_point) >= hold

    def _offcut_has_room(self, offcut: Offcut, part: Part) -> bool:
        saw = self.shop.saw
        trims = saw.mill_trim * [offcut.end_a, offcut.end_b].count(EndState.MILL)
        room = offcut.length - offcut.tip - trims - part.length
        left = room - kerf_along(saw.kerf, part.end_b.angle)
        return room >= 0 and serves(offcut.grade, part.grades) and max(left, part.short_point) >= saw.safe_hold


def _tightness(bar: CutBar) -> tuple[Length, int]:
    return bar.slack, bar.number


def spares_of(job: Job, group: Group, ordered: Sequence[CutBar], taken: frozenset[str]) -> Spares:
    """The spares of one group.

    Parameters
    ----------
    ordered
        The first bar of each way of cutting, as they are cut.
    taken
        The offcuts that the plan uses.
    """
    least = min(part.length for part in group.parts)
    offers = {offer.id: offer.grade for offer in group.offers}
    offcuts = {offcut.mark: offcut.grade for offcut in group.offcuts}
    roomy = sorted((bar for bar in ordered if bar.slack >= least), key=_tightness)
    cut = tuple(bar for bar in roomy if bar.cuts)
    short_points = {part.mark: part.short_point for part in group.parts}
    return Spares(
        places={bar.number: place for place, bar in enumerate(ordered)},
        roomy=cut,
        slacks=tuple(bar.slack for bar in cut),
        whole=tuple(bar for bar in roomy if not bar.cuts),
        holdable={bar.number: max(short_points[one.mark] for one in bar.cuts) for bar in ordered if bar.cuts},
        grades={bar.number: (offers if bar.kind is SourceKind.BOUGHT else offcuts)[bar.source] for bar in ordered},
        offcuts=tuple(offcut for offcut in group.offcuts if offcut.mark not in taken),
        shop=job.workshop.at_saw(group.saw),
    )


# --- which parts to tell apart, which end comes first -----------------------------------------------------------


def near_twins(job: Job) -> dict[str, str]:
    """For each part that is easily taken for another of its section: ``not T5, 622``."""
    how = job.workshop.printing.fine
    by_section: dict[str, list[Part]] = {}
    for part in job.parts:
        by_section.setdefault(part.section.key, []).append(part)
    twins: dict[str, str] = {}
    for parts in by_section.values():
        for one, other in pairwise(sorted(parts, key=lambda part: (part.length, part.mark))):
            alike = one.length == other.length
            if other.length - one.length > NEAR or (alike and _ends(one) == _ends(other)):
                continue
            for part, twin in ((one, other), (other, one)):
                length = length_text(twin.length, how, with_unit=False)
                words = f"not {twin.mark}, {'other mitres' if alike else length}"
                twins[part.mark] = f"{twins[part.mark]}; {words}" if part.mark in twins else words
    return twins


def _ends(part: Part) -> list[Angle]:
    return sorted((part.end_a.angle, part.end_b.angle))


def first_out(angle_a: Angle, angle_b: Angle, part: Part) -> str:
    """Which end of a part leaves the saw first, ``A`` or ``B``; blank where both ends are alike.

    The angles are those of the part as placed, nearer START and farther from it.
    """
    if part.end_a.angle == part.end_b.angle:
        return ""
    return "A" if (angle_a, angle_b) == (part.end_a.angle, part.end_b.angle) else "B"
