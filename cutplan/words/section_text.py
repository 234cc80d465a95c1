"""A section, its figures with their sources and the sizes of a family: in words and as values for JSON."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from cutplan.units import (
    FOOT,
    INCHES,
    MILLIMETRES,
    kg_text,
    length_text,
    mass_figure,
    mass_text,
    mm_text,
    round_half_up,
    stock_text,
)

if TYPE_CHECKING:
    from cutplan.sections import Detail, Section


def _figures(section: Section) -> dict[str, str]:
    def decimal(value: Fraction, places: int) -> str:
        scaled = round_half_up(value * 10**places)
        return f"{scaled // 10**places}.{scaled % 10**places:0{places}d}"

    return {
        "area_mm2": decimal(Fraction(section.area_um2, 10**6), 1),
        "mass_kg_per_m": decimal(Fraction(section.mass_per_metre, 10**6), 3),
        "surface_m2_per_m": decimal(Fraction(section.surface_mm2_per_metre, 10**6), 4),
    }


def _round_size(section: Section) -> dict[str, str]:
    """Outside diameter, wall and bore of a round tube or pipe; nothing for other sections."""
    from cutplan.sections import Family

    if section.family not in (Family.CHS, Family.PIPE):
        return {}
    bore = section.height - 2 * section.thickness
    sizes = {"outside_mm": section.height, "wall_mm": section.thickness, "bore_mm": bore}
    return {name: mm_text(size) for name, size in sizes.items()}


def section_document(section: Section, length: int | None) -> dict[str, Any]:
    """A section, and a piece of it where a length is given, as values for JSON. [nm]"""
    document: dict[str, Any] = {
        "section": section.designation,
        "family": section.family.title,
        "standard": section.standard,
        **_round_size(section),
        **_figures(section),
        "density_kg_per_m3": section.density,
        "source": section.source,
        "listed": section.listed,
    }
    if length is not None:
        document |= {"length_mm": mm_text(length), "mass_kg": kg_text(section.mass_of(length), 3)}
    return document


def section_text(section: Section, length: int | None, typed: str, file: str) -> str:
    """A section in words: as it was ``typed``, and by which workshop file it was read."""
    values = _figures(section)
    lines = [
        f"{section.designation} ({section.family.title}) to {section.standard}",
        f"  area      {values['area_mm2']} mm2",
        f"  mass      {values['mass_kg_per_m']} kg/m, {mass_figure(section.mass_of(FOOT), INCHES, 3)} lb/ft, "
        f"at {section.density} kg/m3",
        f"  surface   {values['surface_m2_per_m']} m2/m",
        f"  source    {section.source}",
    ]
    if round_size := _round_size(section):
        outside, wall, bore = round_size.values()
        lines.insert(1, f"  size      {outside} mm outside, wall {wall} mm, bore {bore} mm")
    if " ".join(typed.split()) != section.designation:
        lines.insert(1, f"  typed     {' '.join(typed.split())}")
    if not section.listed:
        lines.append(
            "  remark    not a listed size: no table here has it to this standard, so the mass is by formula alone"
        )
    if file:
        lines.append(f"  workshop  {file}")
    if length is not None:
        masses = [mass_text(section.mass_of(length), how, 2) for how in (MILLIMETRES, INCHES)]
        lines.append(f"  {length_text(length)} ({stock_text(length, INCHES)}) weighs {masses[0]} ({masses[1]})")
    return "\n".join(lines)


def _detail_rows(section: Section, details: tuple[Detail, ...]) -> list[tuple[str, str, str]]:
    """Each number in words with its source; area, mass and surface as the section has them."""
    values = _figures(section)
    results = {
        "area": f"{values['area_mm2']} mm2",
        "mass": f"{values['mass_kg_per_m']} kg/m",
        "surface": f"{values['surface_m2_per_m']} m2/m",
    }
    return [(detail.what, detail.value or results[detail.what], detail.source) for detail in details]


def details_document(section: Section, details: tuple[Detail, ...]) -> dict[str, Any]:
    """Each number of a section with its source, as values for JSON; none where no source was asked for."""
    rows = [{"what": what, "value": value, "source": source} for what, value, source in _detail_rows(section, details)]
    return {"numbers": rows} if rows else {}


def details_text(section: Section, details: tuple[Detail, ...]) -> str:
    """The same as lines below those of the section."""
    rows = _detail_rows(section, details)
    wide = [max((len(row[place]) for row in rows), default=0) for place in (0, 1)]
    return "".join(f"\n  {what:<{wide[0]}}  {value:<{wide[1]}}  {source}" for what, value, source in rows)


def sizes_text(found: tuple[Section, ...], family: str, file: str, up_to: str | None) -> str:
    """The sizes of a family in words, a line each."""
    if not found:
        limit = "" if up_to is None else f" with every outside dimension up to {up_to}"
        return f"No size of {family}{limit} in the tables here."
    wide = max(len(each.designation) for each in found)
    made_to = max(len(each.standard) for each in found)
    lines = [f"{'':<{wide}}  {'standard':<{made_to}}  {'kg/m':>8}  {'mm2':>9}  {'m2/m':>7}"]
    for each in found:
        values = _figures(each)
        lines.append(
            f"{each.designation:<{wide}}  {each.standard:<{made_to}}  {values['mass_kg_per_m']:>8}"
            f"  {values['area_mm2']:>9}  {values['surface_m2_per_m']:>7}"
        )
    densities = " and ".join(str(density) for density in sorted({each.density for each in found}))
    lines.append(f"{len(found)} listed sizes, at {densities} kg/m3. Merchants keep only some of them.")
    if file:
        lines.append(f"Workshop file: {file}.")
    return "\n".join(lines)
