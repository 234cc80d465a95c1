"""What the workshop says once: saw, trims, what is worth keeping, merchants, tax, carry.

Every default comes from the trade and is the workshop's to change; the defaults
that a workshop file left standing are listed by the reader as assumptions.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Annotated, NamedTuple

from cutplan.fields import COUNT, DECIMAL, LENGTH, MASS, MONEY, NAME, POSITIVE_COUNT, one_of, rows, said
from cutplan.model.merchant import Bill, Brought, Merchant
from cutplan.model.saw import Saw
from cutplan.sections.names import Notation
from cutplan.sections.own import OwnSection
from cutplan.sections.section import Family
from cutplan.units import (
    DECIMAL_SIGNS,
    KG,
    MASS_UNITS,
    MM,
    PRINTED_TO,
    USUAL,
    Figures,
    Length,
    Mass,
    Money,
    Printing,
    ceil_div,
)

PAPERS = ("A4", "Letter")

LABELS = (
    *("70 x 37 mm", "63.5 x 38.1 mm", "99.1 x 38.1 mm", "105 x 57 mm", "2 5/8 x 1 in", "4 x 2 in"),
    *("roll 57 x 32 mm", "roll 62 x 29 mm", "roll 2 1/4 x 1 1/4 in"),
)
"""Sheets of labels by the size of one, and rolls with one label after another."""


class LengthMeant(Enum):
    """Which length a mitred part is given by."""

    LONG_POINT = "long point"
    CENTRE_LINE = "centre line"
    SHORT_POINT = "short point"
    ONE_SIDE = "one side"
    """Along one side of a part whose two mitres are parallel and equal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What work at the saw counts for in money, 0 unless the workshop says so; nobody is paid it.

    Parameters
    ----------
    per_bar
        For fetching and handling one bar.
    per_cut
        For each stroke of the saw; see :func:`cutplan.model.plan.strokes`.
    per_setup
        For setting the saw: once for each different part on a bar. Parts cut alike share one setting.
    """

    per_bar: Annotated[Money, MONEY] = 0
    per_cut: Annotated[Money, MONEY] = 0
    per_setup: Annotated[Money, MONEY] = 0

    def __post_init__(self) -> None:
        if min(self.per_bar, self.per_cut, self.per_setup) < 0:
            raise ValueError("what work counts for is not negative")


NO_WORK = Work()


class FamilyLength(NamedTuple):
    """One family."""

    family: Family
    length: Annotated[Length, LENGTH]


class FamilyMoney(NamedTuple):
    """One family."""

    family: Family
    money: Annotated[Money, MONEY]


class FamilyStandard(NamedTuple):
    """One family."""

    family: Family
    standard: str


class MaterialDensity(NamedTuple):
    """A material."""

    name: Annotated[str, NAME]
    density: Annotated[int, POSITIVE_COUNT("kg/m3")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """Everything that holds for all jobs of one workshop.

    Parameters
    ----------
    name
        Shown on the sheets; may be blank.
    address
        Where it is delivered to, shown on the sheet to buy by; may be blank.
    unit
        Unit of bare numbers and of the sheets: ``mm`` or ``in``.
    paper
        What the sheets are printed on: ``A4`` or ``Letter``.
    printed_to
        The step lengths are printed to; 0 is the usual one of the unit. [nm]
    mass_unit
        Unit that masses are printed in, ``kg`` or ``lb``; blank is the usual one beside the unit.
    labels
        The sheet or roll that labels are printed on, by the size of a label; one of :data:`LABELS`.
    decimal_sign
        The decimal sign of what is typed, ``.`` or ``,``; blank as long as nobody has said, and then a comma in a
        number is refused.
    currency
        ISO 4217 code, e.g. ``EUR``.
    tax_millionths
        Tax rate, e.g. 200000 for 20 %.
    prices_include_tax
        Whether prices, delivery and minimum orders were typed with the tax in them.
    saw, saws
        The saw; where there are several, all of them, of which it is the first until one is chosen.
    minus_tolerance
        How much shorter than its nominal length a stock length may come, by family. [nm]
    keep
        Shortest left over worth keeping, by family. [nm]
    offcut_value_per_mm
        What a kept offcut is worth per millimetre, by family; 0 unless given. [millionths of the currency]
    most_kept
        How many offcuts of one group a plan may keep; the longest are, the others become scrap. None is no limit.
    work
        What work at the saw counts for.
    longest_carry
        Longest piece that can be brought home; 0 is no limit. [nm]
    longest_flagged
        Longest piece that can be brought home with a flag at its end, where that is longer. [nm]
    payload
        What may be loaded for one trip; 0 is not said. [mg]
    trip_cost
        What one trip to a merchant costs. [millionths of the currency]
    heavy
        A bar that weighs more is flagged, so that nobody lifts it alone unawares; no safe limit. [mg]
    standards
        The standard of a section whose line names none, by family.
    default_finish
        The finish of a line that names none.
    certificate
        The inspection certificate that orders and enquiries ask for, in words; blank is none.
    mitre_length
        Which length a mitred part is given by when its line does not say.
    gauge
        The gauge table by which its merchant names walls, a name in :data:`cutplan.sections.GAUGES`; blank when none
        was named, and a bare gauge number is then refused.
    materials
        Materials of its own with their densities, or other densities of known ones. [kg/m3]
    own_sections
        Sections of its own.
    density
        Density of carbon steel. [kg/m3]
    own_drills
        The drills there are, as typed; blank for the usual metric and inch sets.
    also_serve, never_serve
        Grades asked with those that serve them beside the standards' own, and with those that do not, as typed.
    """

    name: str = ""
    address: Annotated[str, said("where it is delivered to; may be blank")] = ""
    unit: Annotated[str, one_of("mm", "in")('unit of bare numbers and of the sheets: "mm" or "in"')] = "mm"
    paper: Annotated[str, one_of(*PAPERS)("what the sheets are printed on")] = "A4"
    printed_to: Annotated[
        Length,
        DECIMAL(
            'the step lengths are printed to, in millimetres as an exact decimal text; "0" is the usual one of the unit'
        ),
    ] = 0
    mass_unit: Annotated[
        str,
        one_of("", *MASS_UNITS)('unit that masses are printed in: "kg", "lb", or "" for the usual one beside the unit'),
    ] = ""
    labels: Annotated[str, one_of(*LABELS)("the sheet or roll that labels are printed on, by the size of a label")] = (
        "70 x 37 mm"
    )
    decimal_sign: Annotated[
        str,
        one_of("", *DECIMAL_SIGNS)(
            'the decimal sign of what was typed: ".", ",", or "" where the workshop has not said'
        ),
    ] = ""
    currency: Annotated[str, said("ISO 4217 code")] = "EUR"
    tax_millionths: Annotated[int, DECIMAL("0.2 is 20 %", key="tax_rate")] = 0
    prices_include_tax: bool = False
    saw: Annotated[Saw, said("the saw")] = field(default_factory=Saw)
    saws: Annotated[
        tuple[Saw, ...], said("several saws, each with its name; the first is also the saw", rare=True)
    ] = ()
    minus_tolerance: Annotated[
        tuple[tuple[Family, Length], ...],
        rows(FamilyLength, "how much shorter a stock length may come, where the workshop says so"),
    ] = ()
    keep: Annotated[
        tuple[tuple[Family, Length], ...],
        rows(FamilyLength, "shortest left over worth keeping, where the workshop says so"),
    ] = ()
    offcut_value_per_mm: Annotated[
        tuple[tuple[Family, Money], ...],
        rows(FamilyMoney, "value of a kept left over per mm, where the workshop says so"),
    ] = ()
    most_kept: Annotated[int | None, COUNT("left overs that one group may keep; null is no limit")] = None
    work: Annotated[Work, said("what work at the saw counts for")] = NO_WORK
    longest_carry: Annotated[Length, LENGTH("longest piece that can be brought home, in mm; 0 is no limit")] = 0
    longest_flagged: Annotated[
        Length,
        LENGTH("longest piece that can be brought home with a flag at its end, in mm; 0 is none longer", rare=True),
    ] = 0
    payload: Annotated[Mass, MASS("what may be loaded for one trip, in kg; 0 is not said", rare=True)] = 0
    trip_cost: Annotated[Money, MONEY("what a trip to a merchant costs, to fetch what is ordered", rare=True)] = 0
    heavy: Annotated[Mass, DECIMAL("a bar that weighs more is flagged, in kg")] = 25 * KG
    standards: Annotated[
        tuple[tuple[Family, str], ...],
        rows(FamilyStandard, "standard of a section that names none, where the workshop says so"),
    ] = ()
    default_finish: str = "black"
    certificate: Annotated[str, said("the inspection certificate asked for; blank is none", rare=True)] = ""
    mitre_length: LengthMeant = LengthMeant.LONG_POINT
    gauge: Annotated[str, said("gauge table of wall thicknesses; blank for none")] = ""
    materials: Annotated[
        tuple[tuple[str, int], ...],
        rows(MaterialDensity, "materials of the workshop's own, and densities of its own for known ones"),
    ] = ()
    own_sections: Annotated[tuple[OwnSection, ...], said("sections of the workshop's own")] = ()
    density: Annotated[int, POSITIVE_COUNT("kg/m3")] = 7850
    own_drills: Annotated[str, said("the drills there are, as typed; blank for the usual sets", rare=True)] = ""
    also_serve: Annotated[str, said("grades asked with those that serve them too, as typed", rare=True)] = ""
    never_serve: Annotated[str, said("grades asked with those that do not serve them, as typed", rare=True)] = ""
    merchants: Annotated[tuple[Merchant, ...], said("merchants with terms of their own")] = ()

    def __post_init__(self) -> None:
        if self.unit not in ("mm", "in"):
            raise ValueError("the workshop's unit is mm or in")
        if self.paper not in PAPERS:
            raise ValueError("the paper is A4 or Letter")
        if self.printed_to and self.printed_to not in PRINTED_TO[self.unit].values():
            raise ValueError("lengths are not printed to that step in the workshop's unit")
        if self.mass_unit and self.mass_unit not in MASS_UNITS:
            raise ValueError("masses are printed in kg or lb")
        if self.labels not in LABELS:
            raise ValueError("the labels are of a size that is known")
        if self.decimal_sign not in ("", *DECIMAL_SIGNS):
            raise ValueError("the decimal sign is a point or a comma")
        if len({merchant.name for merchant in self.merchants}) != len(self.merchants):
            raise ValueError("a merchant is named twice")
        names = [saw.name for saw in self.saws]
        if names and (not all(names) or len(set(names)) != len(names) or self.saw.name not in names):
            raise ValueError("each of several saws has a name of its own, and the saw is one of them")

    @property
    def all_saws(self) -> tuple[Saw, ...]:
        """Every saw there is."""
        return self.saws or (self.saw,)

    def at_saw(self, name: str) -> Workshop:
        """The workshop as it is for what is cut on one of several saws; as it is where there is one."""
        saw = next((saw for saw in self.saws if saw.name == name), self.saw)
        return self if saw == self.saw else replace(self, saw=saw)

    def with_saws(self, saws: Sequence[Saw]) -> Workshop:
        """The workshop with other saws, in the order of :attr:`all_saws`."""
        return replace(self, saw=saws[0], saws=tuple(saws) if self.saws else ())

    @property
    def notation(self) -> Notation:
        """How names of sections are written here."""
        return Notation(
            gauge=self.gauge,
            decimal_comma=self.decimal_sign == ",",
            materials=self.materials,
            own=self.own_sections,
        )

    @property
    def figures(self) -> Figures:
        """How figures are typed here."""
        return Figures(self.unit, self.decimal_sign)

    @property
    def printing(self) -> Printing:
        """How lengths and masses are printed."""
        usual = USUAL[self.unit]
        return Printing(self.unit, self.printed_to or usual.finest, self.mass_unit or usual.mass_unit)

    @property
    def carry(self) -> Length:
        """The longest piece that can be brought home, with a flag where that lets longer ones pass; 0 is no limit."""
        return max(self.longest_carry, self.longest_flagged) if self.longest_carry else 0

    def keep_length(self, family: Family) -> Length:
        """Shortest left over of this family that goes on the rack. [nm]"""
        return dict(self.keep).get(family, DEFAULT_KEEP[family])

    def counted_on(self, family: Family, nominal: Length) -> Length:
        """Length counted on: nominal less the minus tolerance of the family. [nm]"""
        return nominal - dict(self.minus_tolerance).get(family, 0)

    def offcut_value(self, family: Family) -> Money:
        """Value of a kept offcut per millimetre. [millionths of the currency]"""
        return dict(self.offcut_value_per_mm).get(family, 0)

    def book_value(self, family: Family, length: Length) -> Money:
        """What using up a piece costs that has no book value of its own: what keeping it was worth, rounded up."""
        return ceil_div(self.offcut_value(family) * length, MM)

    def work_on(self, merchant: str) -> Work:
        """What work on a bar of this merchant (blank: an offcut) counts for: its own charge where it does the cuts."""
        terms = self.merchant(merchant)
        return Work(per_cut=terms.cut_charge) if merchant and terms.cuts_to_plan else self.work

    def standard(self, family: Family) -> str:
        """Standard of a section whose line names none."""
        return dict(self.standards).get(family, DEFAULT_STANDARD[family])

    def merchant(self, name: str) -> Merchant:
        """Terms of a merchant; one that is not listed has no charges and does not deliver."""
        for merchant in self.merchants:
            if merchant.name == name:
                return merchant
        return Merchant(name=name)

    @property
    def fetches(self) -> bool:
        """Does the workshop say what it can fetch, or at what cost? Else whoever delivers is taken to do so."""
        return bool(self.longest_carry or self.payload or self.trip_cost)

    def bills(self, name: str) -> tuple[Bill, ...]:
        """Every way in which an order from a merchant may come and be billed."""
        return self.terms(name).bills(self.trip_cost, self.payload)

    def bill(self, name: str, spend: Money, mass: Mass) -> Bill:
        """How bars of this price and mass are billed: of the ways open to such an order, the one that costs least."""
        ways = (bill for bill in self.bills(name) if spend >= bill.spend_from)
        return min(ways, key=lambda bill: bill.on_top(spend, mass))

    def is_weighed(self, name: str) -> bool:
        """May an order from a merchant be fetched, and may it be delivered?"""
        return len({bill.fetched for bill in self.bills(name)}) > 1

    def charges(self, name: str) -> bool:
        """Does anything bought from a merchant cost more than the bars do, or come one way only?"""
        return self.is_weighed(name) or any(bill.delivery or bill.minimum or bill.trip for bill in self.bills(name))

    def terms(self, name: str) -> Merchant:
        """Terms of a merchant; where nothing is said about fetching, whoever delivers is taken to deliver all."""
        terms = self.merchant(name)
        if self.fetches or not terms.delivers or terms.brought is not Brought.CHEAPER:
            return terms
        return terms.all_delivered

    def as_brought(self, fetched: Collection[str]) -> Workshop:
        """The same with one way for every order to come: of those that are weighed, ``fetched`` names who is driven to.

        Who is driven to counts as one who does not deliver, and charges nothing for it.
        """

        def settled(terms: Merchant) -> Merchant:
            if not terms.delivers:
                return terms
            if terms.brought is Brought.FETCHED or (terms.name in fetched and self.is_weighed(terms.name)):
                return replace(terms, delivers=False, delivery=0, free_delivery_from=0, brought=Brought.CHEAPER)
            return terms.all_delivered

        merchants = tuple(map(settled, self.merchants))
        ways = any(self.is_weighed(terms.name) or terms.brought is Brought.FETCHED for terms in self.merchants)
        return replace(self, merchants=merchants) if ways else self


_LONG_KEEP = 300 * MM
_SOLID_KEEP = 150 * MM

DEFAULT_KEEP: dict[Family, Length] = {
    Family.SHS: _LONG_KEEP,
    Family.RHS: _LONG_KEEP,
    Family.CHS: _LONG_KEEP,
    Family.PIPE: _LONG_KEEP,
    Family.EA: _LONG_KEEP,
    Family.UA: _LONG_KEEP,
    Family.FLAT: _SOLID_KEEP,
    Family.SQUARE: _SOLID_KEEP,
    Family.ROUND: _SOLID_KEEP,
    Family.HEXAGON: _SOLID_KEEP,
    Family.CHANNEL: _LONG_KEEP,
    Family.BEAM: _LONG_KEEP,
    Family.TEE: _LONG_KEEP,
    Family.OWN: _LONG_KEEP,
}
"""Shortest left over worth keeping; from memory, common practice, no source."""

DEFAULT_STANDARD: dict[Family, str] = {
    Family.SHS: "EN 10219-2",
    Family.RHS: "EN 10219-2",
    Family.CHS: "EN 10219-2",
    Family.PIPE: "EN 10255",
    Family.EA: "EN 10056-1",
    Family.UA: "EN 10056-1",
    Family.FLAT: "EN 10058",
    Family.SQUARE: "EN 10059",
    Family.ROUND: "EN 10060",
    Family.HEXAGON: "EN 10061",
    Family.CHANNEL: "EN 10365",
    Family.BEAM: "EN 10365",
    Family.TEE: "EN 10365",
    Family.OWN: "own drawing",
}
