"""The names of sections: what people type, and the one spelling used here.

A name is a family word and dimensions, in either order: ``SHS 40x40x3``,
``30 x 30 x 2.0 square tube``, ``Ø48.3x3.2 tube``, ``1/4 x 2 flat``. Spaces, case
and the sign between dimensions do not matter; nothing that changes the section
is repaired. A fraction or an inch mark anywhere makes the whole name inches,
and so does the word HSS; otherwise dimensions are millimetres.

The one spelling is the word of the family and the dimensions in millimetres as
exact decimals without trailing zeros, larger side first, thickness last. An
inch is 25.4 mm, so the decimals of an inch size always end: HSS 2x2x1/8 is
SHS 50.8x50.8x3.175. One exception keeps the spelling readable back: a round
tube of exactly 48 mm is CHS 48.0x3, because CHS 48x3 is taken for a slip of
48.3 and refused.

What is not read here: standard, grade and length have places of their own. A
family is added by one function from a typed name to a :class:`Name` and its
words in the table at the end of this file.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from cutplan.problems import Refused, nearest
from cutplan.sections.section import Family
from cutplan.sections.standards import IS_ANGLE, US_HOLLOW
from cutplan.units import INCH, MM, Length, mm_text, tidy_text

LONGEST_NAME = 80
THINNEST: Length = 400_000
THICKEST: Length = 100 * MM
SMALLEST_SIDE: Length = 5 * MM
SMALLEST_SOLID: Length = 3 * MM
LARGEST_SOLID: Length = 500 * MM
LARGEST_SIDE: Length = 2500 * MM
"""The largest round tube of EN 10210-2 and EN 10219-2, from memory."""
LARGEST_INCHES: Length = 24 * INCH
"""Above this a name in inches is millimetres with a stray fraction; wider US tubes are no workshop stock."""

ACCEPTED = "a family word and its dimensions, such as SHS 40x40x3, CHS 48.3x3.2, EA 50x50x5, FL 50x6 or RD 16"

# Outside diameters that no whole number names. Read: EN 10255 (tuspipe.com), and the round tube rows of the UK
# tables for the last three.
_TUBE_DIAMETERS = tuple(
    int(Fraction(diameter) * MM)
    for diameter in ("21.3", "26.9", "33.7", "42.4", "48.3", "60.3", "76.1", "88.9", "114.3", "139.7", "168.3", "219.1")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """A designation as understood; dimensions as in the name, in nm.

    Parameters
    ----------
    height, width
        Outside dimensions, height >= width; equal for square and round; for a flat the wide side and the thickness.
    thickness
        Wall, leg or flat thickness; the side or diameter of a solid bar.
    finish
        The finish word typed in the name, lower case; blank when there is none.
    standard
        The standard that the family word itself names (HSS, ISA); blank otherwise.
    """

    family: Family
    height: Length
    width: Length
    thickness: Length
    finish: str = ""
    standard: str = ""

    @property
    def designation(self) -> str:
        """The one spelling; :func:`parse` reads it back to the same family and dimensions."""
        sizes = {
            Family.CHS: (self.height, self.thickness),
            Family.FLAT: (self.height, self.thickness),
            Family.SQUARE: (self.height,),
            Family.ROUND: (self.height,),
        }.get(self.family, (self.height, self.width, self.thickness))
        texts = [mm_text(size) for size in sizes]
        if self.family is Family.CHS and _meant_diameter(self.height):
            texts[0] += ".0"
        return f"{self.family.value} {'x'.join(texts)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Typed:
    """A name taken apart: sizes in nm, each as it would be typed again, and the words that are left."""

    text: str
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


class _NotRead(Exception):
    """Dimensions that make no section of their family, with readings to offer where they prove sound."""

    def __init__(self, accepted: str, *readings: str, hint: str = "") -> None:
        super().__init__(accepted)
        self.accepted = accepted
        self.readings = readings
        self.hint = hint

    def refused(self, text: str) -> Refused:
        """The refusal of ``text``; offers only readings that really are accepted."""
        sound = list(dict.fromkeys(reading for reading in self.readings if _is_read(reading)))
        if not sound:
            return Refused(text, ACCEPTED, self.hint or self.accepted)
        return Refused(text, f"{self.accepted}, such as {' or '.join(sound)}", self.hint)


def _is_read(text: str) -> bool:
    try:
        _read(text)
    except (Refused, _NotRead):
        return False
    return True


_FINISHES = {
    "BRIGHT": "bright",
    "BLACK": "black",
    "GALVANISED": "galvanised",
    "GALVANIZED": "galvanised",
    "GALV": "galvanised",
    "GAL": "galvanised",
    "PRIMED": "primed",
}

_FILLERS = frozenset({"MS", "MILD", "STEEL", "IRON", "WALL", "THICK", "THK"})

_SAME_WORD = {
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
    "DIAMETER": "DIA",
    "OD": "DIA",
}

_PIPE = frozenset({"PIPE", "NB", "DN", "NPS", "SCH", "SCHEDULE"})
_GAUGE = frozenset({"GA", "GAUGE", "GAGE", "SWG", "BWG"})
_LENGTH_UNITS = frozenset({"M", "CM", "FT", "'"})
_OTHERS = {
    **dict.fromkeys(("M", "THREADED", "STUDDING"), "threaded rod"),
    **dict.fromkeys(("N", "REBAR"), "reinforcing bar"),
    **dict.fromkeys(("SHEET", "PLATE", "MESH"), "sheet, plate and mesh"),
    **dict.fromkeys(("CHANNEL", "PFC", "UPN", "UNP", "UPE", "U", "ISMC", "MC", "C"), "channel"),
    **dict.fromkeys(("BEAM", "UB", "UC", "IPE", "HE", "HEA", "HEB", "HEM", "ISMB", "RSJ", "W", "S"), "beams"),
    **dict.fromkeys(("TEE", "T"), "tees"),
    **dict.fromkeys(("HEX", "HEXAGON"), "hexagon bar"),
}

_SPECIAL = str.maketrans({"×": "X", "✕": "X", "*": "X", "Ø": " DIA ", "⌀": " DIA ", "∅": " DIA "})
_NUMBER = r"\d+(?:\s+|\s*-\s*)\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d+|\.\d+|\d+"
_TOKEN = re.compile(
    rf"""\s*(?:
      (?P<number>{_NUMBER})(?:\s*(?P<unit>MM|CM|INCHES|INCH|IN|FT|M|"|'')\.?(?![A-WYZ.\d])|(?P<feet>'))?
    | (?P<by>(?:X|BY)(?=\s*(?:[\d.]|$)))
    | (?P<word>[A-Z]+)\.?
    | (?P<blank>[,;](?!\d))
    )\s*""",
    re.VERBOSE,
)
_ONE_SIGN = "write one x between two dimensions, and none before or after them"
_LENGTH_ELSEWHERE = "a length goes into the length column, not into the name"
_COMMA = re.compile(r"\d,\d")
_GRADE = re.compile(r"\b(?:[SCE]\d{3}[A-Z\d]*|A36|A53|A500)\b")
_STANDARD = re.compile(r"\b(?:EN|ASTM|AS/NZS|AS|NZS|IS|BS|DIN)\s*\d")


def _take_apart(text: str) -> _Typed:
    """Numbers, signs and words of a name; refuses what belongs elsewhere."""
    if len(text) > LONGEST_NAME:
        raise Refused(text, ACCEPTED, "this is too long for the name of a section")
    upper = tidy_text(text).upper().translate(_SPECIAL).replace("O.D.", "OD")
    if _COMMA.search(upper):
        raise Refused(text, ACCEPTED, "a comma between digits may be decimal or separate: write a point for decimals")
    for pattern, what, where in ((_STANDARD, "standard", "Standard"), (_GRADE, "grade", "Grade")):
        if pattern.search(upper):
            raise Refused(text, ACCEPTED, f"a {what} goes into the column {where}, not into the name")
    numbers: list[str] = []
    units: list[str] = []
    words: list[str] = []
    joined = True
    position = 0
    while position < len(upper):
        match = _TOKEN.match(upper, position)
        if match is None:
            raise Refused(text, ACCEPTED, f'"{upper[position]}" has no place in the name of a section')
        position = match.end()
        if match["word"]:
            words.append(match["word"])
        elif match["number"]:
            if (match["unit"] or match["feet"]) in _LENGTH_UNITS:
                raise Refused(text, ACCEPTED, _LENGTH_ELSEWHERE)
            if not joined:
                raise Refused(text, ACCEPTED, _ONE_SIGN)
            numbers.append(match["number"])
            units.append(match["unit"] or "")
            joined = False
        elif match["by"]:
            if joined:
                raise Refused(text, ACCEPTED, _ONE_SIGN)
            joined = True
    if joined and numbers:
        raise Refused(text, ACCEPTED, _ONE_SIGN)
    return _sorted_out(text, numbers, units, words)


def _sorted_out(text: str, numbers: list[str], units: list[str], words: list[str]) -> _Typed:
    _refuse_other_products(text, words)
    known = [_SAME_WORD.get(word, word) for word in words]
    finishes = sorted({_FINISHES[word] for word in known if word in _FINISHES})
    if len(finishes) > 1:
        raise Refused(text, ACCEPTED, f"two finishes in one name: {' and '.join(finishes)}")
    kinds = frozenset(word for word in known if word not in _FINISHES and word not in _FILLERS)
    for word in words:
        if _SAME_WORD.get(word, word) not in _VOCABULARY:
            raise Refused(text, ACCEPTED, nearest(word, _HINTS) or f'the word "{word.lower()}" is not known here')
    inch_marked = any(unit not in ("", "MM") for unit in units) or any("/" in number for number in numbers)
    inches = inch_marked or "HSS" in kinds
    if inches and "MM" in units:
        raise Refused(text, ACCEPTED, "inches and millimetres are mixed in one name (a fraction and HSS mean inches)")
    sizes = tuple(_size(text, number, inches) for number in numbers)
    shown = tuple(_shown(number, size, inches) for number, size in zip(numbers, sizes, strict=True))
    return _Typed(
        text=text,
        sizes=sizes,
        shown=shown,
        words=kinds,
        inches=inches,
        finish=finishes[0] if finishes else "",
    )


def _refuse_other_products(text: str, words: list[str]) -> None:
    if _PIPE.intersection(words):
        raise Refused(
            text,
            "round tube by its outside diameter and wall, such as CHS 33.7x3.2",
            "pipe by its bore and class or schedule is not in this version (1 inch pipe is 33.7 mm outside)",
        )
    if _GAUGE.intersection(words):
        raise Refused(
            text,
            "the wall as a decimal in mm or a fraction of an inch, such as SHS 25x25x1.6",
            "a gauge number has several meanings (16 gauge is 1.52 to 1.65 mm): measure the wall",
        )
    for word in words:
        if word in _OTHERS:
            raise Refused(text, ACCEPTED, f"not in this version: {_OTHERS[word]}")


def _size(text: str, number: str, inches: bool) -> Length:
    value = Fraction(0)
    try:
        for piece in re.sub(r"\s*/\s*", "/", number).replace("-", " ").split():
            value += Fraction(piece)
    except ZeroDivisionError:
        raise Refused(text, ACCEPTED, "a fraction with nothing below the line") from None
    size = value * (INCH if inches else MM)
    if size.denominator != 1:
        raise Refused(text, ACCEPTED, f"{number} is finer than a millionth of a millimetre")
    if size == 0:
        raise Refused(text, ACCEPTED, "a dimension is more than 0")
    if inches and size > LARGEST_INCHES:
        raise Refused(text, ACCEPTED, f"a fraction, an inch mark or HSS makes the whole name inches: {number} inches?")
    return int(size)


def _shown(number: str, size: Length, inches: bool) -> str:
    if not inches:
        return mm_text(size)
    return re.sub(r"\s+|\s*-\s*", "-", re.sub(r"\s*/\s*", "/", number)) + '"'


def _x(word: str, *sizes: str) -> str:
    return f"{word} {'x'.join(sizes)}"


def _check_wall(typed: _Typed, smaller_side: Length, thickness: Length, *families: str) -> None:
    """Refuse a side or wall that no tube or angle has; offers the same figures turned round or another wall."""
    *sides, _ = typed.shown
    readings = [_x(family, *shown) for family in families for shown in (typed.shown[::-1], (*sides, typed.wall))]
    hint = ""
    if not typed.inches and max(typed.sizes) < INCH and (thickness < THINNEST or smaller_side < SMALLEST_SIDE):
        hint = 'are inches meant? mark them: 2"x2"x1/8"'
    if thickness < THINNEST or thickness > THICKEST:
        raise _NotRead("a thickness from 0.4 to 100 mm", *readings, hint=hint)
    if 2 * thickness >= smaller_side:
        raise _NotRead("a thickness below half the side, written last", *readings, hint=hint)
    if smaller_side < SMALLEST_SIDE or max(typed.sizes) > LARGEST_SIDE:
        raise _NotRead("sides from 5 to 2500 mm", *readings, hint=hint)


def _refuse_more_than(typed: _Typed, most: int, *families: str) -> None:
    if len(typed.sizes) > most:
        raise _NotRead(
            f"{most} dimension{'s' if most > 1 else ''}",
            *(_x(family, *typed.shown[:most]) for family in families),
            hint=_LENGTH_ELSEWHERE,
        )


def _square_tube(typed: _Typed) -> Name:
    _refuse_more_than(typed, 3, "SHS")
    if len(typed.sizes) == 3 and typed.sizes[0] != typed.sizes[1]:
        raise _NotRead(
            "a square tube has two equal sides: RHS for a rectangular one",
            _x("RHS", *typed.shown),
            _x("SHS", *typed.shown[::-1]),
        )
    return _tube(typed)


def _rectangular_tube(typed: _Typed) -> Name:
    _refuse_more_than(typed, 3, "RHS")
    if len(typed.sizes) < 3:
        raise _NotRead("two sides and the wall", _x("RHS", *typed.shown, typed.wall))
    if typed.sizes[0] == typed.sizes[1]:
        raise _NotRead("a rectangular tube has two different sides: SHS for a square one", _x("SHS", *typed.shown))
    return _tube(typed)


def _sides_and_wall(typed: _Typed, equal: str, unequal: str, missing: str) -> tuple[Length, Length, Length]:
    """Longer side, shorter side and wall of a name with three sizes, or with two where the side is given once.

    ``equal`` and ``unequal`` are the family words of the reading offered, and ``missing`` says what a name lacks.
    """
    if len(typed.sizes) == 3:
        return max(typed.sizes[:2]), min(typed.sizes[:2]), typed.sizes[2]
    if len(typed.sizes) == 2 and 2 * typed.sizes[1] < typed.sizes[0]:
        return typed.sizes[0], typed.sizes[0], typed.sizes[1]
    first, last = typed.shown[0], typed.shown[-1]
    raise _NotRead(missing, _x(equal if first == last else unequal, first, last, typed.wall))


def _tube(typed: _Typed) -> Name:
    """Square or rectangular as the sides say; two dimensions are a square side and its wall."""
    _refuse_more_than(typed, 3, "SHS", "RHS")
    height, width, wall = _sides_and_wall(typed, "SHS", "RHS", "the sides and the wall")
    _check_wall(typed, width, wall, "SHS", "RHS")
    return typed.named(Family.SHS if height == width else Family.RHS, height, width, wall)


def _meant_diameter(diameter: Length) -> Length:
    """The listed diameter that a whole number of millimetres is a slip of; 0 when it is none."""
    if diameter % MM:
        return 0
    return next((listed for listed in _TUBE_DIAMETERS if abs(listed - diameter) <= MM // 2), 0)


def _round_tube(typed: _Typed) -> Name:
    _refuse_more_than(typed, 2, "CHS")
    if len(typed.sizes) < 2:
        raise _NotRead("the outside diameter and the wall", _x("CHS", typed.shown[0], typed.wall))
    diameter, wall = typed.sizes
    _check_wall(typed, diameter, wall, "CHS")
    meant = 0 if typed.inches else _meant_diameter(diameter)
    if meant and not re.search(rf"(?<![\d.]){diameter // MM}\.0", typed.text):
        raise _NotRead(
            f"the exact outside diameter: {mm_text(meant)} is a listed one",
            _x("CHS", mm_text(meant), typed.shown[1]),
            _x("CHS", f"{typed.shown[0]}.0", typed.shown[1]),
        )
    return typed.named(Family.CHS, diameter, diameter, wall)


def _any_tube(typed: _Typed) -> Name:
    """The bare word tube: three dimensions can only be sides and a wall, fewer are open."""
    if len(typed.sizes) >= 3:
        return _tube(typed)
    side = typed.shown[0]
    wall = typed.shown[1:] or (typed.wall,)
    raise _NotRead("square or round, with its wall", _x("SHS", side, side, *wall), _x("CHS", side, *wall))


def _us_tube(typed: _Typed) -> Name:
    """HSS, always inches: two dimensions are a diameter and a wall, three are sides and a wall."""
    _refuse_more_than(typed, 3, "HSS")
    if len(typed.sizes) == 2:
        diameter, wall = typed.sizes
        _check_wall(typed, diameter, wall, "HSS")
        return typed.named(Family.CHS, diameter, diameter, wall, US_HOLLOW)
    if len(typed.sizes) == 1:
        raise _NotRead("the sides or diameter and the wall", _x("HSS", *typed.shown * 2, '1/8"'))
    name = _tube(typed)
    return typed.named(name.family, name.height, name.width, name.thickness, US_HOLLOW)


def _angle(typed: _Typed) -> Name:
    _refuse_more_than(typed, 3, "EA", "UA")
    standard = IS_ANGLE if "ISA" in typed.words else ""
    long_leg, short_leg, thickness = _sides_and_wall(typed, "EA", "UA", "both legs and the thickness")
    _check_wall(typed, short_leg, thickness, "EA", "UA")
    return typed.named(Family.EA if long_leg == short_leg else Family.UA, long_leg, short_leg, thickness, standard)


def _equal_angle(typed: _Typed) -> Name:
    name = _angle(typed)
    if name.family is not Family.EA:
        raise _NotRead("an equal angle has two equal legs: UA for unequal ones", _x("UA", *typed.shown))
    return name


def _unequal_angle(typed: _Typed) -> Name:
    if len(typed.sizes) == 2:
        raise _NotRead("both legs and the thickness", _x("UA", *typed.shown, typed.wall))
    name = _angle(typed)
    if name.family is not Family.UA:
        raise _NotRead("an unequal angle has two different legs: EA for equal ones", _x("EA", *typed.shown))
    return name


def _flat(typed: _Typed) -> Name:
    _refuse_more_than(typed, 2, "FL")
    if len(typed.sizes) < 2:
        raise _NotRead("width and thickness", _x("FL", typed.shown[0], typed.wall))
    width, thickness = max(typed.sizes), min(typed.sizes)
    if width == thickness:
        raise _NotRead("two different sides for a flat, one for a square bar", _x("SQ", typed.shown[0]))
    if not THINNEST <= thickness <= THICKEST or not SMALLEST_SIDE <= width <= LARGEST_SIDE:
        hint = 'are inches meant? mark them: 2"x1/4"' if not typed.inches and width < SMALLEST_SIDE else ""
        raise _NotRead("a flat from 5 to 2500 mm wide and from 0.4 to 100 mm thick", "FL 50x6", hint=hint)
    return typed.named(Family.FLAT, width, thickness, thickness)


def _solid(typed: _Typed, family: Family) -> Name:
    size = typed.sizes[0]
    if not SMALLEST_SOLID <= size <= LARGEST_SOLID:
        marked = f'{typed.shown[0]}"'
        hint = f"are inches meant? mark them: {marked}" if not typed.inches and size < SMALLEST_SOLID else ""
        raise _NotRead("a bar from 3 to 500 mm", _x(family.value, "16"), hint=hint)
    return typed.named(family, size, size, size)


def _square_bar(typed: _Typed) -> Name:
    """One side, or the same side twice."""
    if len(typed.sizes) == 1 or (len(typed.sizes) == 2 and typed.sizes[0] == typed.sizes[1]):
        return _solid(typed, Family.SQUARE)
    side, *rest = typed.shown
    raise _NotRead(
        "one side for a square bar, a family word for tube and flat",
        _x("SQ", side),
        _x("SHS", *((side, *rest) if len(rest) == 2 else (side, side, *rest))),
        *([_x("FL", *typed.shown)] if len(rest) == 1 else []),
    )


def _round_bar(typed: _Typed) -> Name:
    if len(typed.sizes) == 1:
        return _solid(typed, Family.ROUND)
    raise _NotRead(
        "one diameter for a round bar, diameter and wall for a round tube",
        _x("RD", typed.shown[0]),
        _x("CHS", *typed.shown[:2]),
        hint=_LENGTH_ELSEWHERE if typed.sizes[1] > typed.sizes[0] else "",
    )


def _no_family(typed: _Typed) -> _NotRead:
    """The readings of dimensions that several families share."""
    shown = typed.shown[:3]
    families = (("SQ", "RD"), ("SHS", "CHS", "EA", "FL"), ("SHS", "EA") if shown[:1] == shown[1:2] else ("RHS", "UA"))
    readings = [_x(family, *shown) for family in families[len(shown) - 1]]
    why = "no word says which family" if not typed.words else "the words do not say which family"
    return _NotRead("the family too", *readings, hint=why)


_READERS: dict[Callable[[_Typed], Name], str] = {
    _square_tube: "SHS, SHS TUBE, SQUARE TUBE, SQUARE HOLLOW, SQUARE HOLLOW SECTION, SQUARE BOX, SQUARE BOX SECTION",
    _rectangular_tube: "RHS, RHS TUBE, RECTANGULAR TUBE, RECTANGULAR HOLLOW, RECTANGULAR HOLLOW SECTION, "
    "RECTANGULAR BOX, RECTANGULAR BOX SECTION",
    _tube: "BOX, BOX TUBE, BOX SECTION",
    _any_tube: "TUBE",
    _us_tube: "HSS, HSS TUBE",
    _round_tube: "CHS, CHS TUBE, ROUND TUBE, CIRCULAR HOLLOW SECTION, CIRCULAR TUBE, TUBE DIA, CHS DIA, ROUND TUBE DIA",
    _angle: "ANGLE, ISA, ISA ANGLE",
    _equal_angle: "EA, EA ANGLE, EQUAL ANGLE",
    _unequal_angle: "UA, UA ANGLE, UNEQUAL ANGLE",
    _flat: "FLAT, FLAT BAR",
    _square_bar: "SQUARE, SQUARE BAR, SQUARE ROD",
    _round_bar: "ROUND, ROUND BAR, ROUND ROD, ROD, ROUND DIA, ROUND BAR DIA, BAR DIA, ROD DIA",
}
"""Which sets of words name a family, in any order, after the synonyms above."""

_BY_WORDS = {frozenset(words.split()): reader for reader, sets in _READERS.items() for words in sets.split(",")}
_VOCABULARY = frozenset(word for words in _BY_WORDS for word in words) | _FINISHES.keys() | _FILLERS
_HINTS = sorted(_VOCABULARY | _SAME_WORD.keys())


def parse(text: str) -> Name:
    """Read the name of a section.

    Parameters
    ----------
    text
        As typed, e.g. ``50x50x5 EA``, ``1 in round bright``, ``HSS2X2X1/8``.

    Returns
    -------
    Name
        Family and exact dimensions, with the finish and the standard that the words name.

    Raises
    ------
    Refused
        When the name is incomplete, ambiguous, impossible or of a family not known here; the readings that
        would be accepted are offered.
    """
    outcome = _outcome(text)
    if isinstance(outcome, Name):
        return outcome
    raise Refused(*outcome)


@lru_cache(maxsize=4096)
def _outcome(text: str) -> Name | tuple[str, str, str]:
    # Refusals are kept too: a list repeats its mistakes as often as its sections.
    try:
        return _read(text)
    except _NotRead as not_read:
        refused = not_read.refused(text)
    except Refused as raised:
        refused = raised
    return refused.found, refused.accepted, refused.hint


def _read(text: str) -> Name:
    typed = _take_apart(text)
    if not typed.sizes:
        raise Refused(text, ACCEPTED, "dimensions are missing" if typed.words else "")
    reader = _BY_WORDS.get(typed.words)
    if reader is None:
        raise _no_family(typed)
    return reader(typed)
