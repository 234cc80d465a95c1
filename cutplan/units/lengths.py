"""Lengths in workshop notation, read exactly."""

from __future__ import annotations

import re
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units.notation import COMMA, LONGEST_NUMBER, NUMBER, fraction_of, letters_hint, tidy_text
from cutplan.units.printing import stock_text
from cutplan.units.quantities import METRE, Length
from cutplan.units.unit_words import unit_length

MAX_LENGTH: Length = 100 * METRE
"""The largest length read. Sixty metres is the longest rail rolled; more is a slip of the unit."""

# A dot may close an abbreviation: 3 ft. 6 in.
_AMOUNT = re.compile(NUMBER + r"\s*(?:(?P<unit>[A-Za-z]+|\"|'{1,2})(?:(?<=[A-Za-z])\.(?!\d))?)?")

LENGTH_FORMS = "millimetres such as 6200 or 6200.5, metres such as 6.2 m, or feet and inches such as 20' 4 1/8\""


def parse_length(text: str, default_unit: str = "mm") -> Length:
    """Read a length in workshop notation.

    Parameters
    ----------
    text
        ``1200``, ``1.2 m``, ``47 1/4"``, ``3' 11-1/4"``, ``1-1/2 in``.
    default_unit
        Unit of a bare number, a word of :data:`EVERYDAY_UNITS`.

    Returns
    -------
    Length
        More than 0 and at most :data:`MAX_LENGTH`.

    Raises
    ------
    Refused
        When the text is no length, is ambiguous, is not positive, is too long or is finer than a nanometre.
    """
    length = _signless_length(text, default_unit)
    if length == 0:
        raise Refused(text, LENGTH_FORMS, "a length is more than 0")
    return length


def parse_length_or_zero(text: str, default_unit: str = "mm") -> Length:
    """As :func:`parse_length`, for settings where 0 has a meaning."""
    return _signless_length(text, default_unit)


def _signless_length(text: str, default_unit: str) -> Length:
    tidy = tidy_text(text)
    if len(tidy) > LONGEST_NUMBER:
        raise Refused(text, LENGTH_FORMS)
    if COMMA.search(tidy):
        raise Refused(text, LENGTH_FORMS, "a comma may stand for thousands or for decimals: write 1200 or 1.2")
    if tidy.startswith("-"):
        raise Refused(text, LENGTH_FORMS, "a length is more than 0")
    total = Fraction(0)
    smallest: Length | None = None
    position = 0
    while position < len(tidy):
        match = _AMOUNT.match(tidy, position)
        if match is None:
            raise Refused(text, LENGTH_FORMS, letters_hint(tidy))
        word = match["unit"]
        if word is None and (smallest is not None or match.end() < len(tidy)):
            raise Refused(text, LENGTH_FORMS, letters_hint(tidy))
        if word is None and match["dec"] is None and default_unit not in ("in", "ft"):
            raise Refused(text, LENGTH_FORMS, f"a fraction needs its unit: write {tidy} in if inches are meant")
        size = unit_length(word or default_unit)
        if size is None:
            raise Refused(text, LENGTH_FORMS, letters_hint(tidy))
        if smallest is not None and size >= smallest:
            raise Refused(text, LENGTH_FORMS, "the larger unit comes first, each unit once")
        try:
            total += fraction_of(match) * size
        except ZeroDivisionError:
            raise Refused(text, LENGTH_FORMS, "a fraction with nothing below the line") from None
        smallest = size
        position = match.end()
        gap = re.match(r"\s*-?\s*", tidy[position:])
        position += gap.end() if gap and position < len(tidy) else 0
    if smallest is None or tidy.endswith("-"):
        raise Refused(text, LENGTH_FORMS)
    if total.denominator != 1:
        raise Refused(text, LENGTH_FORMS, "finer than a millionth of a millimetre: round it")
    if total > MAX_LENGTH:
        raise Refused(text, f"at most {stock_text(MAX_LENGTH)} a length")
    return int(total)


def names_unit(text: str) -> bool:
    """Does a length as typed carry a unit of its own?"""
    return bool(re.search(r"[A-Za-z\"']", tidy_text(text)))
