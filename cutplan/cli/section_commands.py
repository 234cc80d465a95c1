"""The command ``section``: one section, or the sizes of a family."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, WorkshopFile
from cutplan.cli.output import answering, print_json, print_text
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.model import Workshop


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
        from cutplan.words.section_text import (
            details_document,
            details_text,
            section_document,
            section_text,
            sizes_text,
        )

        file, shop = actions.section_workshop(workshop)
        if family is not None:
            found = actions.section_sizes(family, standard=standard, up_to=up_to, workshop=shop)
            if as_json:
                print_json({"workshop": file, "sizes": [section_document(each, None) for each in found]})
            else:
                print_text(sizes_text(found, family, file, up_to))
            return
        one = actions.section(designation or "", standard=standard, workshop=shop)
        piece = _typed_length(length, shop) if length is not None else None
        details = actions.section_details(one, workshop=shop) if source else ()
        if as_json:
            print_json(section_document(one, piece) | {"workshop": file} | details_document(one, details))
        else:
            print_text(section_text(one, piece, designation or "", file) + details_text(one, details))


def _typed_length(text: str, shop: Workshop) -> int:
    try:
        return shop.figures.length(text)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--length", refused)]) from None
