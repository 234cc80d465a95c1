"""Headings of lists: what is declared of a column, how a typed heading is recognised, and what several lists share.

The columns of each list stand with the reading of their cells: in :mod:`cutplan.reading.lists.part_columns`,
``price_columns`` and ``rack_columns``, those of assemblies and holes here. From them come the reader, the sheets of a
new workbook and the manual's tables. Case, spaces, full stops and hyphens of a heading do not count.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import Enum
from functools import lru_cache

from cutplan.model import Basis
from cutplan.problems import Refused
from cutplan.units import EVERYDAY_UNITS, unit_length


class Kind(Enum):
    """What the cells of a column hold; says which unit its heading may carry."""

    TEXT = "text"
    LENGTH = "length"
    ANGLE = "angle"
    COUNT = "count"
    MASS = "mass"
    MONEY = "money"


@dataclass(frozen=True, slots=True)
class Heading:
    """A column of a list.

    Parameters
    ----------
    needed
        Must it be there?
    variants
        Other spellings accepted.
    about
        What it holds, as the manual says.
    read
        False for one that is for the person at the spreadsheet; its cells are passed over.
    shown
        Its place among those in sight in a new workbook, from 1; 0 for one that is folded away.
    width
        How wide it is there. [letters]
    choices
        Words to choose from there; ``strict`` where no others are read.
    """

    name: str
    kind: Kind
    needed: bool = False
    variants: tuple[str, ...] = ()
    about: str = ""
    read: bool = True
    shown: int = 0
    width: int = 12
    choices: tuple[str, ...] = ()
    strict: bool = False


@dataclass(frozen=True, slots=True)
class Recognised:
    """A heading as understood: its column, the unit or basis in it, blank when none is, and whether it is read."""

    name: str
    unit: str = ""
    read: bool = True


CHECK = "Check"
CHECK_COLUMN = Heading(
    CHECK,
    Kind.TEXT,
    about="what the spreadsheet itself finds, in a workbook of `cutplan new`; not read",
    read=False,
    width=30,
)

SECTION_NAMES = (
    "profile",
    "size",
    "shape",
    "section size",
    "designation",
    "steel section",
    "profile size",
    "material size",
    "section type",
    "section name",
    "steel size",
    "bar size",
    "stock size",
)
GRADE_NAMES = ("steel grade", "material grade", "quality", "steel quality", "grade of steel", "spec")
FINISH_NAMES = ("coating", "surface", "surface finish", "treatment", "surface treatment")
NORM_NAMES = ("section standard", "norm")
FINISHES = ("black", "galvanised", "primed", "bright")


def words_of(known: Mapping[str, Enum]) -> tuple[str, ...]:
    """The values of a choice, each once: what a list to choose from shows of all that is read."""
    return tuple(dict.fromkeys(str(value.value) for value in known.values()))


STANDARD = Heading(
    "Standard",
    Kind.TEXT,
    variants=NORM_NAMES,
    about="of the section; blank is the workshop's for its family",
    width=14,
)


def section_heading(shown: int, about: str = "such as SHS 40x40x3") -> Heading:
    """The column of the section, alike in all lists."""
    return Heading("Section", Kind.TEXT, needed=True, variants=SECTION_NAMES, about=about, shown=shown, width=20)


def grade_heading(shown: int, about: str = "blank: unknown, serves only parts with no grade") -> Heading:
    """The column of the grade, alike in all lists but for what a blank one means."""
    return Heading("Grade", Kind.TEXT, variants=GRADE_NAMES, about=about, shown=shown)


def finish_heading(shown: int, about: str = "blank is the workshop's") -> Heading:
    """The column of the finish, alike in all lists."""
    return Heading("Finish", Kind.TEXT, variants=FINISH_NAMES, about=about, shown=shown, choices=FINISHES)


NOTE = Heading(
    "Note",
    Kind.TEXT,
    variants=("notes", "remark", "remarks", "comment", "comments"),
    about="printed as it is",
    width=26,
)

ASSEMBLIES: tuple[Heading, ...] = (
    Heading("Assembly", Kind.TEXT, needed=True, variants=("assy", "name", "mark"), about="as its parts name it"),
    Heading(
        "Quantity",
        Kind.COUNT,
        needed=True,
        variants=("qty", "no off", "number off", "off", "make", "how many"),
        about="how often it is made",
    ),
    Heading("Spares", Kind.TEXT, variants=("spare", "extra", "extras"), about="the parts of as many more"),
    NOTE,
)

HOLES: tuple[Heading, ...] = (
    Heading(
        "Mark",
        Kind.TEXT,
        variants=("marks", "item", "part", "parts", "part no", "part number", "part mark", "piece mark"),
        about="the part to drill; several with commas between them",
        shown=1,
    ),
    Heading(
        "Pattern",
        Kind.TEXT,
        variants=("pattern name", "hole pattern", "group"),
        about="alone: the row belongs to this pattern; beside marks and nothing else: it is repeated there",
        shown=2,
    ),
    Heading(
        "Position",
        Kind.LENGTH,
        needed=True,
        variants=("positions", "from end a", "from a", "distance from a", "running dimension", "hole positions"),
        about="from end A: `50`, or `50, 6 @ 75`, or `12 equal between 50 and 950`",
        shown=3,
    ),
    Heading(
        "Face",
        Kind.TEXT,
        variants=("leg", "face or leg", "side"),
        about="1 to 4, clockwise from the top looking from end A; of an angle 1 or 2; blank is 1",
        shown=4,
    ),
    Heading(
        "Across",
        Kind.LENGTH,
        variants=("distance across", "across face", "from edge", "from heel", "gauge", "back mark", "backmark"),
        about="from the edge shared with the face before, of an angle from the heel; blank is the centre",
        shown=5,
    ),
    Heading(
        "Hole",
        Kind.LENGTH,
        needed=True,
        variants=("diameter", "dia", "hole size", "hole diameter", "hole dia", "drill", "bolt"),
        about="a diameter, or such as `M12 clear`, `M10 tapped`, `1/2 in clear`; blank is where a part lands",
        shown=6,
    ),
    Heading(
        "Drilled",
        Kind.TEXT,
        variants=("walls", "drilled through", "drill through", "through"),
        about="through or one wall; blank is through",
        shown=7,
    ),
    replace(NOTE, shown=8),
)

MATERIAL = "material"
"""Means the section where no other heading does, otherwise the grade: drawings use it for both."""

BASIS_WORDS: dict[str, Basis] = {
    **dict.fromkeys(("each", "ea", "length", "per length", "bar", "per bar", "pc", "piece", "per each"), Basis.EACH),
    **dict.fromkeys(("m", "metre", "meter", "lm", "lin m", "linear metre", "linear meter"), Basis.PER_M),
    **dict.fromkeys(("ft", "foot", "feet", "lf", "lin ft", "linear foot"), Basis.PER_FT),
    **dict.fromkeys(("kg", "kilo", "kilogram"), Basis.PER_KG),
    **dict.fromkeys(("lb", "lbs", "pound"), Basis.PER_LB),
    **dict.fromkeys(("tonne", "t", "metric ton", "1000 kg"), Basis.PER_TONNE),
    **dict.fromkeys(("cwt", "short cwt", "100 lb", "cwt (100 lb)"), Basis.PER_CWT),
    **dict.fromkeys(("long cwt", "112 lb", "long cwt (112 lb)"), Basis.PER_LONG_CWT),
    **dict.fromkeys(("short ton", "us ton", "2000 lb", "short ton (2000 lb)"), Basis.PER_SHORT_TON),
    **dict.fromkeys(("long ton", "imperial ton", "2240 lb", "long ton (2240 lb)"), Basis.PER_LONG_TON),
}
BASIS_FORMS = "each, per m, per ft, per kg, per lb, per cwt, per tonne, per short ton or per long ton"

_TONS = ("ton", "tons")
TON_HINT = "a ton has three weights: write per tonne (1000 kg), per short ton (2000 lb) or per long ton (2240 lb)"

_UNIT_WORDS = (
    *("mm", "cm", "m", "in", "ft", "inch", "inches", "foot", "feet", '"', "'"),
    *("metre", "metres", "meter", "meters", "millimetre", "millimetres", "millimeter", "millimeters"),
)
MASS_UNITS = ("kg", "g", "lb", "lbs", "oz")
_OTHER_UNITS = {
    Kind.ANGLE: ("deg", "degree", "degrees", "°"),
    Kind.COUNT: ("pcs", "pieces", "no", "off"),
}
_BRACKETED = re.compile(r"^(?P<name>.*?)\s*[(\[]\s*(?P<unit>[^()\[\]]+?)\s*[)\]]\s*$")
_TRAILING = re.compile(r"^(?P<name>.*\S)(?:\s*[,/]\s*|\s+)(?P<unit>\S+)$")


@lru_cache(maxsize=4096)  # a desk with many jobs reads the same headings over and over
def tidy_heading(text: str) -> str:
    """A heading without case, apostrophes, full stops, hyphens, colons and doubled spaces."""
    return " ".join(re.sub(r"[.:_#*\-]+", " ", re.sub("['’]", "", text)).lower().split())


_NAMES: dict[int, tuple[Sequence[Heading], dict[str, Heading]]] = {}


def _by_name(headings: Sequence[Heading]) -> dict[str, Heading]:
    """Every spelling of every heading. Kept by identity: a list may have a hundred thousand cells to recognise."""
    known = _NAMES.get(id(headings))
    if known is None or known[0] is not headings:
        words = {word: heading for heading in headings for word in (heading.name.lower(), *heading.variants)}
        known = _NAMES[id(headings)] = (headings, words)
    return known[1]


def recognise(text: str, headings: Sequence[Heading]) -> Recognised | None:
    """The column a heading names, with the unit it carries; None when it is no known heading.

    Parameters
    ----------
    text
        As typed: ``Length (mm)``, ``Cut length in``, ``No. off``, ``Price per m``.
    headings
        The columns of a list.
    """
    by_name = _by_name(headings)
    plain = tidy_heading(text)
    if plain in by_name:
        return Recognised(by_name[plain].name, read=by_name[plain].read)
    single = plain.removesuffix("s")
    if single in by_name:
        return Recognised(by_name[single].name, read=by_name[single].read)
    if plain == MATERIAL:
        return Recognised(MATERIAL)
    for pattern in (_BRACKETED, _TRAILING):
        match = pattern.match(" ".join(text.split()).rstrip(":"))
        name = tidy_heading(match["name"].rstrip(",/ ")) if match else ""
        heading = by_name.get(name) or by_name.get(name.removesuffix(" in"))
        if match is None or heading is None:
            continue
        word = match["unit"].lower().rstrip(".")
        if heading.kind is Kind.LENGTH and word in _UNIT_WORDS:
            size = unit_length(word)
            return Recognised(heading.name, next(name for name, unit in EVERYDAY_UNITS.items() if unit == size))
        if heading.kind is Kind.MASS and word in MASS_UNITS:
            return Recognised(heading.name, word)
        if word in _OTHER_UNITS.get(heading.kind, ()):
            return Recognised(heading.name)
        if heading.kind is Kind.MONEY and (pattern is _BRACKETED or re.fullmatch("[A-Z]{3}", match["unit"])):
            return Recognised(heading.name, match["unit"])
    priced = re.fullmatch(r"(?:unit )?price\s*(?:/|per)?\s*(?P<basis>[a-z ]+)", plain)
    if priced and "Price" in (heading.name for heading in headings) and priced["basis"].strip() in BASIS_WORDS:
        return Recognised("Price", priced["basis"].strip())
    return None


def read_basis(text: str) -> Basis:
    """What a price is per; raises Refused with the accepted words."""
    plain = tidy_heading(text).removeprefix("per ").removeprefix("/").strip()
    if plain in _TONS:
        raise Refused(text, BASIS_FORMS, TON_HINT, code="price.per")
    if plain not in BASIS_WORDS:
        raise Refused(text, BASIS_FORMS, code="price.per")
    return BASIS_WORDS[plain]


def heading_names(headings: Sequence[Heading]) -> str:
    """The names of all columns, for messages."""
    return ", ".join(heading.name for heading in headings if heading.read)


def heading_hint(text: str, headings: Sequence[Heading]) -> str:
    """The heading most like ``text``, as a hint; blank when none is near."""
    known = [heading for heading in headings if heading.read]
    words = {word: heading.name for heading in known for word in (heading.name.lower(), *heading.variants)}
    plain = tidy_heading(re.sub(r"[(\[].*", "", text))
    if plain.startswith(("price", "unit price")) and re.split(r"[ /]", plain)[-1] in _TONS:
        return TON_HINT
    # Stricter than for names of sections: headings are short, and "price" is not meant for "pieces".
    close = get_close_matches(plain, words, n=1, cutoff=0.75)
    return f'did you mean "{words[close[0]]}"?' if close else ""
