"""Lengths in workshop notation, read exactly."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from cutplan.problems import Refused
from cutplan.units.formatting import INCHES, MILLIMETRES, Printing, stock_text
from cutplan.units.notation import COMMA, LONGEST_NUMBER, NUMBER, fraction_of, letters_hint, tidy_text, unsaid_comma
from cutplan.units.quantities import FOOT, INCH, METRE, Length
from cutplan.units.unit_words import unit_length

MAX_LENGTH: Length = 100 * METRE
"""The largest length read. Sixty metres is the longest rail rolled; more is a slip of the unit."""

ASKED_ABOVE: Length = 30 * METRE
"""Nothing a small workshop saws is longer (common practice, no source); more is asked about, as a slip of the unit."""

_FEET = r"\d+\s*(?:'|ft\.?|feet|foot)"
_FIGURES = r"\d+(?:(?:\.\d+)|(?:[ -]\d+/\d+)|(?:/\d+))?"
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
        When the text is no length, is ambiguous, is not positive, is too long or is finer than a nanometre; with a
        question where it can be meant, but seldom is: ``6'14"``, or more than 30 m.
    """
    length = _signless_length(text, default_unit)
    if length == 0:
        raise Refused(text, LENGTH_FORMS, "a length is more than 0", code="length.zero")
    return length


def parse_length_or_zero(text: str, default_unit: str = "mm") -> Length:
    """As :func:`parse_length`, for settings where 0 has a meaning."""
    return _signless_length(text, default_unit)


def _signless_length(text: str, default_unit: str) -> Length:
    tidy = tidy_text(text)
    if len(tidy) > LONGEST_NUMBER:
        raise Refused(text, LENGTH_FORMS, code="length.unreadable")
    if COMMA.search(tidy):
        raise Refused(text, LENGTH_FORMS, unsaid_comma(tidy), code="length.comma")
    if tidy.startswith("-"):
        raise Refused(text, LENGTH_FORMS, "a length is more than 0", code="length.zero")
    total = Fraction(0)
    amounts: list[tuple[Fraction, Length]] = []
    position = 0
    while position < len(tidy):
        match = _AMOUNT.match(tidy, position)
        if match is None:
            raise Refused(text, LENGTH_FORMS, _hint(tidy), code="length.unreadable")
        word, value = match["unit"], _amount(text, match)
        if word is None and (amounts or match.end() < len(tidy)):
            raise Refused(text, LENGTH_FORMS, _hint(tidy), code="length.unreadable")
        if word is None and match["dec"] is None and default_unit not in ("in", "ft"):
            raise Refused(
                text,
                LENGTH_FORMS,
                f"a fraction needs its unit: write {tidy} in if inches are meant",
                code="length.fraction",
            )
        size = unit_length(word or default_unit)
        if size is None:
            raise Refused(text, LENGTH_FORMS, _hint(tidy), code="length.unreadable")
        amounts.append((value, size))
        total += value * size
        position = match.end()
        gap = re.match(r"\s*-?\s*", tidy[position:])
        position += gap.end() if gap and position < len(tidy) else 0
    if not amounts or tidy.endswith("-"):
        raise Refused(text, LENGTH_FORMS, code="length.unreadable")
    if total.denominator != 1:
        raise Refused(text, LENGTH_FORMS, "finer than a millionth of a millimetre: round it", code="length.fine")
    _check_steps(text, amounts, int(total))
    _check_size(text, tidy, amounts[0][1], int(total))
    return int(total)


def _amount(text: str, match: re.Match[str]) -> Fraction:
    """One number of a length; a fraction behind a whole number is less than one."""
    try:
        value = fraction_of(match)
    except ZeroDivisionError:
        raise Refused(text, LENGTH_FORMS, "a fraction with nothing below the line", code="number.fraction") from None
    if match["whole"] and int(match["num"]) >= int(match["den"]):
        raise Refused(
            text,
            LENGTH_FORMS,
            f"{match['num']}/{match['den']} behind a whole number is not less than one",
            code="number.fraction",
        )
    return value


def _check_steps(text: str, amounts: list[tuple[Fraction, Length]], total: Length) -> None:
    """Refuse units out of order, a part of a unit beside a smaller one, and as much of the smaller as makes one."""
    for (larger, size), (smaller, next_size) in pairwise(amounts):
        if next_size >= size:
            raise Refused(text, LENGTH_FORMS, "the larger unit comes first, each unit once", code="length.units")
        if larger.denominator != 1:
            raise Refused(
                text,
                LENGTH_FORMS,
                "a part of the larger unit, and the smaller beside it: write one of them",
                code="length.units",
            )
        if smaller * next_size >= size:
            meant = _exactly(total, INCHES if size % INCH == 0 else MILLIMETRES)
            question = f": write {meant} if that is meant" if meant else ""
            raise Refused(
                text, LENGTH_FORMS, f"the smaller unit makes up the larger one{question}", code="length.units"
            )


def _check_size(text: str, tidy: str, largest_unit: Length, total: Length) -> None:
    """Ask about a length above :data:`ASKED_ABOVE` unless it is typed in metres, feet or larger."""
    if total > MAX_LENGTH:
        raise Refused(text, f"at most {stock_text(MAX_LENGTH)} a length", code="length.most")
    if total > ASKED_ABOVE and not (names_unit(tidy) and largest_unit >= FOOT):
        meant = _exactly(total, INCHES if largest_unit % INCH == 0 else MILLIMETRES)
        hint = f"is another unit meant? else write {meant}" if meant else "is another unit meant?"
        raise Refused(text, f"a length up to {stock_text(ASKED_ABOVE)}", hint, code="length.most")


def _exactly(length: Length, how: Printing) -> str:
    """A length as merchants say it; blank where that would round it."""
    text = stock_text(length, how)
    return "" if text.startswith("~") else text


def _hint(tidy: str) -> str:
    if re.fullmatch(r"ditto|do\.?|\"|''|〃", tidy, re.IGNORECASE):
        return "a length is written out in every row"
    if re.search(r"[*+^=]", tidy):
        return "sums are not worked out here: write what it comes to"
    if re.fullmatch(r"[1-9]\d{0,2}(?: \d{3})+(?: ?[a-z]+)?", tidy):
        return f"no space within a number: write {re.sub(r'(?<=[0-9]) (?=[0-9])', '', tidy)}"
    if re.fullmatch(rf"{_FEET}\s*-?\s*{_FIGURES}", tidy):
        return f'write {tidy}" if inches are meant'
    return letters_hint(tidy)


def names_unit(text: str) -> bool:
    """Does a length as typed carry a unit of its own?"""
    return bool(re.search(r"[A-Za-z\"']", tidy_text(text)))
