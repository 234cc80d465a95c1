"""The command ``section``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug
from cutplan.cli.output import answering, print_json, print_text
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.sections.section import Section


@app.command()
def section(
    designation: Annotated[
        str, typer.Argument(metavar="SECTION", help='As the trade writes it, e.g. "SHS 40x40x3".', show_default=False)
    ],
    standard: Annotated[
        str | None, typer.Option("--standard", metavar="TEXT", help="Standard; else the usual one of the family.")
    ] = None,
    length: Annotated[
        str | None, typer.Option("--length", metavar="TEXT", help='Also the mass of this length, e.g. "6.5 m".')
    ] = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show a section and its weight.

    Prints its spelling, standard, area, mass and surface per metre, and where they come from.
    """
    with answering(as_json, debug):
        found = actions.section(designation, standard=standard)
        piece = _typed_length(length) if length is not None else None
        if as_json:
            print_json(_section_document(found, piece))
        else:
            print_text(_section_text(found, piece))


def _typed_length(text: str) -> int:
    from cutplan.units import parse_length

    try:
        return parse_length(text)
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


def _section_text(section: Section, length: int | None) -> str:
    from cutplan.units import kg_text, length_text

    values = _section_values(section)
    lines = [
        f"{section.designation} ({section.family.title}) to {section.standard}",
        f"  area      {values['area_mm2']} mm2",
        f"  mass      {values['mass_kg_per_m']} kg/m at {section.density} kg/m3",
        f"  surface   {values['surface_m2_per_m']} m2/m",
        f"  source    {section.source}",
    ]
    if not section.listed:
        lines.append("  remark    not in the size lists here for this standard: the formula alone gives these figures")
    if length is not None:
        mass = kg_text(section.mass_of(length), 2)
        lines.append(f"  {length_text(length)} ({length_text(length, 'ft')}) weighs {mass} kg")
    return "\n".join(lines)
