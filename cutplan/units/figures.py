"""Figures as a workshop types them: the one way from a typed text to a number, and back to what would be typed."""

from __future__ import annotations

from dataclasses import dataclass

from cutplan.units.angles import ANGLE_FORMS, parse_angle
from cutplan.units.formatting import typed_length
from cutplan.units.lengths import LENGTH_FORMS, parse_length, parse_length_or_zero
from cutplan.units.money import MONEY_FORMS, exact_money_text, parse_money
from cutplan.units.notation import with_point
from cutplan.units.quantities import Angle, Length, Money


@dataclass(frozen=True, slots=True)
class Figures:
    """Reads and writes figures; every reading raises Refused where a text cannot be meant.

    Parameters
    ----------
    unit
        Of a bare length: ``mm`` or ``in``.
    decimal_sign
        ``.`` or ``,``; blank where the workshop has not said, and a comma is then refused.
    """

    unit: str = "mm"
    decimal_sign: str = ""

    def length(self, text: str) -> Length:
        """A length above 0. [nm]"""
        return parse_length(self.plain(text, LENGTH_FORMS), self.unit)

    def length_or_zero(self, text: str) -> Length:
        """A length, 0 among them. [nm]"""
        return parse_length_or_zero(self.plain(text, LENGTH_FORMS), self.unit)

    def angle(self, text: str) -> Angle:
        """An angle from square. [millionths of a degree]"""
        return parse_angle(self.plain(text, ANGLE_FORMS))

    def money(self, text: str) -> Money:
        """An amount. [millionths of the currency]"""
        return parse_money(self.plain(text, MONEY_FORMS))

    def plain(self, text: str, accepted: str) -> str:
        """The text with every number in it as a plain decimal with a point."""
        return with_point(text, self.decimal_sign, accepted)

    def typed_length(self, length: Length) -> str:
        """A length as it would be typed here, exact and with its unit."""
        return self.signed(typed_length(length, self.unit))

    def typed_money(self, money: Money) -> str:
        """An amount as it would be typed here, exact."""
        return self.signed(exact_money_text(money))

    def signed(self, plain: str) -> str:
        """A number written with a point, with the sign by which it is read here."""
        return plain.replace(".", ",") if self.decimal_sign == "," else plain
