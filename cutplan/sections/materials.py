"""What a section is made of, where it is not carbon steel: how it is named, and its density.

The material is a part of the name (SHS 40x40x3 stainless 304), so that no plan ever cuts a part of one material from
a bar of another.
"""

from __future__ import annotations

import re

from cutplan.problems import Refused
from cutplan.sections.values import CARBON_STEEL_DENSITY

MATERIALS: dict[str, int] = {
    "stainless 304": 7930,
    "stainless 316": 7980,
    "aluminium": 2700,
}
"""Density in kg/m3 by material; carbon steel has no word of its own."""

_SOURCES = {
    "": "SSAB structural hollow sections; Tata Steel blue book, general notes",
    "stainless 304": "common practice, as in density charts of merchants; EN 10088-1, from memory: 7900",
    "stainless 316": "common practice, as in density charts of merchants; EN 10088-1, from memory: 8000",
    "aluminium": "technical specifications of an extruder, for 6060, 6063 and 6082",
}
"""Where the densities come from that hold as long as the workshop says no other."""

_STAINLESS = r"STAINLESS(?:\s+STEEL)?"
_NUMBERS = {"4301": "304", "4307": "304", "4401": "316", "4404": "316"}
_IN_NAME = re.compile(
    rf"(?<![A-Z\d.])(?:(?:{_STAINLESS}|SS|AISI|INOX)\s*(?P<after>304|316)L?|(?P<before>304|316)L?\s+(?:{_STAINLESS}|SS)"
    r"|1\.(?P<number>4301|4307|4401|4404)|(?P<aluminium>ALUMINI?UM|ALU))(?![A-Z\d])"
)
_STAINLESS_ALONE = re.compile(rf"(?<![A-Z]){_STAINLESS}|(?<![A-Z])INOX(?![A-Z])")
_CARBON = re.compile(r"(?<![A-Z])CARBON\s+STEEL(?![A-Z])")
_GRADE_304 = re.compile(r"(?:AISI|SS|TP|EN|ASTM)?[\s-]*(?P<kind>304|316)[LH]?|1\.(?P<number>4301|4307|4401|4404)")
_GRADE_ALUMINIUM = re.compile(r"(?:EN[\s-]*AW[\s-]*|AA)?(?:6005A?|606[013]|6082)(?:[\s-]*T\d+)?")


def take_material(text: str, capitals: str, own: tuple[tuple[str, int], ...]) -> tuple[str, str]:
    """The name without its material, and the material; blank for carbon steel.

    Parameters
    ----------
    text
        As typed.
    capitals
        The same in capitals.
    own
        Materials of the workshop, with their densities.

    Raises
    ------
    Refused
        When it is stainless and not said which, or two materials are named.
    """
    found = []
    for name, _ in own:
        pattern = re.compile(rf"(?<![A-Z\d]){re.escape(name.upper())}(?![A-Z\d])")
        if pattern.search(capitals):
            capitals = pattern.sub(" ", capitals, count=1)
            found.append(name)
    while match := _IN_NAME.search(capitals):
        found.append(_named(match))
        capitals = f"{capitals[: match.start()]} {capitals[match.end() :]}"
    capitals = _CARBON.sub(" ", capitals)
    if len(set(found)) > 1:
        raise Refused(
            text,
            "one material in a name",
            f"two materials: {' and '.join(sorted(set(found)))}",
            code="section.material",
        )
    if not found and _STAINLESS_ALONE.search(capitals):
        raise Refused(
            text,
            "the kind of stainless too, such as SHS 40x40x3 stainless 304 or SHS 40x40x3 stainless 316",
            code="section.material",
        )
    return " ".join(capitals.split()), found[0] if found else ""


def _named(match: re.Match[str]) -> str:
    if match["aluminium"]:
        return "aluminium"
    return f"stainless {match['after'] or match['before'] or _NUMBERS[match['number']]}"


def material_of_grade(grade: str) -> str:
    """The material that a grade belongs to: 304L is stainless 304, 6082-T6 is aluminium; blank for all others."""
    capitals = " ".join(grade.upper().split())
    match = _GRADE_304.fullmatch(capitals)
    if match:
        return f"stainless {match['kind'] or _NUMBERS[match['number']]}"
    return "aluminium" if _GRADE_ALUMINIUM.fullmatch(capitals) else ""


def density_of(material: str, carbon_steel: int, own: tuple[tuple[str, int], ...]) -> int:
    """Density in kg/m3; the workshop's own word comes before the one here."""
    return {"": carbon_steel, **MATERIALS, **dict(own)}[material]


def density_source(material: str, density: int) -> str:
    """Where the density of a section comes from: what the workshop file says, or what is known here. [kg/m3]"""
    known = {"": CARBON_STEEL_DENSITY, **MATERIALS}
    return _SOURCES[material] if known.get(material) == density else "the workshop file"
