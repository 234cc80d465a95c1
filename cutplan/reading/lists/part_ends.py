"""The ends of a part as its line says them: mitres, how they lean, the face on the table, copes; and the length.

Nothing is guessed: where two faces, or two sides for a heel, would give two different parts, the line must say which.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isqrt
from typing import Any, TypeVar

from cutplan.model import EndCut, Heel, Lean, LengthMeant, Workshop
from cutplan.problems import Refused, nearest
from cutplan.reading.lists.material import Material, MaterialReader
from cutplan.reading.sheets.tables import Row
from cutplan.sections.section import Family, Section
from cutplan.units import ROUNDED_UP_TO, Angle, Length, ceil_div, length_text, mitre_run

Meaning = TypeVar("Meaning")

LENGTH_IS: dict[str, LengthMeant] = {
    **dict.fromkeys(("long point", "lp", "long", "toe", "long points", "outside"), LengthMeant.LONG_POINT),
    **dict.fromkeys(("short point", "sp", "short", "heel", "short points", "inside"), LengthMeant.SHORT_POINT),
    **dict.fromkeys(
        ("centre line", "center line", "centreline", "centerline", "cl", "centre", "center"), LengthMeant.CENTRE_LINE
    ),
    **dict.fromkeys(("one side", "along one side"), LengthMeant.ONE_SIDE),
}
LENGTH_IS_FORMS = "long point, short point or centre line (LP, SP, CL); one side, where two mitres are parallel"
TEE_LENGTHS = "long point, to the tips of the cope, or short point, to the face of the other tube"

LEANS: dict[str, Lean] = {
    **dict.fromkeys(("opposite", "opp", "opposed", "frame"), Lean.OPPOSITE),
    **dict.fromkeys(("parallel", "par", "same way", "brace"), Lean.PARALLEL),
}
LEAN_FORMS = "opposite, as in a frame, or parallel, as in a brace between two rails"

HEELS: dict[str, Heel] = {
    **dict.fromkeys(("long point", "lp", "long side", "outside"), Heel.LONG_POINT),
    **dict.fromkeys(("short point", "sp", "short side", "inside"), Heel.SHORT_POINT),
}
HEEL_FORMS = "long point or short point, the side on which the heel lies"

SHARING: dict[str, bool] = {
    **dict.fromkeys(("yes", "y", "true", "x"), True),
    **dict.fromkeys(("no", "n", "false"), False),
}
SHARING_FORMS = "yes or no; blank is yes"

_WIDE = ("flat", "on flat", "wide side", "wide face", "long leg", "on the flat")
_NARROW = ("edge", "on edge", "narrow side", "narrow face", "short leg", "on its edge")

ANGLES = (Family.EA, Family.UA)
"""Sections that a mitre does not leave alike on both sides."""

_TEE = re.compile(
    r"(?:square )?tee\s+(?:on|onto|to)\s+(?P<section>.+?)\s*,\s*(?P<ends>both ends|one end|end a|end b)", re.IGNORECASE
)
TEE_FORMS = "such as tee on CHS 60.3x3.2, both ends; or one end, end A, end B"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """The ends of one part.

    ``of_part`` are fields of the model's part, ``stated`` tells whether the row says which length it gives, and
    ``length`` is the finished one, long point to long point. [nm]
    """

    of_part: dict[str, Any]
    stated: bool
    length: Length


TOLD_APART: dict[str, tuple[str, ...]] = {
    "end cuts": ("end_a", "end_b"),
    "depth": ("depth",),
    "lean": ("lean",),
    "heel": ("heel",),
    "cope": ("cope",),
}
"""What rows with one mark must share of these fields, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the cells of a row say of its ends, before they are put together; None is blank."""

    angle_a: Angle
    angle_b: Angle
    meant: LengthMeant | None
    lean: Lean | None
    heel: Heel | None
    on_table: str
    depth: Length | None
    cope: str

    @property
    def angles(self) -> tuple[Angle, Angle]:
        """Of end A and of end B."""
        return self.angle_a, self.angle_b


@dataclass(slots=True)
class EndsReader:
    """Puts the ends of rows together for one workshop; ``on_table`` reads the width of a face."""

    workshop: Workshop
    materials: MaterialReader
    on_table: Callable[[str], Length]

    def read(self, row: Row, said: Said, material: Material, typed: Length) -> Ends | None:
        """The ends and the finished length of a row; None with a problem noted when they are not clear."""
        section = material.section
        mitred, both = any(said.angles), all(said.angles)
        lean = said.lean or Lean.OPPOSITE if both else Lean.OPPOSITE
        depth = self._depth(row, section, said) if mitred else 0
        heel = self._heel(row, section, said) if mitred and section.family in ANGLES else Heel.NOT_ASKED
        if depth is None or heel is None:
            return None
        tee = self._tee(row, section, said)
        if tee is None:
            return None
        cope, copes = tee
        if copes and said.meant not in (LengthMeant.LONG_POINT, LengthMeant.SHORT_POINT):
            found = f'"{row.text("Length is")}" for a square tee' if said.meant else "a square tee, not said to where"
            row.refuse("Length is", found, f"in a column Length is {TEE_LENGTHS}", typed=False, code="end.length_is")
            return None
        meant = (said.meant or self.workshop.mitre_length) if mitred or copes else LengthMeant.LONG_POINT
        runs = (mitre_run(depth, said.angles[0]), mitre_run(depth, said.angles[1]))
        if not self._meant_is_clear(row, meant, lean, both, runs):
            return None
        length = (
            typed
            + {
                LengthMeant.LONG_POINT: 0,
                LengthMeant.CENTRE_LINE: ceil_div(sum(runs), 2),
                LengthMeant.SHORT_POINT: sum(runs) + copes,
                LengthMeant.ONE_SIDE: runs[0],
            }[meant]
        )
        least = sum(runs) if lean is Lean.OPPOSITE else max(runs)
        if length < least:
            how = self.workshop.printing
            accepted = (
                f"a long point of at least {length_text(least, how)}, where the two mitres meet; "
                f"this one is {length_text(length, how)}"
            )
            row.refuse("Length", row.text("Length"), accepted, code="end.length")
            return None
        of_part = {
            "end_a": EndCut(angle=said.angle_a),
            "end_b": EndCut(angle=said.angle_b),
            "depth": depth,
            "lean": lean,
            "heel": heel,
            "length_meant": meant,
            "cope": cope,
        }
        return Ends(of_part=of_part, stated=said.meant is not None or not mitred, length=length)

    def _meant_is_clear(
        self, row: Row, meant: LengthMeant, lean: Lean, both: bool, runs: tuple[Length, Length]
    ) -> bool:
        """Does this length settle the part? Of parallel mitres no side runs from short point to short point."""
        if meant is LengthMeant.ONE_SIDE and not (both and lean is Lean.PARALLEL and runs[0] == runs[1]):
            accepted = "one side, only where both ends lean parallel at one angle; else long point, short point or "
            accepted += "centre line"
            row.refuse("Length is", row.text("Length is"), accepted, code="end.length_is")
            return False
        if meant is LengthMeant.SHORT_POINT and both and lean is Lean.PARALLEL:
            found = "a short point, with two mitres that lean parallel"
            accepted = "in a column Length is one side, along either side, or long point or centre line"
            row.refuse("Length is", found, accepted, typed=False, code="end.length_is")
            return False
        return True

    def _depth(self, row: Row, section: Section, said: Said) -> Length | None:
        """The width of the face on the table; None with a problem noted when it is not clear. [nm]"""
        sides = section.mitre_depths
        how = self.workshop.printing
        lengths = " or ".join(length_text(side, how) for side in sides)
        laid = self._laid(row, section, said.on_table, sides) if said.on_table else None
        if said.on_table and laid is None:
            return None
        if said.depth is not None and said.depth not in sides:
            row.refuse("Depth", row.text("Depth"), f"{lengths}, a side of {section.designation}", code="end.depth")
            return None
        if laid is not None and said.depth is not None and laid != said.depth:
            row.refuse(
                "Depth",
                row.text("Depth"),
                f"{length_text(laid, how)}, the face that lies on the table",
                code="end.depth",
            )
            return None
        depth = laid or said.depth or (sides[0] if len(sides) == 1 else None)
        if depth is None:
            found = "a mitre across one of two different sides, not said which"
            words = _face_words(section)
            accepted = f"in a column On table {words}, the face that lies on the table; or in a column Depth {lengths}"
            row.refuse("On table", found, accepted, typed=False, code="end.on_table")
        return depth

    def _laid(self, row: Row, section: Section, text: str, sides: tuple[Length, ...]) -> Length | None:
        plain = " ".join(text.lower().replace("-", " ").split())
        if plain in _WIDE:
            return sides[0]
        if plain in _NARROW:
            return sides[-1]
        try:
            width = self.on_table(text)
        except Refused:
            width = 0
        if width in sides:
            return width
        lengths = " or ".join(length_text(side, self.workshop.printing) for side in sides)
        row.refuse(
            "On table", text, f"{_face_words(section)}, or the width of that face: {lengths}", code="end.on_table"
        )
        return None

    def _heel(self, row: Row, section: Section, said: Said) -> Heel | None:
        if said.heel is None:
            found = f"a mitre on {section.designation}, not said on which side its heel lies"
            row.refuse("Heel", found, f"in a column Heel {HEEL_FORMS}", typed=False, code="end.heel")
        return said.heel

    def _tee(self, row: Row, section: Section, said: Said) -> tuple[str, Length] | None:
        """The cope in words, and what it adds to a length given to the face; None with a problem noted."""
        match = _TEE.fullmatch(said.cope)
        if match is None:
            if re.match(r"(?:square )?tee\b", said.cope, re.IGNORECASE):
                row.refuse("Cope", said.cope, TEE_FORMS, code="end.cope")
                return None
            return said.cope, 0
        try:
            main = self.materials.section(match["section"])
        except Refused as refused:
            row.refuse("Cope", said.cope, refused.accepted, refused.hint, code=refused.code)
            return None
        if section.family is not Family.CHS or main.family is not Family.CHS or main.height < section.height:
            accepted = "a tee of two round tubes (CHS), the other one as thick as this one or thicker"
            row.refuse("Cope", said.cope, accepted, code="end.cope")
            return None
        ends = match["ends"].lower()
        mitred = [angle > 0 for angle in said.angles]
        taken = {"both ends": any(mitred), "one end": all(mitred), "end a": mitred[0], "end b": mitred[1]}[ends]
        if taken:
            row.refuse("Cope", said.cope, "a tee at an end that is not mitred", code="end.cope")
            return None
        depth = tee_depth(section.height, main.height)
        words = ends.replace("end a", "end A").replace("end b", "end B")
        shown = length_text(depth, self.workshop.printing)
        return f"square tee on {main.designation}, {words}: cope {shown} deep", depth * (
            2 if ends == "both ends" else 1
        )


def _face_words(section: Section) -> str:
    if section.family is Family.FLAT:
        return "flat or edge"
    return "long leg or short leg" if section.family is Family.UA else "wide side or narrow side"


def tee_depth(branch: Length, main: Length) -> Length:
    """How deep a round tube is coped to meet another one squarely: R - sqrt(R^2 - r^2), rounded up to 0.1 mm.

    Parameters
    ----------
    branch, main
        Outside diameters of the tube that is coped and of the one it meets; ``branch`` is not the larger. [nm]

    References
    ----------
    The two outside cylinders x^2 + y^2 = r^2 and y^2 + z^2 = R^2, at right angles, meet at z = sqrt(R^2 - y^2): from R,
    where y is 0, down to sqrt(R^2 - r^2), where y is r.
    """
    twice_exact = main - isqrt(main * main - branch * branch)
    return ceil_div(twice_exact, 2 * ROUNDED_UP_TO) * ROUNDED_UP_TO


def parse_length_is(text: str) -> LengthMeant:
    """Which length is given; raises Refused."""
    return _word(text, LENGTH_IS, LENGTH_IS_FORMS)


def parse_lean(text: str) -> Lean:
    """How two mitres lean; raises Refused."""
    return _word(text, LEANS, LEAN_FORMS)


def parse_heel(text: str) -> Heel:
    """On which side the heel lies; raises Refused."""
    return _word(text, HEELS, HEEL_FORMS)


def parse_sharing(text: str) -> bool:
    """Whether a mitre may share a cut with a neighbour's; raises Refused."""
    return _word(text, SHARING, SHARING_FORMS)


def _word(text: str, known: dict[str, Meaning], forms: str) -> Meaning:
    plain = " ".join(text.lower().replace("-", " ").split())
    if plain not in known:
        raise Refused(text, forms, nearest(plain, known), code="cell.word")
    return known[plain]
