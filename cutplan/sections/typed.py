"""Taking apart the name of a section: its numbers in nanometres, the signs between them, and the words left over."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutplan.problems import Refused, nearest
from cutplan.sections.gauges import GAUGES, gauge_thickness
from cutplan.sections.names import ACCEPTED, FILLERS, FINISHES, Name, Notation
from cutplan.sections.section import Family
from cutplan.units import INCH, MM, Length, mm_text

LARGEST_INCHES: Length = 24 * INCH
"""Above this a name in inches is millimetres with a stray fraction; wider US tubes are no workshop stock."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A name taken apart: sizes in nm, each as it would be typed again, and the words that are left."""

    text: str
    capitals: str
    sizes: tuple[Length, ...]
    shown: tuple[str, ...]
    words: frozenset[str]
    inches: bool
    finish: str

    def named(self, family: Family, height: Length, width: Length, thickness: Length, standard: str = "") -> Name:
        return Name(
            family=family, height=height, width=width, thickness=thickness, finish=self.finish, standard=standard
        )

    @property
    def wall(self) -> str:
        """A common wall to put into an offered reading."""
        return '1/8"' if self.inches else "3"


SAME_WORD = {
    "TUBING": "TUBE",
    "TUBES": "TUBE",
    "SQ": "SQUARE",
    "SQR": "SQUARE",
    "RECT": "RECTANGULAR",
    "ANGLES": "ANGLE",
    "L": "ANGLE",
    "RSA": "ANGLE",
    "LNP": "ANGLE",
    "FL": "FLAT",
    "FB": "FLAT",
    "FMS": "FLAT",
    "FLATS": "FLAT",
    "RD": "ROUND",
    "RND": "ROUND",
    "BARS": "BAR",
    "HEX": "HEXAGON",
    "HEXAGONAL": "HEXAGON",
    "AF": "HEXAGON",
    "DIAMETER": "DIA",
    "OD": "DIA",
    "TS": "HSS",
}

GAUGE_WORDS = {**dict.fromkeys(("GA", "GAUGE", "GAGE"), ""), "SWG": "SWG", "BWG": "BWG"}
"""Words behind a gauge number, and the table that the word itself names."""

_LENGTH_UNITS = frozenset({"M", "CM", "FT", "'"})
_OTHERS = {
    **dict.fromkeys(("M", "THREADED", "STUDDING"), "threaded rod"),
    **dict.fromkeys(("N", "REBAR"), "reinforcing bar"),
    **dict.fromkeys(("SHEET", "PLATE", "MESH"), "sheet, plate and mesh"),
}
"""What is sold beside sections, and is none."""

_NUMBER = r"\d+(?:\s+|\s*-\s*)\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d+|\.\d+|\d+"
_TOKEN = re.compile(
    rf"""\s*(?:
      (?P<number>{_NUMBER})(?:\s*(?P<unit>MM|CM|INCHES|INCH|IN|FT|GAUGE|GAGE|GA|SWG|BWG|M|"|'')\.?(?![A-WYZ.\d])|(?P<feet>'))?
    | (?P<by>(?:X|BY)(?=\s*(?:[\d.]|$)))
    | (?P<word>[A-Z]+)\.?
    | (?P<blank>[,;](?!\d))
    )\s*""",
    re.VERBOSE,
)
_ONE_SIGN = "write one x between two dimensions, and none before or after them"
LENGTH_ELSEWHERE = "a length goes into the length column, not into the name"
WALL_FORMS = "the wall as a decimal in mm or a fraction of an inch, such as SHS 25x25x1.6"


def take_apart(text: str, capitals: str, notation: Notation, vocabulary: frozenset[str], hints: Sequence[str]) -> Typed:
    """Numbers, signs and words of a name; refuses what belongs elsewhere.

    Parameters
    ----------
    text
        As typed.
    capitals
        The same as :func:`cutplan.sections.names.plain_capitals` leaves it, with points for decimals.
    vocabulary, hints
        The words that are known, and those that an unknown one is compared with.
    """
    numbers: list[str] = []
    units: list[str] = []
    words: list[str] = []
    joined = True
    position = 0
    while position < len(capitals):
        match = _TOKEN.match(capitals, position)
        if match is None:
            raise Refused(
                text, ACCEPTED, f'"{capitals[position]}" has no place in the name of a section', code="section.unknown"
            )
        position = match.end()
        if match["word"]:
            words.append(match["word"])
        elif match["number"]:
            if (match["unit"] or match["feet"]) in _LENGTH_UNITS:
                raise Refused(text, ACCEPTED, LENGTH_ELSEWHERE, code="section.length")
            if not joined:
                raise Refused(text, ACCEPTED, _ONE_SIGN, code="section.sign")
            numbers.append(match["number"])
            units.append(match["unit"] or "")
            joined = False
        elif match["by"]:
            if joined:
                raise Refused(text, ACCEPTED, _ONE_SIGN, code="section.sign")
            joined = True
    if joined and numbers:
        raise Refused(text, ACCEPTED, _ONE_SIGN, code="section.sign")
    for word in words:
        if word in _OTHERS:
            raise Refused(text, ACCEPTED, f"not a section: {_OTHERS[word]}", code="section.thing")
        if SAME_WORD.get(word, word) not in vocabulary:
            raise Refused(
                text,
                ACCEPTED,
                nearest(word, hints) or f'the word "{word.lower()}" is not known here',
                code="section.unknown",
            )
    return _sorted_out(text, capitals, notation, numbers, units, words)


def _sorted_out(
    text: str, capitals: str, notation: Notation, numbers: list[str], units: list[str], words: list[str]
) -> Typed:
    known = [SAME_WORD.get(word, word) for word in words]
    finishes = sorted({FINISHES[word] for word in known if word in FINISHES})
    if len(finishes) > 1:
        raise Refused(text, ACCEPTED, f"two finishes in one name: {' and '.join(finishes)}", code="section.finish")
    kinds = frozenset(word for word in known if word not in FINISHES and word not in FILLERS)
    if GAUGE_WORDS.keys() & kinds:
        raise Refused(text, WALL_FORMS, "a gauge number stands before its word: 16 ga", code="section.gauge")
    inch_marked = any(unit not in ("", "MM", *GAUGE_WORDS) for unit in units) or any("/" in each for each in numbers)
    inches = inch_marked or "HSS" in kinds
    if inches and "MM" in units:
        raise Refused(
            text,
            ACCEPTED,
            "inches and millimetres are mixed in one name (a fraction and HSS mean inches)",
            code="section.units",
        )
    sizes = []
    shown = []
    for number, unit in zip(numbers, units, strict=True):
        if unit in GAUGE_WORDS:
            table = GAUGE_WORDS[unit] or notation.gauge
            sizes.append(_gauge(text, number, table))
            shown.append(f"{number} {unit}")
        else:
            sizes.append(_size(text, number, inches))
            shown.append(_shown(number, sizes[-1], inches))
    return Typed(
        text=text,
        capitals=capitals,
        sizes=tuple(sizes),
        shown=tuple(shown),
        words=kinds,
        inches=inches,
        finish=finishes[0] if finishes else "",
    )


def _gauge(text: str, number: str, table: str) -> Length:
    """The wall that a gauge number means. [nm]"""
    if not table:
        known = " or ".join(f'"{name}"' for name in GAUGES)
        raise Refused(
            text,
            WALL_FORMS,
            "a gauge number has several meanings (16 gauge is 1.52 to 1.65 mm): measure the wall, or let the workshop "
            f"file name the merchant's table, defaults.gauge = {known}",
            code="section.gauge",
        )
    inches = gauge_thickness(table, int(number)) if number.isdigit() else None
    if inches is None:
        numbers = f"{min(GAUGES[table])} to {max(GAUGES[table])}"
        raise Refused(
            text,
            f"a whole gauge number of {table} from {numbers}, such as SHS 25x25x16 {table.split()[-1]}",
            code="section.gauge",
        )
    return int(inches * INCH)


def _size(text: str, number: str, inches: bool) -> Length:
    value = Fraction(0)
    try:
        for piece in re.sub(r"\s*/\s*", "/", number).replace("-", " ").split():
            value += Fraction(piece)
    except ZeroDivisionError:
        raise Refused(text, ACCEPTED, "a fraction with nothing below the line", code="number.fraction") from None
    size = value * (INCH if inches else MM)
    if size.denominator != 1:
        raise Refused(text, ACCEPTED, f"{number} is finer than a millionth of a millimetre", code="length.fine")
    if size == 0:
        raise Refused(text, ACCEPTED, "a dimension is more than 0", code="length.zero")
    if inches and size > LARGEST_INCHES:
        raise Refused(
            text,
            ACCEPTED,
            f"a fraction, an inch mark or HSS makes the whole name inches: {number} inches?",
            code="section.units",
        )
    return int(size)


def _shown(number: str, size: Length, inches: bool) -> str:
    if not inches:
        return mm_text(size)
    return re.sub(r"\s+|\s*-\s*", "-", re.sub(r"\s*/\s*", "/", number)) + '"'
