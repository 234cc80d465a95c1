"""One drawing of one bar: plain geometry in bar coordinates, which every rendering starts from.

:mod:`cutplan.reports.layout` puts it on equal columns for the workbook and for
plain characters, :mod:`cutplan.reports.svg` on paper. Nothing is told by colour.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from itertools import zip_longest

from cutplan.model import Cut, CutBar, Fate, Held, Part
from cutplan.model.placing import LEFT, TOP, placed_ends
from cutplan.units import Angle, Length, Printing, length_text, mitre_run


class Kind(Enum):
    """What a stretch of a bar is."""

    END_TRIM = "end trim"
    PART = "part"
    KERF = "kerf"
    KEEP = "left over: keep"
    SCRAP = "left over: scrap"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One stretch of a bar, START first. Lengths in nm from START.

    ``run_start`` and ``run_end`` say how far a mitre leans in from either end,
    ``angle_start`` and ``angle_end`` how steeply; its long point lies at the
    bottom of the drawing, or with ``start_up`` and ``end_up`` at the top. Where
    two parts share a cut each stretch ends midway along it, and the long point
    reaches ``over_start`` or ``over_end`` beyond. ``number`` counts the parts of
    the bar from 1; 0 for everything else; ``pieces`` is above 1 where neighbours
    alike were drawn together. ``holes`` are centres of holes.
    """

    kind: Kind
    start: Length
    end: Length
    label: str = ""
    short_label: str = ""
    length_label: str = ""
    run_start: Length = 0
    run_end: Length = 0
    angle_start: Angle = 0
    angle_end: Angle = 0
    start_up: bool = False
    end_up: bool = False
    over_start: Length = 0
    over_end: Length = 0
    number: int = 0
    pieces: int = 1
    holes: tuple[Length, ...] = ()

    @property
    def long_points(self) -> tuple[Length, Length]:
        """From START to the points where it begins and ends. [nm]"""
        return self.start - self.over_start, self.end + self.over_end

    @property
    def text(self) -> str:
        """The label, with the number of pieces where there are several."""
        return f"{self.pieces} x {self.label}" if self.pieces > 1 else self.label


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A running dimension: distance from START and its text in the workshop's unit."""

    at: Length
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BarDrawing:
    """A bar to scale. ``stretches`` cover it from 0 to ``length`` without gap or overlap, long points aside. [nm]

    With ``on_slant`` the bar itself begins with the near face of its first part.
    ``holds`` are the stretches that the vice grips while the cuts are made: the
    shortest safe hold on each side that is clamped.
    """

    length: Length
    stretches: tuple[Stretch, ...]
    dimensions: tuple[Dimension, ...]
    holds: tuple[tuple[Length, Length], ...] = ()
    on_slant: bool = False

    @property
    def words(self) -> str:
        """What the drawing shows, for somebody who does not see it."""
        shown = (stretch for stretch in self.stretches if stretch.kind is not Kind.KERF)
        return "Bar from START: " + ", ".join(stretch.text or stretch.kind.value for stretch in shown)


def draw(bar: CutBar, parts: dict[str, Part], how: Printing, safe_hold: Length = 0) -> BarDrawing:
    """The geometry of one bar.

    Parameters
    ----------
    parts
        Every part of the job by mark; the depth of a mitred part gives how far its ends lean.
    how
        How the texts are printed.
    safe_hold
        The shortest length that the vice holds; 0 is no limit. [nm]
    """
    stretches: list[Stretch] = []
    dimensions: list[Dimension] = []
    if bar.start_trim and bar.cuts:
        stretches.append(Stretch(kind=Kind.END_TRIM, start=0, end=bar.start_trim))
        dimensions.append(_dimension(bar.start_trim, how))
    over = 0
    for number, (cut, after) in enumerate(zip_longest(bar.cuts, bar.cuts[1:]), 1):
        part = parts[cut.mark]
        reach = cut.end + cut.kerf - after.start if cut.shared else 0
        start_up, end_up = _up(cut, part)
        stretches.append(
            Stretch(
                kind=Kind.PART,
                start=cut.start + over,
                end=cut.end - reach // 2,
                label=cut.mark,
                short_label=f"({number})",
                length_label=length_text(cut.end - cut.start, how, with_unit=False),
                run_start=mitre_run(part.depth, cut.angle_a),
                run_end=mitre_run(part.depth, cut.angle_b),
                angle_start=cut.angle_a,
                angle_end=cut.angle_b,
                start_up=start_up,
                end_up=end_up,
                over_start=over,
                over_end=reach // 2,
                number=number,
                holes=_holes(cut, parts[cut.mark]),
            )
        )
        sawn = cut.end - reach // 2
        dimensions.append(replace(_dimension(cut.end, how), at=sawn))
        if cut.kerf:
            stretches.append(Stretch(kind=Kind.KERF, start=sawn, end=sawn + cut.kerf))
        over = reach - reach // 2
    if bar.drop.length:
        word = "keep" if bar.drop.fate is Fate.KEEP else "scrap"
        stretches.append(
            Stretch(
                kind=Kind.KEEP if bar.drop.fate is Fate.KEEP else Kind.SCRAP,
                start=bar.drop.start,
                end=bar.drop.end,
                label=f"{word} {length_text(bar.drop.length, how)}",
                short_label=word,
            )
        )
    if not dimensions or dimensions[-1].at != bar.length:
        dimensions.append(_dimension(bar.length, how))
    return BarDrawing(
        length=bar.length,
        stretches=tuple(stretches),
        dimensions=tuple(dimensions),
        holds=_holds(bar, safe_hold),
        on_slant=bar.starts_on_slant,
    )


def slants(cut: Cut, part: Part) -> tuple[str, str]:
    """How the ends of a part slant as drawn, START at the left: ``/``, ``\\``, or blank where square."""
    start_up, end_up = _up(cut, part)
    return ("\\" if start_up else "/") if cut.angle_a else "", ("/" if end_up else "\\") if cut.angle_b else ""


def _up(cut: Cut, part: Part) -> tuple[bool, bool]:
    """Do the long points lie at the top, which stands for the left side of the bar too?"""
    near, far = (end.side in (TOP, LEFT) and end.angle > 0 for end in placed_ends(part, cut.way))
    return near, far


def _holes(cut: Cut, part: Part) -> tuple[Length, ...]:
    """Middles of the holes of a part in its bar; end A lies towards START unless it is turned end for end."""
    turned = cut.turned or cut.angle_a != part.end_a.angle
    places = dict.fromkeys(hole.position for hole in part.holes if not hole.landing)
    return tuple(sorted(cut.end - place if turned else cut.start + place for place in places))


def _holds(bar: CutBar, safe_hold: Length) -> tuple[tuple[Length, Length], ...]:
    """The far end of the bar where it is clamped for a cut, and the end of each part that is clamped itself."""
    if not safe_hold:
        return ()
    on_parts = [(max(cut.start, cut.end - safe_hold), cut.end) for cut in bar.cuts if cut.held is Held.PART]
    far = [(max(0, bar.length - safe_hold), bar.length)] if any(cut.held is Held.BAR for cut in bar.cuts) else []
    return (*on_parts, *far)


def _dimension(at: Length, how: Printing) -> Dimension:
    return Dimension(at=at, text=length_text(at, how, with_unit=False))
