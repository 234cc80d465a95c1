"""Lengths, angles, masses and money as exact whole numbers; workshop notation in and out.

Inside the program a length is a whole number of nanometres, an angle of
millionths of a degree, a mass of milligrams and money of millionths of the
currency. Nothing else in the package imports pint, and pint itself is loaded
only for a unit word outside the everyday few: it reads ``1 5/8 in`` as
15.875 mm, so the notation is read by the grammar here.

References
----------
International yard and pound agreement of 1959: 1 in = 25.4 mm,
1 lb = 0.45359237 kg, exactly.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, TypeAlias

from cutplan.problems import Refused

if TYPE_CHECKING:
    import pint

Length: TypeAlias = int
"""Whole nanometres."""
Angle: TypeAlias = int
"""Whole millionths of a degree, counted from square."""
Mass: TypeAlias = int
"""Whole milligrams."""
Money: TypeAlias = int
"""Whole millionths of the currency."""

UM: Length = 1_000
MM: Length = 1_000_000
METRE: Length = 1_000 * MM
INCH: Length = 25_400_000
FOOT: Length = 12 * INCH
DEGREE: Angle = 1_000_000
KG: Mass = 1_000_000
TONNE: Mass = 1_000 * KG
POUND_IN_KG = Fraction(45359237, 100_000_000)
CURRENCY: Money = 1_000_000

MAX_LENGTH: Length = 100 * METRE
"""The largest length read. Sixty metres is the longest rail rolled; more is a slip of the unit."""

ROUNDED_UP_TO: Length = 100 * UM
"""Lengths that trigonometry yields are rounded up to a tenth of a millimetre: no saw works finer."""

EVERYDAY_UNITS: dict[str, Length] = {
    "mm": MM,
    "cm": 10 * MM,
    "m": METRE,
    "in": INCH,
    "ft": FOOT,
}
"""Unit words resolved without loading pint; a test holds them equal to pint's."""

_SAME_UNIT = {
    '"': "in",
    "''": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "foot": "ft",
    "feet": "ft",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
}
_QUOTES = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "–": "-", "−": "-", "⁄": "/", "\u00a0": " "}
)
_GLYPHS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_NUMBER = (
    r"(?:(?P<whole>\d+)(?:\s+|-)(?P<num>\d+)\s*/\s*(?P<den>\d+)"
    r"|(?P<fnum>\d+)\s*/\s*(?P<fden>\d+)"
    r"|(?P<dec>\d+\.\d+|\d+|\.\d+))"
)
# A dot may close an abbreviation: 3 ft. 6 in.
_AMOUNT = re.compile(_NUMBER + r"\s*(?:(?P<unit>[A-Za-z]+|\"|'{1,2})(?:(?<=[A-Za-z])\.(?!\d))?)?")
_COMMA = re.compile(r"\d,\d")

LENGTH_FORMS = "millimetres such as 6200 or 6200.5, metres such as 6.2 m, or feet and inches such as 20' 4 1/8\""
MONEY_FORMS = "an amount such as 31.50, with no thousands separator"
ANGLE_FORMS = "degrees from square, 0 to 75, such as 45 or 22.5; blank is square"
QUANTITY_FORMS = "a whole number from 1 to 100000, such as 4"

LONGEST_NUMBER = 60
"""Characters in a number as typed. Python itself refuses to read whole numbers of more than 4300 digits."""

MAX_MITRE: Angle = 75 * DEGREE
MAX_QUANTITY = 100_000


@lru_cache(maxsize=1024)
def unit_length(word: str) -> Length | None:
    """Length of one unit named ``word``; None when the word names no length unit that is exact in nanometres."""
    name = _SAME_UNIT.get(word.lower(), word.lower())
    if name in EVERYDAY_UNITS:
        return EVERYDAY_UNITS[name]
    import pint

    try:
        size = Fraction(_registry().Quantity(Fraction(1), name).to("nanometer").magnitude)
    except (pint.PintError, AttributeError, TypeError, ValueError, AssertionError):
        return None
    return int(size) if size.denominator == 1 and size > 0 else None


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    # Kept, because pint takes a fifth of a second to read its definitions.
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def tidy_text(text: str) -> str:
    """One kind of quote mark, minus and space, fraction glyphs written out, no blanks around.

    ``47½ ″`` becomes ``47 1/2 "``. Nothing that changes a value is repaired.
    """
    for glyph, plain in _GLYPHS.items():
        if glyph in text:
            text = re.sub(rf"(?<=\d){glyph}", f" {plain}", text).replace(glyph, plain)
    return " ".join(text.translate(_QUOTES).split())


def _fraction(match: re.Match[str]) -> Fraction:
    """The number an amount holds; a zero denominator raises ZeroDivisionError."""
    if match["whole"]:
        return int(match["whole"]) + Fraction(int(match["num"]), int(match["den"]))
    if match["fnum"]:
        return Fraction(int(match["fnum"]), int(match["fden"]))
    return Fraction(match["dec"])


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
    if _COMMA.search(tidy):
        raise Refused(text, LENGTH_FORMS, "a comma may stand for thousands or for decimals: write 1200 or 1.2")
    if tidy.startswith("-"):
        raise Refused(text, LENGTH_FORMS, "a length is more than 0")
    total = Fraction(0)
    smallest: Length | None = None
    position = 0
    while position < len(tidy):
        match = _AMOUNT.match(tidy, position)
        if match is None:
            raise Refused(text, LENGTH_FORMS, _letters_hint(tidy))
        word = match["unit"]
        if word is None and (smallest is not None or match.end() < len(tidy)):
            raise Refused(text, LENGTH_FORMS, _letters_hint(tidy))
        if word is None and match["dec"] is None and default_unit not in ("in", "ft"):
            raise Refused(text, LENGTH_FORMS, f"a fraction needs its unit: write {tidy} in if inches are meant")
        size = unit_length(word or default_unit)
        if size is None:
            raise Refused(text, LENGTH_FORMS, _letters_hint(tidy))
        if smallest is not None and size >= smallest:
            raise Refused(text, LENGTH_FORMS, "the larger unit comes first, each unit once")
        try:
            total += _fraction(match) * size
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
        raise Refused(text, f"at most {length_text(MAX_LENGTH, 'm')} a length")
    return int(total)


def _letters_hint(text: str) -> str:
    if re.search(r"\d[Oo]|[Oo]\d", text):
        return "letter O where a digit is expected"
    if re.search(r"\d[lI]|[lI]\d", text):
        return "letter l or I where a digit is expected"
    return ""


def names_unit(text: str) -> bool:
    """Does a length as typed carry a unit of its own?"""
    return bool(re.search(r"[A-Za-z\"']", text.translate(_QUOTES)))


def parse_decimal(text: str, accepted: str) -> Decimal:
    """A plain decimal number, not negative; raises Refused with ``accepted`` otherwise."""
    tidy = tidy_text(text)
    if len(tidy) > LONGEST_NUMBER:
        raise Refused(text, accepted)
    if _COMMA.search(tidy):
        raise Refused(text, accepted, "a comma may stand for thousands or for decimals: write 1200 or 1.2")
    if not re.fullmatch(r"-?(?:\d+\.?\d*|\.\d+)", tidy):
        raise Refused(text, accepted, _letters_hint(tidy))
    value = Decimal(tidy)
    if value < 0:
        raise Refused(text, accepted, "a negative amount has no meaning here")
    return value


def parse_money(text: str) -> Money:
    """An amount of the workshop's currency in millionths, rounded half up once; at most 10 million."""
    value = parse_decimal(text, MONEY_FORMS)
    if value > 10_000_000:
        raise Refused(text, "an amount up to 10000000")
    return round_half_up(Fraction(value) * CURRENCY)


def parse_angle(text: str) -> Angle:
    """Degrees from square, 0 to 75; 90 is asked about because a square end is 0 here.

    Raises
    ------
    Refused
        When the text is no number, is 90, or is steeper than 75 degrees.
    """
    tidy = re.sub(r"\s*(°|deg|degrees?)$", "", tidy_text(text), flags=re.IGNORECASE)
    match = re.fullmatch(_NUMBER, tidy) if len(tidy) <= LONGEST_NUMBER else None
    if match is None:
        raise Refused(text, ANGLE_FORMS)
    try:
        value = _fraction(match) * DEGREE
    except ZeroDivisionError:
        raise Refused(text, ANGLE_FORMS) from None
    if value == 90 * DEGREE:
        raise Refused(text, ANGLE_FORMS, "is a square end meant? angles count from square: write 0 or leave it blank")
    if value > MAX_MITRE or value.denominator != 1:
        raise Refused(text, ANGLE_FORMS)
    return int(value)


def parse_quantity(text: str) -> int:
    """A whole number of pieces, 1 to 100,000; raises Refused otherwise."""
    tidy = tidy_text(text)
    match = re.fullmatch(r"(\d{1,20})(?:\.0+)?", tidy)
    if match is None or not 1 <= int(match[1]) <= MAX_QUANTITY:
        raise Refused(text, QUANTITY_FORMS, _letters_hint(tidy))
    return int(match[1])


def round_half_up(value: Fraction) -> int:
    """Nearest whole number, halves away from zero for positive values."""
    return math.floor(value + Fraction(1, 2))


def ceil_div(value: int, step: int) -> int:
    """``value / step`` rounded up."""
    return -(-value // step)


def kerf_along(kerf: Length, angle: Angle) -> Length:
    """What a blade of width ``kerf`` takes along the bar at a cut ``angle`` from square.

    kerf / cos(angle), rounded up to 0.1 mm; exactly ``kerf`` for a square cut.
    """
    if angle == 0:
        return kerf
    exact = kerf / math.cos(math.radians(angle / DEGREE))
    return ceil_div(math.ceil(exact - 0.01), ROUNDED_UP_TO) * ROUNDED_UP_TO


def mitre_run(depth: Length, angle: Angle) -> Length:
    """Long point less short point of one mitred end: depth x tan(angle).

    Exact at 45 degrees, rounded up to 0.1 mm otherwise.
    """
    if angle == 0:
        return 0
    if angle == 45 * DEGREE:
        return depth
    exact = depth * math.tan(math.radians(angle / DEGREE))
    return ceil_div(math.ceil(exact - 0.01), ROUNDED_UP_TO) * ROUNDED_UP_TO


def _plain(value: Fraction | Decimal) -> str:
    number = Decimal(value.numerator) / Decimal(value.denominator) if isinstance(value, Fraction) else value
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def mm_text(length: Length) -> str:
    """Exact millimetres as a plain decimal, as written into plan.json: ``1200.5``."""
    return _plain(Fraction(length, MM))


def length_text(length: Length, unit: str = "mm", *, with_unit: bool = True) -> str:
    """A length as the workshop reads it: ``1200.5 mm``, ``6.5 m``, ``47 1/4 in``, ``3 ft 11 1/4 in``.

    Millimetres are rounded to 0.1 and metres to 0.001 for reading; inches show the nearest
    1/64 and carry ``~`` in front when that is not exact. plan.json keeps the exact value.
    """
    if unit == "mm":
        text = _plain(Decimal(round_half_up(Fraction(length * 10, MM))) / 10)
    elif unit == "m":
        text = _plain(Decimal(round_half_up(Fraction(length * 1000, METRE))) / 1000)
    elif unit == "in":
        return _inch_text(length, with_unit)
    elif unit == "ft":
        return _feet_text(length)
    else:
        raise ValueError(f"no notation for the unit {unit!r}")
    return f"{text} {unit}" if with_unit else text


def _sixtyfourths(length: Length) -> tuple[str, int]:
    """What stands in front (``~`` when rounded, then the sign) and the nearest number of 1/64 in."""
    exact = Fraction(abs(length) * 64, INCH)
    return ("" if exact.denominator == 1 else "~") + ("-" if length < 0 else ""), round_half_up(exact)


def _inches(sixtyfourths: int) -> str:
    whole, part = divmod(sixtyfourths, 64)
    fraction = Fraction(part, 64)
    return f"{whole} {fraction}" if whole and part else str(fraction if part else whole)


def _inch_text(length: Length, with_unit: bool) -> str:
    front, sixtyfourths = _sixtyfourths(length)
    return f"{front}{_inches(sixtyfourths)}{' in' if with_unit else ''}"


def _feet_text(length: Length) -> str:
    front, sixtyfourths = _sixtyfourths(length)
    feet, rest = divmod(sixtyfourths, 12 * 64)
    if not feet:
        return f"{front}{_inches(rest)} in"
    return f"{front}{feet} ft {_inches(rest)} in" if rest else f"{front}{feet} ft"


def angle_text(angle: Angle) -> str:
    """Degrees as a plain decimal: ``22.5``."""
    return _plain(Fraction(angle, DEGREE))


def kg_text(mass: Mass, places: int = 1) -> str:
    """Kilograms with a fixed number of decimals: ``27.6``."""
    return _fixed(Fraction(mass, KG), places)


def money_text(money: Money, places: int = 2) -> str:
    """Money with a fixed number of decimals: ``31.50``."""
    return _fixed(Fraction(money, CURRENCY), places)


def exact_money_text(money: Money) -> str:
    """Money as an exact plain decimal, as written into plan.json: ``31.5``."""
    return _plain(Fraction(money, CURRENCY))


def _fixed(value: Fraction, places: int) -> str:
    scaled = round_half_up(abs(value) * 10**places)
    sign = "-" if value < 0 and scaled else ""
    whole, part = divmod(scaled, 10**places)
    return f"{sign}{whole}.{part:0{places}d}" if places else f"{sign}{whole}"
