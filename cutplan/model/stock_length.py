"""A stock length on offer, what its typed price is per, and what a bar of it then costs."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Annotated

from cutplan.fields import COUNT, MASS, MONEY, NAME, POSITIVE_LENGTH, said
from cutplan.model.workshop import Workshop
from cutplan.problems import Refused
from cutplan.sections.section import SECTION, Section
from cutplan.units import FOOT, KG, METRE, POUND_IN_KG, TONNE, Length, Mass, Money, Tax, parse_amount


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
