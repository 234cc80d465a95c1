"""From a name to a Section: the standard found, the figures worked out, everything rounded once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from cutplan.problems import Refused
from cutplan.sections.geometry import figures, pipe_figures
from cutplan.sections.listed_sizes import size_source
from cutplan.sections.materials import density_of, density_source
from cutplan.sections.names import PLAIN, Name, Notation
from cutplan.sections.own import OwnSection, own_figures
from cutplan.sections.rolled import rolled_figures
from cutplan.sections.section import ROLLED, Family, Section
from cutplan.sections.spelling import parse
from cutplan.sections.standards import EXTRUDED, STANDARDS, read_standard
from cutplan.sections.values import CARBON_STEEL_DENSITY, Detail, Figures
from cutplan.units import MM, round_half_up


def read_section(
    text: str,
    *,
    standard: str | None,
    standard_of: Callable[[Family], str],
    density: int = CARBON_STEEL_DENSITY,
    notation: Notation = PLAIN,
) -> Section:
    """The section that a name means, with its area, mass and surface.

    Parameters
    ----------
    text
        The name as typed, e.g. ``30 x 30 x 2.0 SHS``.
    standard
        The standard as typed beside it; None or blank when nothing was typed. Then the name decides where it
        means one (HSS: ASTM A500, ISA: IS 808, UB 203x133x25: EN 10365), else ``standard_of``.
    standard_of
        The standard of a family whose line names none.
    density
        Of carbon steel; other materials have their own. [kg/m3]
    notation
        How the workshop writes names, with its own materials and sections.

    Raises
    ------
    Refused
        When the name or the standard cannot be understood, or the standard makes no such section.
    """
    name = parse(text, notation)
    typed = (standard or "").strip()
    canonical = read_standard(typed or name.standard or _usual(name, standard_of), name.family)
    if name.family in ROLLED and canonical != name.standard:
        raise Refused(
            typed, f"{name.standard}, to which {name.designation} is rolled, or a blank cell", code="standard.rolled"
        )
    if name.only_there and not typed and read_standard(standard_of(name.family), name.family) != name.standard:
        raise Refused(text, *_elsewhere(name), code="standard.other")
    try:
        return _section(replace(name, finish=""), canonical, density, notation)
    except Refused as refused:
        raise Refused(text, refused.accepted, refused.found, code=refused.code) from None


def _usual(name: Name, standard_of: Callable[[Family], str]) -> str:
    """The standard of a name that says none: of aluminium the one of extruded sections, else the workshop's."""
    if name.material == "aluminium" and EXTRUDED in STANDARDS[name.family]:
        return EXTRUDED
    return standard_of(name.family)


def _elsewhere(name: Name) -> tuple[str, str]:
    """What is accepted, and why, where a short name means this section in one country only."""
    if name.designation.startswith("IS"):
        return (
            f"the full name, {name.designation}, or the standard {name.standard} beside it",
            "MB and MC are short names of IS 808, and MC is an American channel elsewhere",
        )
    return f"the standard {name.standard} beside it or in the workshop file", "MC is also a medium channel of IS 808"


@lru_cache(maxsize=4096)
def _figures(name: Name, standard: str, own: tuple[OwnSection, ...]) -> Figures:
    if name.family is Family.OWN:
        return own_figures(next(each for each in own if each.name == name.label))
    if name.family in ROLLED:
        return rolled_figures(name.label)
    if name.family is Family.PIPE:
        return pipe_figures(name.label, standard)
    height, width, thickness = (Fraction(size, MM) for size in (name.height, name.width, name.thickness))
    return figures(name.family, height, width, thickness, standard)


@lru_cache(maxsize=4096)
def _section(name: Name, standard: str, carbon_steel: int, notation: Notation) -> Section:
    found = _figures(name, standard, notation.own)
    size = found.size_source or size_source(name.family, name.size, standard)
    density = density_of(found.material or name.material, carbon_steel, notation.materials)
    return Section(
        family=name.family,
        designation=name.designation,
        standard=standard,
        height=int(found.height * MM),
        width=int(found.width * MM),
        thickness=int(found.thickness * MM),
        area_um2=round_half_up(found.area * 1_000_000),
        # mm2 x kg/m3 is mg/m.
        mass_per_metre=found.mass or round_half_up(found.mass_area * density),
        surface_mm2_per_metre=round_half_up(found.outline * 1000),
        density=density,
        source=f"{found.basis}; size {f'listed in: {size}' if size else 'not listed here'}",
        listed=bool(size) and found.radii_listed,
    )


def details_of(section: Section, notation: Notation = PLAIN) -> tuple[Detail, ...]:
    """Every number of a section with its source; the values of area, mass and surface stand in the section."""
    name = parse(section.designation, notation)
    found = _figures(name, section.standard, notation.own)
    source = density_source(found.material or name.material, section.density)
    return (*found.details, Detail("density", f"{section.density} kg/m3", source))


def finish_in_name(text: str, notation: Notation = PLAIN) -> str:
    """The finish word typed inside a name, lower case; blank when there is none.

    ``5/8 round bright`` gives ``bright``, ``galv SHS 40x40x3`` gives ``galvanised``.

    Raises
    ------
    Refused
        As :func:`read_section`.
    """
    return parse(text, notation).finish


def material_in_name(text: str, notation: Notation = PLAIN) -> str:
    """The material typed inside a name; blank for carbon steel.

    Raises
    ------
    Refused
        As :func:`read_section`.
    """
    return parse(text, notation).material
