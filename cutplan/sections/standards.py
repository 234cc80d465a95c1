"""Which standards are known for each family, and how people write their names."""

from __future__ import annotations

import re
from functools import lru_cache

from cutplan.problems import Refused, nearest
from cutplan.sections.own import OWN_STANDARD
from cutplan.sections.section import ROLLED, Family

EN_COLD = "EN 10219-2"
EN_HOT = "EN 10210-2"
AS_HOLLOW = "AS/NZS 1163"
AS_ROLLED = "AS/NZS 3679.1"
IS_HOLLOW = "IS 4923"
IS_TUBE = "IS 1161"
IS_ANGLE = "IS 808"
US_HOLLOW = "ASTM A500"
US_ROLLED = "ASTM A36"
EN_BRIGHT = "EN 10278"
EN_ROLLED = "EN 10365"
US_SHAPES = "ASTM A6"
US_PIPE = "ASTM A53"
US_PIPE_SIZES = "ASME B36.10M"
EXTRUDED = "EN 755"

_HOLLOW = (EN_COLD, EN_HOT, AS_HOLLOW, IS_HOLLOW, US_HOLLOW, EXTRUDED)
_ANGLE = ("EN 10056-1", AS_ROLLED, IS_ANGLE, US_ROLLED, EXTRUDED)

STANDARDS: dict[Family, tuple[str, ...]] = {
    Family.SHS: _HOLLOW,
    Family.RHS: _HOLLOW,
    Family.CHS: (EN_COLD, EN_HOT, AS_HOLLOW, IS_TUBE, US_HOLLOW, EXTRUDED),
    Family.EA: _ANGLE,
    Family.UA: _ANGLE,
    Family.FLAT: ("EN 10058", EN_BRIGHT, AS_ROLLED, "IS 1731", US_ROLLED, EXTRUDED),
    Family.SQUARE: ("EN 10059", EN_BRIGHT, AS_ROLLED, "IS 1732", US_ROLLED, EXTRUDED),
    Family.ROUND: ("EN 10060", EN_BRIGHT, AS_ROLLED, "IS 1732", US_ROLLED, EXTRUDED),
    Family.HEXAGON: ("EN 10061", EN_BRIGHT, "IS 1732", US_ROLLED, EXTRUDED),
    Family.PIPE: ("EN 10255", "IS 1239", "AS 1074", "DIN 2440", US_PIPE_SIZES, US_PIPE),
    Family.OWN: (OWN_STANDARD,),
    **dict.fromkeys(ROLLED, (EN_ROLLED, AS_ROLLED, US_SHAPES, IS_ANGLE)),
}
"""Standards whose geometry is known. EN 755 (extruded aluminium, sharp corners), EN 10061, IS 1161, IS 1731 and IS 1732
are named from memory; their shapes need no radii."""

_ALSO = {
    EXTRUDED: ("EN 755-2", "EN 755-9", "EN 12020-2", "ASTM B221", "AS/NZS 1866"),
    EN_ROLLED: ("BS 4", "BS 4-1", "DIN 1025", "DIN 1026", "DIN 1026-1", "EN 10279"),
    US_SHAPES: (US_ROLLED, "ASTM A992", "ASTM A572"),
    "EN 10255": ("BS 1387", "ISO 65"),
    "IS 1239": ("IS 1239-1",),
    US_PIPE_SIZES: ("ASME B36.10", "ASTM A106", "API 5L"),
}
"""Other standards that the same dimensions are named by: older ones, national ones, those of the material."""

_OF_STEEL = (US_ROLLED, "ASTM A992", "ASTM A572", "ASTM A106", "API 5L")
"""Standards of the steel, by which sections are named whose dimensions another one has."""

_PUBLISHERS = re.compile(r"^(?:BS|DIN|NF|UNE|UNI|NEN|IS)+(?=EN\d)")


def _bare(text: str) -> str:
    """Letters and digits only, without year of issue and national prefix: ``BS EN 10219-2:2019`` gives EN102192."""
    letters = re.sub(r"[^A-Z0-9]", "", text.upper().split(":")[0])
    return _PUBLISHERS.sub("", letters)


def _spellings(standard: str) -> set[str]:
    bare = _bare(standard)
    spellings = {bare, bare.removeprefix("ASTM"), re.sub("^ASNZS", "AS", bare)}
    # Part 1 of a tube standard holds delivery terms and goes with part 2, which holds the dimensions.
    match = re.fullmatch(r"(EN \d+)-\d", standard)
    if match:
        spellings |= {_bare(match[1]), _bare(f"{match[1]}-1")}
    if standard == AS_ROLLED:
        spellings |= {"ASNZS3679", "AS3679"}
    for other in _ALSO.get(standard, ()):
        spellings |= {_bare(other), _bare(other).removeprefix("ASTM")}
    return spellings


_BY_SPELLING = {
    family: {spelling: standard for standard in standards for spelling in _spellings(standard)}
    for family, standards in STANDARDS.items()
}


@lru_cache(maxsize=1024)
def steel_named(text: str, standard: str) -> str:
    """The steel that a standard as typed names beside its dimensions: ``A992`` of a beam, whose standard is ASTM A6.

    Blank where the text names the dimensions alone. What is asked to one such standard is not served by another,
    however alike the sections are: A36 has a lower yield than A572 or A992.
    """
    named = next(
        (steel for steel in _OF_STEEL if _bare(steel).removeprefix("ASTM") == _bare(text).removeprefix("ASTM")), ""
    )
    return named.removeprefix("ASTM ") if named and named in _ALSO.get(standard, ()) else ""


@lru_cache(maxsize=1024)
def read_standard(text: str, family: Family) -> str:
    """Canonical name of a standard as typed: ``BS EN 10219-2:2019`` is EN 10219-2, ``A500`` is ASTM A500.

    Raises
    ------
    Refused
        When the standard is not one of those known for the family, which are named.
    """
    standard = _BY_SPELLING[family].get(_bare(text))
    if standard is None:
        known, steel = STANDARDS[family], _bare(text).removeprefix("ASTM")
        is_steel = any(steel == _bare(each).removeprefix("ASTM") for each in _OF_STEEL)
        hint = f"is the grade meant? then {steel} stands under Grade" if is_steel else nearest(text, known)
        raise Refused(text, f"a standard for {family.title}: {', '.join(known)}", hint, code="standard.unknown")
    return standard
