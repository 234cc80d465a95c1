"""Sections of a workshop's own: from the values of a ``[[section]]`` block to what the sections room knows them by."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cutplan.problems import Refused, nearest
from cutplan.reading.reason import mass_fault
from cutplan.sections import MATERIALS, Notation, OwnSection, folded_strip, material_in_name, same_name
from cutplan.units import KG

DRAWN_OR_STATED = "one of mass_per_m, area and legs"


def own_section(values: Mapping[str, Any], others: tuple[OwnSection, ...], notation: Notation) -> OwnSection:
    """A section of the workshop's own.

    Parameters
    ----------
    values
        By key: ``name``, ``height``, ``width`` and ``thickness`` in nm, ``mass_per_m`` in mg, ``area`` in square
        micrometres, ``surface_per_m`` in square millimetres, ``legs`` and ``bend_radius`` in nm, ``material``.
    others
        The sections read before.
    notation
        With the workshop's own materials.

    Raises
    ------
    Refused
        When a value is missing, two contradict each other, or the name is one that is known already.
    """
    name = values["name"]
    if any(same_name(name) == same_name(other.name) for other in others):
        raise Refused(name, "each section in one block", code="own_section.twice")
    if _is_known(name, notation):
        raise Refused(
            name, "a name that means no section known here, such as Slotted rail 41", code="own_section.known"
        )
    missing = [key for key in ("height", "width") if key not in values]
    if missing:
        raise Refused(name, f"a key {missing[0]}, the outside dimension, too", code="own_section.key")
    height, width = values["height"], values["width"]
    thickness = values.get("thickness", min(height, width))
    if thickness > min(height, width):
        raise Refused(name, "a thickness below height and width", code="own_section.wall")
    material = values.get("material", "")
    known = {**MATERIALS, **dict(notation.materials)}
    if material and material not in known:
        raise Refused(
            material, " or ".join(f'"{word}"' for word in known), nearest(material, known), code="own_section.material"
        )
    accepted = mass_fault(values.get("mass_per_m", 0), height, width, known.get(material, 7850))
    if accepted:
        raise Refused(f"{values['mass_per_m'] / KG:g}", accepted, code="own_section.mass")
    stated = [key for key in ("mass_per_m", "area", "legs") if key in values]
    if not stated or ("legs" in stated and "area" in stated):
        raise Refused(name, DRAWN_OR_STATED, code="own_section.drawn")
    mass = values.get("mass_per_m", 0)
    surface = values.get("surface_per_m", 2 * (height + width) // 1000)
    if "legs" in values:
        if "thickness" not in values:
            raise Refused(name, "a key thickness beside legs", code="own_section.key")
        area, drawn_surface = folded_strip(values["legs"], thickness, values.get("bend_radius", thickness))
        surface = values.get("surface_per_m", drawn_surface)
        basis = "drawn from its legs"
    else:
        # Where only the mass is known, the area follows from it.
        density = known.get(material, 7850)
        area = values.get("area") or mass * 1_000_000 // density
        basis = "area as stated" if "area" in values else "mass as stated, area from it and the density"
    if mass and "mass as stated" not in basis:
        basis += ", mass as stated"
    if "surface_per_m" not in values and "legs" not in values:
        basis += ", surface of its outside dimensions"
    return OwnSection(
        name=name,
        height=height,
        width=width,
        thickness=thickness,
        area_um2=area,
        mass_per_metre=mass,
        surface_mm2_per_metre=surface,
        material=material,
        basis=basis,
    )


def _is_known(name: str, notation: Notation) -> bool:
    try:
        material_in_name(name, notation)
    except Refused:
        return False
    return True
