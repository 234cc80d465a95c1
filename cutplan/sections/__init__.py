"""Sections: families, spelling of designations, and area, mass and surface per metre.

The one face is :func:`read_section`; :func:`finish_in_name` tells a reader which
finish was typed inside a name. No table is read before a section asks for it.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache

from cutplan.problems import Refused
from cutplan.sections.geometry import figures
from cutplan.sections.listing import size_source
from cutplan.sections.section import Family, Section
from cutplan.sections.spelling import Name, parse
from cutplan.sections.standards import STANDARDS, read_standard
from cutplan.units import MM, round_half_up

__all__ = ["STANDARDS", "Family", "Section", "finish_in_name", "read_section", "read_standard"]

STEEL_DENSITY = 7850
"""Carbon steel in kg/m3: SSAB structural hollow sections; Tata steel blue book, general notes."""


def read_section(
    text: str,
    *,
    standard: str | None,
    standard_of: Callable[[Family], str],
    density: int = STEEL_DENSITY,
) -> Section:
    """The section that a name means, with its area, mass and surface.

    Parameters
    ----------
    text
        The name as typed, e.g. ``30 x 30 x 2.0 SHS``.
    standard
        The standard as typed beside it; None or blank when nothing was typed. Then the family word decides where it
        names a standard (HSS: ASTM A500, ISA: IS 808), else ``standard_of``.
    standard_of
        The standard of a family whose line names none.
    density
        [kg/m3]

    Raises
    ------
    Refused
        When the name or the standard cannot be understood, or the standard makes no such section.
    """
    name = parse(text)
    wanted = (standard or "").strip() or name.standard or standard_of(name.family)
    canonical = read_standard(wanted, name.family)
    try:
        return _section(name.family, name.height, name.width, name.thickness, canonical, density)
    except Refused as refused:
        raise Refused(text, refused.accepted, refused.found) from None


@lru_cache(maxsize=4096)
def _section(family: Family, height: int, width: int, thickness: int, standard: str, density: int) -> Section:
    name = Name(family=family, height=height, width=width, thickness=thickness)
    found = figures(family, Fraction(height, MM), Fraction(width, MM), Fraction(thickness, MM), standard)
    size = size_source(family, name.designation, standard)
    return Section(
        family=family,
        designation=name.designation,
        standard=standard,
        height=height,
        width=width,
        thickness=int(found.thickness * MM),
        area_um2=round_half_up(found.area * 1_000_000),
        # mm2 x kg/m3 is mg/m.
        mass_per_metre=round_half_up(found.mass_area * density),
        surface_mm2_per_metre=round_half_up(found.outline * 1000),
        density=density,
        source=f"{found.basis}; size {f'listed in: {size}' if size else 'not listed here'}",
        listed=bool(size) and found.radii_listed,
    )


def finish_in_name(text: str) -> str:
    """The finish word typed inside a name, lower case; blank when there is none.

    ``5/8 round bright`` gives ``bright``, ``galv SHS 40x40x3`` gives ``galvanised``.

    Raises
    ------
    Refused
        As :func:`read_section`.
    """
    return parse(text).finish
