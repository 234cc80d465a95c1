"""Do the parts of a bar lie beside one another as solids: as they may lie, nothing overlapping, every cut a blade wide?

Faces are planes and sections are hollowed boxes, so that what holds along the four edges of a section holds everywhere
across it. Nothing is rounded here: lengths along an edge come from the angles themselves.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise

from cutplan.checking.sources import at_mm
from cutplan.model import Cut, CutBar, Offcut, Part, Saw
from cutplan.model.placing import (
    AS_LISTED,
    BELOW,
    LEFT,
    RIGHT,
    TOP,
    PlacedEnd,
    meet,
    placed_ends,
    shares_cuts,
    ways_of,
)
from cutplan.units import DEGREE, Angle, Length, angle_text, kerf_along, mitre_saving

EDGES = tuple((upright, across) for upright in (TOP, BELOW) for across in (LEFT, RIGHT))
"""The edges of a section, each by the two sides that meet there."""

Parts = Mapping[str, Part]


def gaps_of(bar: CutBar, parts: Parts, kerf: Length) -> list[Length]:
    """From each part's long point to the next one's; after the last part what its own cut takes. [nm]"""
    gaps = []
    for cut, kerf_there in zip(bar.cuts, kerfs_of(bar, kerf), strict=True):
        reach = mitre_saving(parts[cut.mark].depth, cut.angle_b) if cut.shared else 0
        gaps.append(kerf_there - reach)
    return gaps


def kerfs_of(bar: CutBar, kerf: Length) -> list[Length]:
    """What is cut away after each part: the wider kerf of the two ends that meet there, after the last that of its own.

    Those of a shared cut are alike.
    """
    meeting = [(cut.angle_b, after.angle_a) for cut, after in pairwise(bar.cuts)]
    meeting.append((bar.cuts[-1].angle_b, 0))
    # A square end takes the blade's width, which no mitre takes less than.
    return [max(kerf_along(kerf, one), kerf_along(kerf, other)) if one or other else kerf for one, other in meeting]


def lying_faults(bar: CutBar, parts: Parts, saw: Saw) -> Iterator[tuple[Cut, str]]:
    """What is wrong with how parts lie and share cuts, each with the cut it is said of."""
    nested = bar.starts_on_slant or any(cut.shared for cut in bar.cuts)
    for cut in bar.cuts:
        for text in _turning_faults(cut, parts[cut.mark], saw, nested=nested):
            yield cut, text
    for cut, after in pairwise(bar.cuts):
        for text in _sharing_faults(cut, after, parts, saw) if cut.shared else ():
            yield cut, text
        for text in _closeness_faults(cut, after, parts, saw.kerf):
            yield cut, text
    if bar.cuts[-1].shared:
        yield bar.cuts[-1], "shares its cut with a part after it, and none comes there"


def face_faults(bar: CutBar, parts: Parts, piece: Offcut, saw: Saw) -> Iterator[str]:
    """What is wrong with how the first part of a bar lies to the slanted end of the piece that it is cut from.

    It keeps within the piece along every edge of the section, and where nothing is cut there its face is that of the
    piece.
    """
    first = bar.cuts[0] if bar.cuts else None
    if first is None or first.mark not in parts:
        return
    part = parts[first.mark]
    near, face = placed_ends(part, first.way)[0], PlacedEnd(piece.angle_a, piece.side)
    steps = [first.start + _set_back(part.depth, near, edge) - _set_back(piece.depth, face, edge) for edge in EDGES]
    said = f", {first.mark} copy {first.copy}:"
    # As where parts lie beside one another, a nanometre is the unit of lengths.
    if min(steps) < -1:
        yield f"{said} begins {at_mm(round(-min(steps)))} before the slanted end of {piece.mark}"
    elif bar.starts_on_slant and max(steps) > 1:
        far = at_mm(round(max(steps)))
        yield f"{said} is said to begin on the slanted end of {piece.mark}, {far} from it at an edge of the section"
    if bar.starts_on_slant and not shares_cuts(part, saw):
        yield f"{said} begins on the slanted end of {piece.mark}, and may not share cuts"


def _turning_faults(cut: Cut, part: Part, saw: Saw, *, nested: bool) -> Iterator[str]:
    """In a bar where cuts are ``nested`` a part lies in one of its ways; else as it is listed at least."""
    way = cut.way
    if way != AS_LISTED and not shares_cuts(part, saw):
        yield "is turned or rolled, and may not share cuts"
    elif way not in ways_of(part) and (way != AS_LISTED or (nested and shares_cuts(part, saw))):
        end_for_end = "turned end for end and " if cut.turned else ""
        how = f"is {end_for_end}rolled by {cut.rolled} quarter turns" if way != AS_LISTED else "lies as listed"
        yield f"{how}, its section does not lie so"
    near, far = placed_ends(part, way)
    placed, wanted = (cut.angle_a, cut.angle_b), (near.angle, far.angle)
    if placed != wanted:
        yield f"has ends at {_ends_text(placed)} degrees, the part wants {_ends_text(wanted)}"


def _ends_text(angles: tuple[Angle, ...]) -> str:
    return " and ".join(angle_text(angle) for angle in angles)


def _sharing_faults(cut: Cut, after: Cut, parts: Parts, saw: Saw) -> Iterator[str]:
    one, other = parts[cut.mark], parts[after.mark]
    if not saw.share_mitres:
        yield f"shares its cut with {other.mark}, the workshop shares none"
        return
    for part in (one, other):
        if not part.share_mitres:
            yield f"shares its cut with {other.mark}, {part.mark} shares none by the parts list"
            return
    if one.mitred and not shares_cuts(one, saw):
        yield f"shares its cut with {other.mark}, which parts of {one.section.designation} do not"
        return
    far, near = placed_ends(one, cut.way)[1], placed_ends(other, after.way)[0]
    if far.angle != near.angle or not far.angle:
        yield (
            f"shares its cut of {angle_text(far.angle)} degrees with {other.mark}, whose end is at "
            f"{angle_text(near.angle)}"
        )
    elif not meet(far, near):
        yield f"shares its cut with {other.mark}, whose mitre slants another way or lies in another plane"


def _closeness_faults(cut: Cut, after: Cut, parts: Parts, kerf: Length) -> Iterator[str]:
    """Along each edge of the section the next part begins no nearer than the blade is wide there."""
    far, near = placed_ends(parts[cut.mark], cut.way)[1], placed_ends(parts[after.mark], after.way)[0]
    needed: float = kerf
    least: float = after.start - cut.end
    if far.angle or near.angle:
        # Each end was left by a stroke at its own angle, which kept clear of the other part.
        needed = max(kerf / math.cos(_radians(end.angle)) for end in (far, near))
        least += min(
            _set_back(parts[cut.mark].depth, far, edge) + _set_back(parts[after.mark].depth, near, edge)
            for edge in EDGES
        )
    # A nanometre is the unit of lengths; what floats add to it is far less.
    if least < needed - 1:
        what = (
            f"overlaps {after.mark} by {at_mm(round(-least))}"
            if least < 0
            else f"is {at_mm(round(least))} from {after.mark}"
        )
        yield f"{what} at an edge of the section, the blade takes {at_mm(round(needed))} along the bar"


def _set_back(depth: Length, end: PlacedEnd, edge: tuple[int, int]) -> float:
    """How far an end lies behind its long point at an edge. [nm]"""
    return 0.0 if end.side in edge or not end.angle else depth * math.tan(_radians(end.angle))


def _radians(angle: Angle) -> float:
    return math.radians(angle / DEGREE)
