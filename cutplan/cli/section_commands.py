"""The command ``section``: one section, or the sizes of a family."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, WorkshopFile
from cutplan.cli.output import answering, print_json, print_text
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.model import Workshop
    from cutplan.sections import Detail, Section


@app.command()
def section(
    designation: Annotated[
        str | None,
        typer.Argument(metavar="SECTION", help='As the trade writes it, e.g. "SHS 40x40x3".', show_default=False),
    ] = None,
    family: Annotated[
        str | None,
        typer.Option("--family", metavar="WORD", help="List the sizes of a family: SHS, angle, IPE."),
    ] = None,
    up_to: Annotated[
        str | None, typer.Option("--up-to", metavar="LENGTH", help="With --family: no outside dimension above this.")
    ] = None,
    source: Annotated[bool, typer.Option("--source", help="Also every number with its source.")] = False,
    standard: Annotated[
        str | None, typer.Option("--standard", metavar="TEXT", help="Standard; else the usual one of the family.")
    ] = None,
    length: Annotated[
        str | None, typer.Option("--length", metavar="TEXT", help='Also the mass of this length, e.g. "6.5 m".')
    ] = None,
    workshop: WorkshopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show a section and its weight, or the sizes of a family.

    Prints its spelling, standard, area, mass and surface per metre, and where they come from. Standards, density and
    notation are those of the workshop file, where there is one.
    """
    if (designation is None) == (family is None):
        raise typer.BadParameter("one of SECTION and --family", param_hint="SECTION")
    if (up_to is not None and family is None) or (family is not None and (source or length is not None)):
        raise typer.BadParameter("--up-to goes with --family, --source and --length with a SECTION")
    with answering(as_json, debug):
        file, shop = actions.section_workshop(workshop)
        if family is not None:
            found = actions.section_sizes(family, standard=standard, up_to=up_to, workshop=shop)
            if as_json:
                print_json({"workshop": file, "sizes": [_section_document(each, None) for each in found]})
            else:
                print_text(_sizes_text(found, family, file, up_to))
            return
        one = actions.section(designation or "", standard=standard, workshop=shop)
        piece = _typed_length(length, shop) if length is not None else None
        details = actions.section_details(one, workshop=shop) if source else ()
        if as_json:
            print_json(_section_document(one, piece) | {"workshop": file} | _details_document(one, details))
        else:
            print_text(_section_text(one, piece, designation or "", file) + _details_text(one, details))


def _typed_length(text: str, shop: Workshop) -> int:
    try:
        return shop.figures.length(text)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--length", refused)]) from None


def _section_values(section: Section) -> dict[str, str]:
    from fractions import Fraction

    from cutplan.units import round_half_up

    def decimal(value: Fraction, places: int) -> str:
        scaled = round_half_up(value * 10**places)
        return f"{scaled // 10**places}.{scaled % 10**places:0{places}d}"

    return {
        "area_mm2": decimal(Fraction(section.area_um2, 10**6), 1),
        "mass_kg_per_m": decimal(Fraction(section.mass_per_metre, 10**6), 3),
        "surface_m2_per_m": decimal(Fraction(section.surface_mm2_per_metre, 10**6), 4),
    }


def _section_document(section: Section, length: int | None) -> dict[str, Any]:
    from cutplan.units import kg_text, mm_text

    document: dict[str, Any] = {
        "section": section.designation,
        "family": section.family.title,
        "standard": section.standard,
        **_section_values(section),
        "density_kg_per_m3": section.density,
        "source": section.source,
        "listed": section.listed,
    }
    if length is not None:
        document |= {"length_mm": mm_text(length), "mass_kg": kg_text(section.mass_of(length), 3)}
    return document


def _section_text(section: Section, length: int | None, typed: str, file: str) -> str:
    from cutplan.units import FOOT, INCHES, MILLIMETRES, length_text, mass_figure, mass_text, stock_text

    values = _section_values(section)
    lines = [
        f"{section.designation} ({section.family.title}) to {section.standard}",
        f"  area      {values['area_mm2']} mm2",
        f"  mass      {values['mass_kg_per_m']} kg/m, {mass_figure(section.mass_of(FOOT), INCHES, 3)} lb/ft, "
        f"at {section.density} kg/m3",
        f"  surface   {values['surface_m2_per_m']} m2/m",
        f"  source    {section.source}",
    ]
    if " ".join(typed.split()) != section.designation:
        lines.insert(1, f"  typed     {' '.join(typed.split())}")
    if not section.listed:
        lines.append(
            "  remark    not a listed size: no table here has it to this standard, the formula alone stands behind it"
        )
    if file:
        lines.append(f"  workshop  {file}")
    if length is not None:
        masses = [mass_text(section.mass_of(length), how, 2) for how in (MILLIMETRES, INCHES)]
        lines.append(f"  {length_text(length)} ({stock_text(length, INCHES)}) weighs {masses[0]} ({masses[1]})")
    return "\n".join(lines)


def _detail_rows(section: Section, details: tuple[Detail, ...]) -> list[tuple[str, str, str]]:
    """Each number in words with its source; area, mass and surface as the section has them."""
    values = _section_values(section)
    results = {
        "area": f"{values['area_mm2']} mm2",
        "mass": f"{values['mass_kg_per_m']} kg/m",
        "surface": f"{values['surface_m2_per_m']} m2/m",
    }
    return [(detail.what, detail.value or results[detail.what], detail.source) for detail in details]


def _details_document(section: Section, details: tuple[Detail, ...]) -> dict[str, Any]:
    rows = [{"what": what, "value": value, "source": source} for what, value, source in _detail_rows(section, details)]
    return {"numbers": rows} if rows else {}


def _details_text(section: Section, details: tuple[Detail, ...]) -> str:
    rows = _detail_rows(section, details)
    wide = [max((len(row[place]) for row in rows), default=0) for place in (0, 1)]
    return "".join(f"\n  {what:<{wide[0]}}  {value:<{wide[1]}}  {source}" for what, value, source in rows)


def _sizes_text(found: tuple[Section, ...], family: str, file: str, up_to: str | None) -> str:
    if not found:
        limit = "" if up_to is None else f" with every outside dimension up to {up_to}"
        return f"No size of {family}{limit} in the tables here."
    wide = max(len(each.designation) for each in found)
    made_to = max(len(each.standard) for each in found)
    lines = [f"{'':<{wide}}  {'standard':<{made_to}}  {'kg/m':>8}  {'mm2':>9}  {'m2/m':>7}"]
    for each in found:
        values = _section_values(each)
        lines.append(
            f"{each.designation:<{wide}}  {each.standard:<{made_to}}  {values['mass_kg_per_m']:>8}"
            f"  {values['area_mm2']:>9}  {values['surface_m2_per_m']:>7}"
        )
    densities = " and ".join(str(density) for density in sorted({each.density for each in found}))
    lines.append(f"{len(found)} listed sizes, at {densities} kg/m3. Merchants keep only some of them.")
    if file:
        lines.append(f"Workshop file: {file}.")
    return "\n".join(lines)
