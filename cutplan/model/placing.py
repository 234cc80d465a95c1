"""How a part may lie in a bar, and which ends of neighbours one slanted cut can part.

Seen from START along the bar, or from end A along a part, the sides of a section are counted in quarter turns
clockwise: 0 top, 1 right, 2 below, 3 left, as :mod:`cutplan.model.faces` draws them. A part may be turned end for end
and rolled wherever the section then fills the same space again. Two ends can meet in one cut when their angles are
equal and their long points lie on opposite sides of the bar: then both slant the same way in the same plane.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from cutplan.model.ends import Heel, Lean
from cutplan.model.faces import face_width, is_angle, slanted_face
from cutplan.sections.section import Family, Section
from cutplan.units import Angle, Length, mitre_saving

if TYPE_CHECKING:
    from cutplan.model.offcut import Offcut
    from cutplan.model.part import Part
    from cutplan.model.saw import Saw

TOP, RIGHT, BELOW, LEFT = range(4)


class Way(NamedTuple):
    """How a part lies: turned end for end about its upright axis or not, then rolled by quarter turns clockwise."""

    turned: bool
    rolled: int


class PlacedEnd(NamedTuple):
    """One end of a part as it lies in a bar: its angle, and the side of the bar with its long point; 0 if square."""

    angle: Angle
    side: int


AS_LISTED = Way(False, 0)
"""End A towards START, as every part lies unless it pays to turn it."""

_ALL_QUARTERS = tuple(Way(turned, rolled) for turned in (False, True) for rolled in range(4))
_HALF_TURNS = tuple(Way(turned, rolled) for turned in (False, True) for rolled in (0, 2))

_WAYS: dict[Family, tuple[Way, ...]] = {
    **dict.fromkeys((Family.SHS, Family.SQUARE, Family.CHS, Family.PIPE, Family.ROUND), _ALL_QUARTERS),
    **dict.fromkeys((Family.RHS, Family.FLAT, Family.BEAM, Family.HEXAGON), _HALF_TURNS),
    # Half turns about the one axis of symmetry: through the heel of an angle, across the web of a channel, along the
    # stem of a tee. An unequal angle has none.
    Family.EA: (AS_LISTED, Way(True, 1)),
    Family.UA: (AS_LISTED,),
    Family.CHANNEL: (AS_LISTED, Way(True, 2)),
    Family.TEE: (AS_LISTED, Way(True, 0)),
}
"""Nothing is known of how a section of one's own looks from its other end."""


def ways_of(part: Part) -> tuple[Way, ...]:
    """Every way in which a part may lie in a bar of its section; one that shares no cut lies as it is listed.

    The part of opposite hand fits where the one drawn, turned end for end, would.
    """
    if not part.share_mitres or not part.mitred or _always_turned(part):
        return (AS_LISTED,)
    ways = _WAYS.get(part.section.family, (AS_LISTED,))
    if part.opposite_hand and not part.same_in_mirror:
        return tuple(Way(not way.turned, way.rolled) for way in ways)
    return ways


def side_of_slant(section: Section, depth: Length) -> int | None:
    """The side on which the long point of a slant across a depth may be taken to lie; None where hands differ.

    Rolled half over, most sections fill the same space, so that either of two sides serves. Angles, channels and tees
    do not.
    """
    if Way(False, 2) not in _WAYS.get(section.family, ()):
        return None
    return RIGHT if depth == face_width(section, 1) else BELOW


def shares_cuts(part: Part, saw: Saw) -> bool:
    """May a mitre of such a part share its cut, and the part be turned and rolled for it?

    A part of a section of one's own may not: nothing is known of how that lies. Neither may an unequal angle of
    opposite hand, which fits a bar with end B towards START alone.
    """
    may_share = saw.share_mitres and part.share_mitres and part.mitred
    return may_share and part.section.family in _WAYS and not _always_turned(part)


_SQUARE_ENDS = PlacedEnd(0, 0), PlacedEnd(0, 0)


def placed_ends(part: Part, way: Way) -> tuple[PlacedEnd, PlacedEnd]:
    """The end nearer START and the far one, as they lie."""
    if not part.mitred:
        return _SQUARE_ENDS
    near, far = (PlacedEnd(angle, _placed(part, side, way) if angle else 0) for angle, side in _as_drawn(part))
    return (far, near) if way.turned else (near, far)


class Slant(NamedTuple):
    """What ends must have in common to share a cut: an angle and a plane; and on which hand of it each lies.

    ``plane`` is the first of the sides that the long point comes to lie on, of an end away from START, as the part is
    turned and rolled. With ``hand`` 0 any two ends meet; else those of one hand meet those of the other, 1 and -1.
    """

    angle: Angle
    plane: int
    hand: int


def slants_of(part: Part) -> tuple[Slant | None, Slant | None]:
    """The slants of end A and of end B, by all ways in which the part may lie; None of a square end."""
    found: list[Slant | None] = []
    ways = ways_of(part)
    for end, cut in enumerate((part.end_a, part.end_b)):
        if not cut.angle:
            found.append(None)
            continue
        # An end towards START is met by one whose long point lies across from its own.
        far, near = (
            {placed_ends(part, way)[is_far].side for way in ways if (end == way.turned) != is_far}
            for is_far in (True, False)
        )
        met = {across(side) for side in near}
        plane = min(far | met)
        found.append(Slant(cut.angle, plane, 0 if far & met else 1 if plane in far else -1))
    return found[0], found[1]


def meet(far: PlacedEnd, near: PlacedEnd) -> bool:
    """Can one cut part two neighbours at these ends, the far end of the first and the near end of the next?"""
    return far.angle == near.angle > 0 and near.side == across(far.side)


def begins_on(part: Part, way: Way, piece: Offcut) -> bool:
    """Is the near end of a part that lies so the slanted end A of a piece, so that nothing is cut there?"""
    near = placed_ends(part, way)[0]
    return piece.angle_a > 0 and part.depth == piece.depth and near == PlacedEnd(piece.angle_a, piece.side)


def saved_at(part: Part, angle: Angle) -> Length:
    """How much closer the long points of two parts lie when they share a cut of this angle. [nm]"""
    return mitre_saving(part.depth, angle)


def across(side: int) -> int:
    """The side of a bar across from one."""
    return (side + 2) % 4


def _as_drawn(part: Part) -> tuple[tuple[Angle, int], tuple[Angle, int]]:
    """Angle and side of the long point of end A and of end B, seen from end A."""
    on_top = slanted_face(part) == 1
    # The long point of the first mitre lies at the edge with the next face; of an angle at its heel, or across from it.
    first = RIGHT if on_top else TOP if is_angle(part.section) else BELOW
    if part.heel is Heel.SHORT_POINT:
        first = across(first)
    second = across(first) if part.lean is Lean.PARALLEL and part.end_a.angle else first
    return (part.end_a.angle, first), (part.end_b.angle, second)


def _always_turned(part: Part) -> bool:
    return part.section.family is Family.UA and part.opposite_hand


def _placed(part: Part, side: int, way: Way) -> int:
    mirrored = part.opposite_hand and not part.same_in_mirror
    if mirrored != way.turned:
        side = (4 - side) % 4
    return (side + way.rolled) % 4
