"""Numbers as people type them: signs and glyphs made one, fractions and plain decimals read exactly."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from cutplan.problems import Refused

_QUOTES = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "–": "-", "−": "-", "⁄": "/", "\u00a0": " "}
)
_GLYPHS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

NUMBER = (
    r"(?:(?P<whole>\d+)(?:\s+|-)(?P<num>\d+)\s*/\s*(?P<den>\d+)"
    r"|(?P<fnum>\d+)\s*/\s*(?P<fden>\d+)"
    r"|(?P<dec>\d+\.\d+|\d+|\.\d+))"
)

COMMA = re.compile(r"\d,\d")

QUANTITY_FORMS = "a whole number from 1 to 100000, such as 4"
MAX_QUANTITY = 100_000

LONGEST_NUMBER = 60
"""Characters in a number as typed. Python itself refuses to read whole numbers of more than 4300 digits."""


def tidy_text(text: str) -> str:
    """One kind of quote mark, minus and space, fraction glyphs written out, no blanks around.

    ``47½ ″`` becomes ``47 1/2 "``. Nothing that changes a value is repaired.
    """
    for glyph, plain in _GLYPHS.items():
        if glyph in text:
            text = re.sub(rf"(?<=\d){glyph}", f" {plain}", text).replace(glyph, plain)
    return " ".join(text.translate(_QUOTES).split())


def fraction_of(match: re.Match[str]) -> Fraction:
    """The number an amount holds; a zero denominator raises ZeroDivisionError."""
    if match["whole"]:
        return int(match["whole"]) + Fraction(int(match["num"]), int(match["den"]))
    if match["fnum"]:
        return Fraction(int(match["fnum"]), int(match["fden"]))
    return Fraction(match["dec"])


def letters_hint(text: str) -> str:
    """Hint at letters typed for digits; blank when there are none."""
    if re.search(r"\d[Oo]|[Oo]\d", text):
        return "letter O where a digit is expected"
    if re.search(r"\d[lI]|[lI]\d", text):
        return "letter l or I where a digit is expected"
    return ""


def parse_decimal(text: str, accepted: str) -> Decimal:
    """A plain decimal number, not negative; raises Refused with ``accepted`` otherwise."""
    tidy = tidy_text(text)
    if len(tidy) > LONGEST_NUMBER:
        raise Refused(text, accepted)
    if COMMA.search(tidy):
        raise Refused(text, accepted, "a comma may stand for thousands or for decimals: write 1200 or 1.2")
    if not re.fullmatch(r"-?(?:\d+\.?\d*|\.\d+)", tidy):
        raise Refused(text, accepted, letters_hint(tidy))
    value = Decimal(tidy)
    if value < 0:
        raise Refused(text, accepted, "a negative amount has no meaning here")
    return value


def parse_quantity(text: str) -> int:
    """A whole number of pieces, 1 to 100,000; raises Refused otherwise."""
    tidy = tidy_text(text)
    match = re.fullmatch(r"(\d{1,20})(?:\.0+)?", tidy)
    if match is None or not 1 <= int(match[1]) <= MAX_QUANTITY:
        raise Refused(text, QUANTITY_FORMS, letters_hint(tidy))
    return int(match[1])
