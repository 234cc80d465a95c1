"""A part: one line of the parts list, as sawn and as finished."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Annotated

from cutplan.fields import COUNT, LENGTH, NAME, POSITIVE_COUNT, POSITIVE_LENGTH, said
from cutplan.model.ends import SQUARE, Allowance, EndCut, Heel, Lean, Purpose
from cutplan.model.holes import Hole, hole_faults
from cutplan.model.workshop import LengthMeant
from cutplan.sections.inch_names import inch_name
from cutplan.sections.section import SECTION, Family, Section
from cutplan.units import Angle, Length, ceil_div, mitre_run


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One line of the parts list.

    Parameters
    ----------
    mark
        The part's name on the drawing; unique in a job.
    length
        As sawn, allowances included: long point to long point along the part, or the plain length when both ends
        are square. [nm]
    depth
        Depth of the section that a mitre runs across, the width of the face on the table; 0 when both ends are
        square. [nm]
    lean, heel
        How two mitres lean, and where the heel of an angle lies.
    allowances
        What is added to the finished length, each purpose at most once.
    cope
        What is coped or notched, in words; blank when nothing is.
    opposite_hand
        True when the part is the mirror image of the one drawn, seen in a mirror along its length: end A stays end A.
    typed_length, typed_section
        As written in the list.
    length_meant
        Which length was typed.
    grade
        Blank is not specified: any grade serves.
    list_name
        The list it comes from, where several are planned together; else blank.
    spares
        How many more may be cut from left overs where that costs nothing.
    spares_bought
        How many of the quantity are spares.
    assemblies
        How often the part's assembly is made; ``quantity`` counts the pieces of all of them.
    row
        Row of the list, as a spreadsheet numbers it.
    holes
        Holes to drill in each piece, and landings of other parts; all of them can be drilled.
    share_mitres
        Whether one cut may part a mitre from a neighbour's, and the part be turned or rolled for it.
    stamps
        What is stamped on the copies: none, one text for all of them, or one for each of the quantity.
    also_grades
        Grades on sale or on the rack, beside its own, that serve it too.
    saw
        The name of the saw it is cut on; blank where there is one.
    """

    mark: Annotated[str, NAME]
    row: Annotated[int, COUNT("row of the parts list; 0 when there is none")] = 0
    quantity: Annotated[int, POSITIVE_COUNT("pieces wanted")]
    typed_section: Annotated[str, said("section as typed")] = ""
    typed_length: Annotated[str, said("length as typed")] = ""
    section: Annotated[Section, SECTION]
    length: Annotated[Length, POSITIVE_LENGTH("as sawn, long point to long point, in mm")]
    allowances: Annotated[tuple[Allowance, ...], said("what is added to the finished length")] = ()
    length_meant: LengthMeant = LengthMeant.LONG_POINT
    end_a: EndCut = SQUARE
    end_b: EndCut = SQUARE
    depth: Annotated[Length, LENGTH("depth that a mitre runs across, in mm; 0 when both ends are square")] = 0
    lean: Annotated[Lean, said("how two mitres lean")] = Lean.OPPOSITE
    heel: Annotated[Heel, said("where the heel of a mitred angle lies; blank where it does not matter")] = (
        Heel.NOT_ASKED
    )
    cope: Annotated[str, said("what is coped or notched; blank when nothing is")] = ""
    opposite_hand: Annotated[bool, said("mirror image of the part drawn")] = False
    grade: Annotated[str, said("blank is not specified")] = ""
    finish: str
    assembly: str = ""
    assemblies: Annotated[int, POSITIVE_COUNT("how often the assembly is made; quantity counts the pieces of all")] = 1
    list_name: Annotated[str, said("the list it comes from, where several are planned together")] = ""
    note: str = ""
    spares: Annotated[int, COUNT("how many more are welcome from left overs")] = 0
    holes: Annotated[tuple[Hole, ...], said("holes to drill and landings of other parts")] = ()
    spares_bought: Annotated[int, COUNT("how many of the quantity are spares")] = 0
    share_mitres: Annotated[bool, said("may its mitres share a cut with a neighbour's", rare=True)] = True
    stamps: Annotated[
        tuple[str, ...], said("what is stamped on the copies: one text for all, or one for each", rare=True)
    ] = ()

    also_grades: Annotated[tuple[str, ...], said("grades beside its own that serve it too", rare=True)] = ()
    saw: Annotated[str, said("which of several saws it is cut on", rare=True)] = ""

    def __post_init__(self) -> None:
        if not self.mark or self.quantity < 1 or self.length <= 0:
            raise ValueError("a part has a mark, a quantity of at least 1 and a length")
        if self.spares < 0:
            raise ValueError(f"{self.mark}: the number of spares is not negative")
        if self.mitred and self.depth <= 0:
            raise ValueError(f"{self.mark}: a mitre needs the depth it runs across")
        if len({allowance.purpose for allowance in self.allowances}) != len(self.allowances):
            raise ValueError(f"{self.mark}: an allowance is given twice for one purpose")
        if len(self.stamps) not in (0, 1, self.quantity):
            raise ValueError(f"{self.mark}: one text is stamped on all copies, or one on each")
        if self.assemblies < 1 or not 0 <= self.spares_bought < self.quantity:
            raise ValueError(f"{self.mark}: an assembly is made at least once, and not all pieces are spares")
        if self.finished <= 0 or self._shorter_side(self.finished) < 0:
            raise ValueError(f"{self.mark}: the mitres cross before the short point")
        for fault in hole_faults(self, self.holes):
            raise ValueError(f"{self.mark}: a hole cannot be drilled: {fault.what}")

    @property
    def grades(self) -> tuple[str, ...]:
        """The grades that serve it, its own first; none where any does."""
        return (self.grade, *self.also_grades) if self.grade else ()

    @property
    def section_as_typed(self) -> str:
        """The section as the list names it, where its figures are others than those used here; else blank."""
        typed = " ".join(self.typed_section.split())
        return typed if typed and _figures(typed) != _figures(self.section.designation) else ""

    @property
    def mitred(self) -> bool:
        """True when either end is not square."""
        return self.end_a.angle > 0 or self.end_b.angle > 0

    @property
    def steeper_angle(self) -> Angle:
        """The steeper of the two end angles."""
        return max(self.end_a.angle, self.end_b.angle)

    @property
    def cut_alike(self) -> tuple[object, ...]:
        """Equal for parts that are cut from the same bars by the same setting of the saw."""
        a, b = self.end_a.angle, self.end_b.angle
        turned = (self.lean, self.heel, self.opposite_hand and not self.same_in_mirror) if a or b else ()
        return self.length, min(a, b), max(a, b), self.depth, self.grades, self.cut_to_fit, *turned

    @property
    def laid_alike(self) -> tuple[Angle, bool, tuple[object, ...]]:
        """Equal for parts that are cut alike and lie in a bar in the same way: end A, the first, is cut like end A."""
        return self.end_a.angle, self.share_mitres or not self.mitred, self.cut_alike

    @property
    def same_in_mirror(self) -> bool:
        """True when the sawn part, turned over, is its own opposite hand.

        Its section is then alike on either side of both its middle planes, and a mitre runs along one of them.
        """
        return self.section.family in _ALIKE_ON_ALL_SIDES

    @property
    def allowance(self) -> Length:
        """What the sawn length is longer by than the finished one. [nm]"""
        return sum(allowance.length for allowance in self.allowances)

    @property
    def finished(
        self,
    ) -> Annotated[
        Length, POSITIVE_LENGTH("length less the allowances, in mm; follows from the others", before="allowances")
    ]:
        """Length as finished, measured as the sawn one is. [nm]"""
        return self.length - self.allowance

    @property
    def cut_to_fit(self) -> bool:
        """True when the part is cut to its finished length after fit-up."""
        # Asked so often that an empty loop would count.
        return bool(self.allowances) and any(allowance.purpose is Purpose.FIT for allowance in self.allowances)

    @property
    def runs(self) -> tuple[Length, Length]:
        """Long point less short point of end A and of end B. [nm]"""
        return mitre_run(self.depth, self.end_a.angle), mitre_run(self.depth, self.end_b.angle)

    @property
    def short_point(
        self,
    ) -> Annotated[Length, LENGTH("length of the shorter side, in mm; follows from the others", before="cope")]:
        """Length of the shorter of the two sides that the mitres run between. [nm]

        Mitres that lean opposite ways shorten one side by both runs; parallel ones shorten each side by one run.
        """
        return self._shorter_side(self.length)

    def _shorter_side(self, length: Length) -> Length:
        runs = self.runs
        return length - (sum(runs) if self.lean is Lean.OPPOSITE else max(runs))

    @property
    def grip(
        self,
    ) -> Annotated[
        Length,
        LENGTH(
            "length from short point to short point along the part, for a vice, in mm; follows from the others",
            before="cope",
        ),
    ]:
        """Length over which both sides are there for a vice: from short point to short point along the part. [nm]

        0 where parallel mitres leave no such stretch.
        """
        return max(0, self.length - sum(self.runs)) if self.mitred else self.length

    @property
    def centre_line(self) -> Length:
        """Length midway between the two sides, however the mitres lean; half a nanometre is dropped. [nm]"""
        return self.length - ceil_div(sum(self.runs), 2)

    @property
    def finished_centre_line(self) -> Length:
        """The same of the finished piece, with what it is longer by for weld shrinkage still in it. [nm]"""
        taken_off = (each.length for each in self.allowances if each.purpose is not Purpose.SHRINKAGE)
        return self.centre_line - sum(taken_off)


def sections_called(parts: Sequence[Part], *, inches: bool) -> dict[str, str]:
    """What each section goes by, by its key, in a workshop that works in millimetres, or in inches: ``HSS 2x2x1/8``.

    The typed name leads where its figures are others than those used here: at the saw and at the merchant's that is
    the name the section goes by. In a workshop that works in millimetres those stand behind it in brackets.
    """
    names: dict[str, str] = {}
    for part in parts:
        if typed := part.section_as_typed:
            names.setdefault(part.section.key, typed if inches else f"{typed} ({part.section.designation})")
    sections = {part.section.key: part.section.designation for part in parts}
    return {key: names.get(key, inch_name(name) if inches else name) for key, name in sections.items()}


@lru_cache(maxsize=4096)
def _figures(text: str) -> frozenset[Fraction]:
    """The numbers in a designation: ``2.0`` is 2, ``6 x 50`` is 50x6, and ``box 40x3`` is 40x40x3."""
    return frozenset(map(Fraction, re.findall(r"\d+/[1-9]\d*|\d+(?:\.\d+)?|\.\d+", text)))


_ALIKE_ON_ALL_SIDES = {
    *(Family.SHS, Family.RHS, Family.CHS, Family.PIPE, Family.BEAM),
    *(Family.FLAT, Family.SQUARE, Family.ROUND, Family.HEXAGON),
}
"""Families whose sections are alike on either side of both their middle planes, however they lie on the saw."""
