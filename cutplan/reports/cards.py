"""Marking cards in words: what to mark out on each face, which drills, what to look at, and which parts share a jig."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutplan.drilling import Drill, own_drills, that_makes
from cutplan.drilling.edges import MINIMA, EdgeCaution, Near
from cutplan.drilling.marking import PILOT_ABOVE, Card, DrillLine, Jig, MoreHoles, cards_of, jigs_of, more_holes
from cutplan.model import Job, Part, own_part
from cutplan.model.faces import face_width, face_word, is_angle, is_hollow, is_open, outline, slanted_face
from cutplan.model.holes import Hole
from cutplan.reports.elevation import elevation, words
from cutplan.reports.svg import written
from cutplan.sections.section import Family
from cutplan.units import INCH, MM, Length, Printing, length_text
from cutplan.units.quantities import fixed_text
from cutplan.words.cutting import end_text
from cutplan.words.naming import names_text, section_names, section_words

PILOT = {"mm": "5 to 6 mm", "in": "3/16 to 1/4 in"}
BETWEEN = " \N{MIDDLE DOT} "
"""Stands between running dimensions; a comma could be read as a decimal sign."""

HOW_TO_READ = (
    "Figures run from end A, of a mitred end from its long point. Faces are numbered clockwise from the top, looking "
    "from end A, and seen from outside with end A to the left; the upper edge is shared with the face before."
)
MARK_FIRST = "Mark end A and face 1 on the part first. Centre punch, drill the pilot, then the full size."
DRAWING_KEY = "Dashed circle: comes out here. Dashed line: another part lands here."
CAUTION = f"Common minima of {MINIMA}: 1.2 diameters to an end or edge, 2.2 between holes; the designer decides."
DRILLING_SAFETY = (
    "Clamp the part to drill it, never hold it by hand; no gloves, loose sleeves or loose hair near the drill; protect "
    "your eyes. Local codes and the drill's maker come first."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkRow:
    """Holes of one kind on one face: what a person marks out in one go.

    ``short`` has the places from the short point of end A, where the face begins there; blank elsewhere. ``from_b``
    has those that lie nearer end B, from that end. ``pilot`` says that a smaller hole goes first.
    """

    face: str
    places: str
    across: str
    hole: str
    count: int
    note: str
    short: str = ""
    from_b: str = ""
    pilot: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillRow:
    """One size to drill, with the drills to take and where the size comes from.

    ``metric`` and ``inch`` are the nearest of those sets; ``own`` is the workshop's own, blank where it named none.
    ``drill`` says which to take: the own one, else both, of which that in the workshop's unit leads.
    """

    hole: str
    each: int
    in_all: int
    metric: str
    inch: str
    standard: str
    pilot: str
    own: str
    drill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRow:
    """One marking card. ``looks`` say how the part lies before one; ``card`` is what the drawing is made from."""

    mark: str
    pieces: int
    assembly: str
    section: str
    what: str
    length: str
    looks: tuple[str, ...]
    marks: tuple[MarkRow, ...]
    drills: tuple[DrillRow, ...]
    jigs: tuple[str, ...]
    cautions: tuple[str, ...]
    card: Card

    def svg(self, how: Printing, width: float) -> str:
        """The elevation, ``width`` millimetres wide."""
        return written(elevation(self.card, how, width), self.words(how))

    def words(self, how: Printing) -> str:
        """What the elevation shows, for somebody who does not see it."""
        return words(self.card, how)


def card_rows(job: Job) -> tuple[CardRow, ...]:
    """A card for every part with holes or landings, in the order of the list."""
    return _rows(job, cards_of(job), jigs_of(job.parts), more_holes(job.parts))


def card_rows_by_list(job: Job) -> dict[str, tuple[CardRow, ...]]:
    """The cards of each of several lists, parts called as there; jigs that serve parts of others too say so."""
    jigs, more = jigs_of(job.parts), more_holes(job.parts)
    cards: dict[str, list[Card]] = {}
    for card in cards_of(job):
        cards.setdefault(card.part.list_name, []).append(replace(card, part=own_part(card.part)))
    found = {}
    for name, own in cards.items():
        called = {part.mark: own_part(part).mark if part.list_name == name else part.mark for part in job.parts}
        found[name] = _rows(
            job,
            own,
            [replace(jig, marks=tuple(called[mark] for mark in jig.marks)) for jig in jigs],
            [replace(one, mark=called[one.mark], of=called[one.of]) for one in more],
        )
    return found


def _rows(job: Job, cards: Iterable[Card], jigs: Sequence[Jig], more: Sequence[MoreHoles]) -> tuple[CardRow, ...]:
    how, names = job.workshop.printing, section_names(job)
    own = own_drills(job.workshop.own_drills, job.workshop.unit)
    return tuple(_card(card, names[card.part.section.key], jigs, more, own, how) for card in cards)


def _card(
    card: Card, name: str, jigs: Iterable[Jig], more: Iterable[MoreHoles], own: tuple[Drill, ...], how: Printing
) -> CardRow:
    part = card.part
    return CardRow(
        mark=part.mark,
        pieces=part.quantity,
        assembly=part.assembly,
        section=name,
        what=section_words(name, part.section.standard, part.grade, part.finish),
        length=length_text(part.finished, how),
        looks=tuple(_looks(part, how)),
        marks=tuple(_marks(part, how)),
        drills=tuple(_drill(line, part.quantity, own, how) for line in card.drills),
        jigs=(
            *(_jig(jig, part.mark) for jig in jigs if part.mark in jig.marks),
            *(_more(one, part.mark) for one in more if one.mark == part.mark),
        ),
        cautions=tuple(_caution(caution, part, how) for caution in card.cautions),
        card=card,
    )


def _looks(part: Part, how: Printing) -> Iterable[str]:
    """How the part lies, where the usual words do not say it."""
    section, side = part.section, "left" if part.opposite_hand else "right"
    if is_angle(section):
        longer = ", the longer one," if section.family is Family.UA else ""
        yield f"From end A: leg 1{longer} on top, heel {side}."
    elif section.family is Family.CHANNEL:
        yield f"From end A: flanges are faces 1 and 3, the web is face 2, {side}."
    elif face_width(section, 1) != face_width(section, 2):
        widths = [f"{length_text(face_width(section, face), how)}" for face in (1, 2)]
        yield f"Face 1 is {widths[0]} across{f', face 2 is {widths[1]}' if is_open(section) else ''}."
    if part.opposite_hand and is_open(section):
        yield "OPPOSITE HAND: drawn as a mirror shows the part drawn on the plan."
    elif part.opposite_hand:
        yield "OPPOSITE HAND: the figures here are those of the mirror image."
    if part.mitred:
        ends = [f"end {end} {end_text(cut.angle)}" for end, cut in (("A", part.end_a), ("B", part.end_b)) if cut.angle]
        yield f"Mitred, {', '.join(ends)}: it shows on {face_word(section)} {slanted_face(part)}."
    if part.allowance:
        yield (
            f"Sawn {length_text(part.length, how)} with {length_text(part.allowance, how)} allowance: "
            "figures are those of the finished part."
        )


def _marks(part: Part, how: Printing) -> Iterable[MarkRow]:
    """Holes alike but for their places, by face."""
    alike: dict[object, list[Hole]] = {}
    for hole in part.holes:
        key = (hole.face, hole.diameter, hole.name, hole.across, hole.through, hole.note, hole.pattern)
        alike.setdefault(key, []).append(hole)
    for holes in alike.values():
        first = holes[0]
        yield MarkRow(
            face=f"{face_word(part.section)} {first.face}",
            places=_running((hole.position for hole in holes), how),
            across=_across(part, first, how),
            hole=_hole(part, first, how),
            count=len(holes),
            short=_from_short_point(part, holes, how),
            from_b=_from_end_b(part, holes, how),
            pilot=first.diameter > PILOT_ABOVE and not first.landing,
            note=", ".join(words for words in (first.note, first.pattern and f"pattern {first.pattern}") if words),
        )


def _from_short_point(part: Part, holes: Sequence[Hole], how: Printing) -> str:
    """``430 · 800``: where the whole face begins at the short point, nobody can hook a tape at the long one."""
    begins = min(outline(part, holes[0].face)[0])
    if not begins or any(hole.position < begins for hole in holes):
        return ""
    return _running((hole.position - begins for hole in holes), how)


def _from_end_b(part: Part, holes: Sequence[Hole], how: Printing) -> str:
    """``50 · 125``: places in the farther half, from end B, for whoever hooks the tape there; blank where none is.

    Of a mitred end B they count from its long point, as the length of the part does.
    """
    return _running(sorted(part.finished - hole.position for hole in holes if 2 * hole.position > part.finished), how)


def _across(part: Part, hole: Hole, how: Printing) -> str:
    if hole.across == face_width(part.section, hole.face) // 2:
        return "centre" if not is_angle(part.section) else f"{length_text(hole.across, how)} from heel"
    text = length_text(hole.across, how)
    if is_angle(part.section):
        return f"{text} from heel"
    if part.section.family is Family.CHANNEL and hole.face != 2:
        return f"{text} from back"
    if is_open(part.section) and hole.face % 2 == 0:
        return f"{text} from top flange"
    other = face_width(part.section, hole.face) - hole.across
    return f"{text} from upper edge" if hole.across <= other else f"{length_text(other, how)} from lower edge"


def _hole(part: Part, hole: Hole, how: Printing) -> str:
    """``M12 clear, 13.5 mm, both walls``."""
    if hole.landing:
        return "landing"
    size = length_text(hole.diameter, how.fine)
    words = [hole.name, size] if hole.name else [size]
    if is_hollow(part.section):
        words.append("both walls" if hole.through else "one wall")
    return ", ".join(words)


def _drill(line: DrillLine, pieces: int, own: tuple[Drill, ...], how: Printing) -> DrillRow:
    size = length_text(line.diameter, how.fine)
    metric, inch = drill_text(line.metric, line.diameter, "mm"), drill_text(line.inch, line.diameter, "in")
    named = _own(line.diameter, own, how) if own else ""
    return DrillRow(
        hole=f"{line.name}, {size}" if line.name else size,
        each=line.each,
        in_all=line.each * pieces,
        metric=metric,
        inch=inch,
        standard=line.standard or "as drawn",
        pilot=PILOT[how.unit] if line.pilot else "none",
        own=named,
        drill=named or "; ".join((metric, inch) if how.unit == "mm" else (inch, metric)),
    )


def _own(diameter: Length, drills: tuple[Drill, ...], how: Printing) -> str:
    """``7 mm, 0.4 mm over; next 7.5 mm``: the own drill in whose hole nothing binds."""
    first, second = that_makes(diameter, drills)
    if first is None:
        return f"none so wide; widest {drills[-1].name}"
    return f"{drill_text(first, diameter, how.unit)}{f'; next {second.name}' if second else ''}"


def in_all(cards: Iterable[CardRow]) -> tuple[str, ...]:
    """One line of every size and how many of it, largest count first; none where nothing is drilled."""
    count: Counter[str] = Counter()
    for card in cards:
        for row in card.drills:
            count[row.hole] += row.in_all
    sizes = "; ".join(f"{number} x {hole}" for hole, number in count.most_common())
    return (f"Total of holes: {sizes}.",) if sizes else ()


def drill_text(drill: Drill | None, diameter: Length, unit: str) -> str:
    """``13.5 mm, exact``; ``17/32 in, 0.0002 in under``: by how much the nearest drill is over or under the hole."""
    if drill is None:
        return "none near"
    apart = drill.diameter - diameter
    if not apart:
        return f"{drill.name}, exact"
    size, places = (MM, 3) if unit == "mm" else (INCH, 4)
    figure = fixed_text(Fraction(abs(apart), size), places).rstrip("0").rstrip(".")
    return f"{drill.name}, {figure} {unit} {'over' if apart > 0 else 'under'}"


def _jig(jig: Jig, mark: str) -> str:
    others = names_text(other for other in jig.marks if other != mark)
    return f"Same holes from end {jig.stop} as {others}: one drilling jig serves them, its stop at end {jig.stop}."


def _more(more: MoreHoles, mark: str) -> str:
    drilled = "1 hole" if more.count == 1 else f"{more.count} holes"
    return f"Has the holes of {more.of} from end A and {drilled} more: its jig serves {mark}, then drill the rest."


def _caution(caution: EdgeCaution, part: Part, how: Printing) -> str:
    """``Face 1, 26 mm at 70 mm: 25 mm to the edge, common minimum 31.2 mm``."""
    places, size = _places(caution.positions, how), length_text(caution.diameter, how.fine)
    side = f"{face_word(part.section).capitalize()} {caution.face}"
    what = f"{side}, {size} at {places}"
    if caution.near is Near.CORNER:
        return f"{what}: the drill runs into the wall beside the face."
    if caution.near is Near.CROSSING:
        return f"{what}: meets a hole from another face inside; two bolts would not pass."
    found, least = length_text(caution.found, how.fine), length_text(caution.least, how.fine)
    if caution.near is Near.HOLE:
        return f"{side} at {places}: {found} from middle to middle, common minimum {least} for {size}."
    return f"{what}: {found} to {caution.near.value}, common minimum {least}."


def _places(positions: Sequence[Length], how: Printing) -> str:
    shown = _running(positions[:4], how)
    return f"{shown} and {len(positions) - 4} more" if len(positions) > 4 else shown


def _running(positions: Iterable[Length], how: Printing) -> str:
    """Running dimensions between which a line may break, but not within one such as ``26 3/16``."""
    figures = (length_text(position, how, with_unit=False) for position in positions)
    return BETWEEN.join(figure.replace(" ", "\N{NO-BREAK SPACE}") for figure in figures)
