"""A Job: parts wanted, stock lengths on sale, offcuts on hand and the workshop's settings.

Each piece checks itself; what only the whole can know is checked by the reader,
which can place it. A Job and a Plan are all that the rooms share.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Annotated

from cutplan.fields import ANGLE, COUNT, LENGTH, MASS, MONEY, NAME, POSITIVE_COUNT, POSITIVE_LENGTH, reference, said
from cutplan.model.ends import SQUARE, Allowance, EndCut, Heel, Lean, Purpose
from cutplan.model.holes import Hole, hole_faults
from cutplan.model.others import OtherLine
from cutplan.model.workshop import LengthMeant, Workshop
from cutplan.problems import Problem, Refused
from cutplan.sections.section import Family, Section
from cutplan.units import (
    FOOT,
    KG,
    METRE,
    POUND_IN_KG,
    TONNE,
    Angle,
    Length,
    Mass,
    Money,
    Tax,
    ceil_div,
    mitre_run,
    parse_amount,
)

SECTION = reference("key")("key of a section")


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
        return self.length, min(a, b), max(a, b), self.depth, self.grade, self.cut_to_fit, *turned

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


_ALIKE_ON_ALL_SIDES = {
    *(Family.SHS, Family.RHS, Family.CHS, Family.PIPE, Family.BEAM),
    *(Family.FLAT, Family.SQUARE, Family.ROUND, Family.HEXAGON),
}
"""Families whose sections are alike on either side of both their middle planes, however they lie on the saw."""


class Basis(Enum):
    """What a typed price is per."""

    EACH = "each"
    PER_M = "per m"
    PER_FT = "per ft"
    PER_KG = "per kg"
    PER_LB = "per lb"
    PER_TONNE = "per tonne"
    PER_CWT = "per cwt (100 lb)"
    PER_LONG_CWT = "per long cwt (112 lb)"
    PER_SHORT_TON = "per short ton (2000 lb)"
    PER_LONG_TON = "per long ton (2240 lb)"


POUNDS_IN: dict[Basis, int] = {
    Basis.PER_LB: 1,
    Basis.PER_CWT: 100,
    Basis.PER_LONG_CWT: 112,
    Basis.PER_SHORT_TON: 2000,
    Basis.PER_LONG_TON: 2240,
}
"""Pounds in what a price by weight may be per.

References
----------
NIST Special Publication 811 (2008), appendix B.8: hundredweight and ton, short and long.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLength:
    """A stock length on offer from one merchant.

    Parameters
    ----------
    id
        Unique in the job, e.g. ``#12`` for row 12 of the price list; with a sign that no mark has, since marks of parts
        and of the rack are printed beside it.
    length, counted
        Nominal length, and the length counted on after the minus tolerance. [nm]
    typed_price
        The price as typed; blank when the list has none.
    bar_price
        Money for one bar, on the list's tax basis, rounded once; None when there is no price.
    available
        How many can be had; None is no limit.
    """

    id: Annotated[str, NAME]
    row: Annotated[int, COUNT("row of the price list; 0 when there is none")] = 0
    merchant: str
    section: Annotated[Section, SECTION]
    grade: str = ""
    finish: str
    length: Annotated[Length, POSITIVE_LENGTH("nominal length in mm")]
    counted: Annotated[Length, POSITIVE_LENGTH("length counted on, in mm")]
    typed_price: Annotated[str, said("price as typed; blank when there is none")] = ""
    basis: Basis = Basis.EACH
    bar_price: Annotated[Money | None, MONEY("money for one bar, or null when there is no price")] = None
    available: Annotated[int | None, COUNT("how many can be had, or null when there is no limit")] = None

    def __post_init__(self) -> None:
        if not 0 < self.counted <= self.length:
            raise ValueError(f"{self.id}: the length counted on is more than 0 and at most the nominal length")
        if self.bar_price is not None and self.bar_price < 0:
            raise ValueError(f"{self.id}: a price is not negative")
        if self.available is not None and self.available < 0:
            raise ValueError(f"{self.id}: the number available is not negative")

    @property
    def standard(self) -> Annotated[str, NAME(before="grade")]:
        """Standard of the section."""
        return self.section.standard

    @property
    def mass_per_metre(self) -> Annotated[Mass, MASS("kg/m", before="typed_price")]:
        """Of the section. [mg/m]"""
        return self.section.mass_per_metre

    @property
    def mass(self) -> Annotated[Mass, MASS("one bar of nominal length, in kg", before="typed_price")]:
        """Mass of one bar of nominal length. [mg]"""
        return self.section.mass_of(self.length)


def bar_price(price: Fraction, basis: Basis, length: Length, section: Section) -> Money:
    """Money for one bar, rounded half up once to a millionth of the currency.

    Parameters
    ----------
    price
        As typed, in the currency, per ``basis``.
    length
        Nominal length; merchants charge the nominal. [nm]
    section
        Its mass per metre turns a price by weight into a price of a bar.

    References
    ----------
    International yard and pound agreement, 1959, for foot and pound.
    """
    mass = Fraction(section.mass_per_metre * length, METRE)
    factor = {
        Basis.EACH: Fraction(1),
        Basis.PER_M: Fraction(length, METRE),
        Basis.PER_FT: Fraction(length, FOOT),
        Basis.PER_KG: mass / KG,
        Basis.PER_TONNE: mass / TONNE,
        **{each: mass / KG / (pounds * POUND_IN_KG) for each, pounds in POUNDS_IN.items()},
    }[basis]
    micros = price * factor * 1_000_000
    return (2 * micros.numerator + micros.denominator) // (2 * micros.denominator)


def price_as_typed(text: str, workshop: Workshop) -> Fraction:
    """The amount of a price as typed, on the tax basis of the workshop's prices.

    Raises
    ------
    Refused
        When the text is no amount, is in another currency, or says of the tax what cannot be worked out.
    """
    amount = parse_amount(text, workshop.currency, workshop.decimal_sign)
    has_tax = workshop.prices_include_tax
    if amount.tax is Tax.NOT_SAID or (amount.tax is Tax.IN) is has_tax:
        return amount.value
    if not workshop.tax_millionths:
        basis = "with" if has_tax else "without"
        raise Refused(
            text,
            f"a price {basis} tax, as the others, or the rate as tax.percent in the workshop file",
            code="price.tax",
        )
    factor = 1 + Fraction(workshop.tax_millionths, 1_000_000)
    return amount.value * factor if has_tax else amount.value / factor


class EndState(Enum):
    """How the end of a bar is."""

    MILL = "mill"
    SAWN = "sawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """A piece on the rack: an offcut, one of a kind, or ``quantity`` full lengths under one mark.

    ``grade`` blank is unknown. ``book_value`` is what using one up costs, in
    millionths of the currency. ``length`` is that to the longest point: end A
    may be slanted by ``angle_a`` across a ``depth``, its long point on a
    ``side`` as :mod:`cutplan.model.placing` counts them. Lengths in nm.
    """

    mark: Annotated[str, NAME]
    row: Annotated[int, COUNT("row of the rack file; 0 when there is none")] = 0
    section: Annotated[Section, SECTION]
    grade: Annotated[str, said("blank is unknown")] = ""
    finish: str
    length: Annotated[Length, POSITIVE_LENGTH]
    end_a: EndState = EndState.SAWN
    end_b: EndState = EndState.SAWN
    place: str = ""
    heat_number: str = ""
    book_value: Annotated[Money, MONEY("what using it up costs")] = 0
    quantity: Annotated[int, POSITIVE_COUNT("how many lie there under this mark")] = 1
    angle_a: Annotated[Angle, ANGLE("of end A from square; the length is then that to its long point", rare=True)] = 0
    depth: Annotated[Length, LENGTH("depth that the slant of end A runs across, in mm", rare=True)] = 0
    side: Annotated[
        int, COUNT("on which side the long point of end A lies: 0 top, 1 right, 2 below, 3 left", rare=True)
    ] = 0

    def __post_init__(self) -> None:
        if (self.angle_a > 0) != (self.depth > 0) or (self.angle_a and self.end_a is not EndState.SAWN):
            raise ValueError("a slanted end is sawn, and runs across a depth")
        if not self.mark or self.length <= 0 or self.book_value < 0 or self.quantity < 1:
            raise ValueError("an offcut has a mark, a length, a quantity and a book value that is not negative")
        if self.tip >= self.length or not 0 <= self.side <= 3:
            raise ValueError("an offcut is longer than its slanted end, whose long point lies on one of four sides")

    @property
    def tip(self) -> Length:
        """What is sawn off to square a slanted end A: its long point less its short one. [nm]"""
        return mitre_run(self.depth, self.angle_a)

    @property
    def is_full(self) -> bool:
        """Is it a stock length that was never cut, rather than an offcut?"""
        return self.end_a is EndState.MILL and self.end_b is EndState.MILL

    @property
    def standard(self) -> Annotated[str, NAME(before="grade")]:
        """Standard of the section."""
        return self.section.standard


@dataclass(frozen=True, slots=True, kw_only=True)
class InputFile:
    """A file that was read: its role, its name as typed and the SHA-256 of its bytes."""

    role: str
    name: str
    sha256: Annotated[str, said("SHA-256 of its bytes, in hexadecimal")]


REST_OF = "plan"
"""Role, among the files of a job, of the plan that it is the rest of; noted with that plan's digest."""


@dataclass(frozen=True, slots=True)
class GivenCopy:
    """The highest copy of a part given so far."""

    part: str
    copy: Annotated[int, COUNT("the highest copy of the part given so far")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """The plan of which a job is the rest: its numbers are counted on, and no number is given twice.

    Parameters
    ----------
    bars
        The highest number of a bar given so far.
    copies
        The highest copy given so far, by part mark.
    stay
        Numbers of the bars that stay as they were: with their number, their cuts and the copies printed on labels.
    """

    bars: Annotated[int, COUNT("the highest number of a bar given so far")]
    copies: Annotated[tuple[GivenCopy, ...], said("by part")] = ()
    stay: Annotated[tuple[Annotated[int, COUNT], ...], said("numbers of the bars that stay as they were")] = ()

    def __post_init__(self) -> None:
        if any(not 1 <= number <= self.bars for number in self.stay):
            raise ValueError("a bar that stays has a number that was given")

    def copy(self, mark: str) -> int:
        """The highest copy of a part given so far; 0 where there is none."""
        return next((each.copy for each in self.copies if each.part == mark), 0)


@dataclass(frozen=True, slots=True)
class Assumption:
    """What was assumed, in a sentence; ``code`` is one of :data:`cutplan.problem_codes.CODES`."""

    code: Annotated[str, said("what is assumed in a word for programs")]
    text: Annotated[str, said("the sentence")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """All that a plan answers.

    ``others`` is bought and weighed but not cut. ``assumptions`` are what was assumed;
    ``warnings`` are placed findings that do not stop a plan; ``silenced`` counts those that are not told, because
    somebody has looked at their line. ``earlier`` is there where the job is the rest of one that was begun.
    """

    name: str
    parts: tuple[Part, ...]
    offers: tuple[StockLength, ...]
    offcuts: tuple[Offcut, ...] = ()
    others: tuple[OtherLine, ...] = ()
    workshop: Workshop
    files: tuple[InputFile, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    warnings: tuple[Problem, ...] = ()
    silenced: int = 0
    earlier: Earlier | None = None

    def __post_init__(self) -> None:
        for what, names in (
            ("mark", [part.mark for part in self.parts]),
            ("offer", [offer.id for offer in self.offers]),
            ("offcut mark", [offcut.mark for offcut in self.offcuts]),
        ):
            if len(set(names)) != len(names):
                raise ValueError(f"a {what} is used twice")
        if not self.parts:
            raise ValueError("a job has at least one part")

    @property
    def assumed(self) -> tuple[str, ...]:
        """The sentences of the assumptions."""
        return tuple(one.text for one in self.assumptions)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts that are cut from the same bars, with every offer and offcut that could serve one of them.

    ``grade`` is blank when a part of the group leaves its grade open; then
    :func:`serves` says which bar serves which part. Offers include those longer
    than the longest carry; ``within_carry`` filters them.
    """

    section: Section
    finish: str
    grade: str
    parts: tuple[Part, ...]
    offers: tuple[StockLength, ...]
    offcuts: tuple[Offcut, ...]

    @property
    def title(self) -> str:
        """How sheets name the group."""
        return ", ".join(text for text in (self.section.key, self.grade or "any grade", self.finish) if text)

    @property
    def priced(self) -> bool:
        """True when no offer lacks a price, so that money can be proven."""
        return all(offer.bar_price is not None for offer in self.offers)

    @property
    def pieces(self) -> int:
        """Number of parts counted one by one."""
        return sum(part.quantity for part in self.parts)


def serves(bar_grade: str, part_grade: str) -> bool:
    """May a bar of this grade be cut into a part of that grade?

    A part with no grade is served by any bar; a stated grade excludes a bar of
    another or of unknown grade.
    """
    return not part_grade or bar_grade == part_grade


def groups_of(job: Job) -> tuple[Group, ...]:
    """Split a job into groups that share no bar, in the order of their first part.

    Where a section in one finish is asked for with and without a grade, the
    parts stay in one group, because a bar of that grade may serve both.
    """
    made_of = [(part.section.key, part.finish) for part in job.parts]
    open_grade = {material for material, part in zip(made_of, job.parts, strict=True) if not part.grade}
    members: dict[tuple[str, str, str], list[Part]] = {}
    for material, part in zip(made_of, job.parts, strict=True):
        members.setdefault((*material, "" if material in open_grade else part.grade), []).append(part)
    groups = []
    for (key, finish, grade), parts in members.items():
        groups.append(
            Group(
                section=parts[0].section,
                finish=finish,
                grade=grade,
                parts=tuple(parts),
                offers=tuple(
                    o for o in job.offers if o.section.key == key and o.finish == finish and serves(o.grade, grade)
                ),
                offcuts=tuple(
                    o for o in job.offcuts if o.section.key == key and o.finish == finish and serves(o.grade, grade)
                ),
            )
        )
    return tuple(groups)


def within_carry(offer: StockLength, workshop: Workshop) -> bool:
    """Can this stock length be brought home whole: short enough, or delivered?"""
    carry = workshop.carry
    return not carry or offer.length <= carry or workshop.merchant(offer.merchant).delivers
