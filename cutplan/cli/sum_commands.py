"""The commands ``brace``, ``frame`` and ``spacing``."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cutplan import actions
from cutplan.cli.face import TakesLength, app
from cutplan.cli.options import AsJson, BareUnit, Debug
from cutplan.cli.output import answering, print_json, print_text, say
from cutplan.cli.paths import as_path
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.calculators import Answer
    from cutplan.model import Workshop


class Against(StrEnum):
    """What the ends of a brace bear against."""

    TOP_AND_BOTTOM = "top and bottom"
    SIDES = "sides"


class Joint(StrEnum):
    """How the corners of a frame are made."""

    MITRED = "mitred"
    WIDTH_THROUGH = "width through"
    HEIGHT_THROUGH = "height through"


Unit = Annotated[
    BareUnit | None,
    typer.Option("--unit", help="Unit of bare numbers and of what is printed; else the workshop's."),
]
Shop = Annotated[
    Path | None,
    typer.Option(
        "--workshop",
        metavar="FILE",
        parser=as_path,
        help="Workshop file; else the nearest one, upwards from the list of --append or from here.",
    ),
]
SectionUsed = Annotated[
    str,
    typer.Option(
        "--section",
        metavar="SECTION",
        help='Section of the parts, e.g. "SHS 40x40x3"; its depth too where sides are equal.',
    ),
]
Depth = Annotated[
    str, typer.Option("--depth", metavar="LENGTH", help="Depth of the section in the plane of the drawing.")
]
Append = Annotated[
    Path | None,
    typer.Option(
        "--append",
        metavar="LIST",
        parser=as_path,
        help="Add the parts to this list, or begin it as csv; needs --section.",
    ),
]
Mark = Annotated[str, typer.Option("--mark", metavar="TEXT", help="Mark of the part added, or how its marks begin.")]
Quantity = Annotated[
    int, typer.Option("--quantity", metavar="NUMBER", min=1, max=100_000, help="How many of it to add to the list.")
]


@app.command(cls=TakesLength)
def brace(
    opening: Annotated[
        str, typer.Argument(metavar="OPENING", help='Width x height inside, e.g. "1000 x 800".', show_default=False)
    ],
    section: SectionUsed = "",
    depth: Depth = "",
    against: Annotated[
        Against, typer.Option("--against", help="The two sides of the opening that its ends bear against.")
    ] = Against.TOP_AND_BOTTOM,
    append: Append = None,
    mark: Mark = "",
    quantity: Quantity = 1,
    unit: Unit = None,
    workshop: Shop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Work out a diagonal brace.

    Long point, short point and saw angle of a brace from corner to corner of an opening, with the formula.
    """
    with answering(as_json, debug):
        shop = _shop(workshop, append, unit)
        found = actions.brace(opening, depth=depth, section=section, against=against.value, workshop=shop)
        _show(found, shop, as_json)
        _append(found, append, section, mark, quantity, depth, shop)


@app.command()
def frame(
    outside: Annotated[
        str, typer.Option("--outside", metavar="SIZE", help='Width x height outside, e.g. "1000 x 600".')
    ] = "",
    inside: Annotated[
        str, typer.Option("--inside", metavar="SIZE", help="Width x height of the opening, in place of --outside.")
    ] = "",
    opening: Annotated[
        str,
        typer.Option("--opening", metavar="SIZE", help="For a gate: width between the posts x height from the ground."),
    ] = "",
    hinge_gap: Annotated[
        str, typer.Option("--hinge-gap", metavar="LENGTH", help="Gap between post and leaf at the hinges.")
    ] = "",
    latch_gap: Annotated[
        str, typer.Option("--latch-gap", metavar="LENGTH", help="Gap at the latch, of two leaves the one between them.")
    ] = "",
    below: Annotated[str, typer.Option("--below", metavar="LENGTH", help="Gap under a leaf.")] = "0",
    leaves: Annotated[int, typer.Option("--leaves", metavar="NUMBER", min=1, max=2, help="Leaves of a gate.")] = 1,
    with_brace: Annotated[
        bool, typer.Option("--brace", help="With a brace of the same section from corner to corner.")
    ] = False,
    section: SectionUsed = "",
    depth: Depth = "",
    joint: Annotated[
        Joint, typer.Option("--joint", help="Mitred corners, or butted ones and which parts run through.")
    ] = Joint.MITRED,
    append: Append = None,
    mark: Mark = "",
    quantity: Quantity = 1,
    unit: Unit = None,
    workshop: Shop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Work out the parts of a frame or a gate.

    The four parts, mitred or butted, from the outside or the inside size, or for each leaf of a gate from its opening
    and gaps, and the diagonals that show it is square.
    """
    with answering(as_json, debug):
        shop = _shop(workshop, append, unit)
        if bool(outside) + bool(inside) + bool(opening) != 1:
            _usage("frame", "none or several of --outside, --inside, --opening", "one of them", code="command.either")
        if bool(opening) != bool(hinge_gap and latch_gap) or (
            not opening and (hinge_gap or latch_gap or leaves > 1 or below != "0")
        ):
            accepted = "--opening with --hinge-gap and --latch-gap, 0 where there is none"
            _usage("frame", "an opening without its gaps, or gaps without one", accepted, code="command.needed")
        if opening:
            found = actions.gate(
                opening, hinge_gap=hinge_gap, latch_gap=latch_gap, below=below, leaves=leaves, joint=joint.value,
                brace=with_brace, depth=depth, section=section, workshop=shop,
            )  # fmt: skip
        else:
            measured = "outside" if outside else "inside"
            found = actions.frame(
                outside or inside, measured=measured, joint=joint.value, brace=with_brace, depth=depth,
                section=section, workshop=shop,
            )  # fmt: skip
        _show(found, shop, as_json)
        _append(found, append, section, mark, quantity, depth, shop)


@app.command(cls=TakesLength)
def spacing(
    distance: Annotated[
        str, typer.Argument(metavar="DISTANCE", help="Clear distance between the two faces.", show_default=False)
    ],
    count: Annotated[
        int | None, typer.Option("--count", metavar="NUMBER", help="How many parts stand between them.")
    ] = None,
    most: Annotated[
        str, typer.Option("--most", metavar="LENGTH", help="The widest gap allowed, in place of --count.")
    ] = "",
    width: Annotated[str, typer.Option("--width", metavar="LENGTH", help="How wide each part stands.")] = "0",
    length: Annotated[
        str, typer.Option("--length", metavar="LENGTH", help="Length of each part, to cut and to append.")
    ] = "",
    section: SectionUsed = "",
    on: Annotated[
        str,
        typer.Option(
            "--on", metavar="MARKS", help="Rails of the list of --append on which they land, with commas between."
        ),
    ] = "",
    face: Annotated[
        int | None,
        typer.Option(
            "--face", metavar="NUMBER", min=1, max=4, help="Face of the rails; else the inner one of a mitred rail."
        ),
    ] = None,
    start: Annotated[
        str,
        typer.Option(
            "--from",
            metavar="LENGTH",
            help="Where the distance begins, from end A of a rail; else where its face does.",
        ),
    ] = "",
    append: Append = None,
    mark: Mark = "",
    quantity: Quantity = 1,
    unit: Unit = None,
    workshop: Shop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Space parts evenly.

    The gap and the position of every part between two faces, each measured from the first face.
    """
    with answering(as_json, debug):
        shop = _shop(workshop, append, unit)
        found = actions.spacing(distance, count=count, most=most, width=width, piece=length, workshop=shop)
        if on and append is None:
            _usage("--on", "no list", "--append with the list that the rails stand in", code="command.needed")
        if not on and (face or start):
            _usage("spacing", "a face or a beginning of no rail", "--on with marks of the list", code="command.needed")
        _show(found, shop, as_json)
        if on and append is not None:
            rails = [each.strip() for each in on.split(",") if each.strip()]
            path, rows = actions.append_landings(found, append, rails, face=face, start=start, what=mark, workshop=shop)
            say(f"Landings added to {path}: {rows} rows")
        if length or not on:
            _append(found, append, section, mark, quantity, "", shop)


def _shop(workshop: Path | None, append: Path | None, unit: BareUnit | None) -> Workshop:
    """The workshop whose unit, decimal sign and standards hold."""
    _, shop = actions.section_workshop(workshop, near=append)
    return replace(shop, unit=unit.value) if unit else shop


def _show(answer: Answer, shop: Workshop, as_json: bool) -> None:
    if as_json:
        print_json(actions.sum_values(answer, workshop=shop))
    else:
        print_text(actions.sum_text(answer, workshop=shop))


def _append(
    answer: Answer, path: Path | None, section: str, mark: str, quantity: int, depth: str, shop: Workshop
) -> None:
    if path is None:
        return
    if not section:
        _usage("--append", "no section", "--section with the section of the parts", code="command.needed")
    rows = actions.append_parts(answer, path, section=section, mark=mark, quantity=quantity, depth=depth, workshop=shop)
    say(f"Added to {path}: {rows} row{'' if rows == 1 else 's'}")


def _usage(where: str, found: str, accepted: str, *, code: str) -> None:
    raise ProblemsFound([Problem(where=where, found=found, accepted=accepted, found_is_text=False, code=code)])
