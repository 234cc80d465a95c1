"""Arguments and options that several commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from cutplan.cli.paths import as_path


class BareUnit(StrEnum):
    """Unit of bare numbers."""

    MM = "mm"
    INCH = "in"


PartsList = Annotated[
    Path, typer.Argument(metavar="PARTS", help="Parts list, csv or xlsx.", show_default=False, parser=as_path)
]

PartsLists = Annotated[
    list[Path],
    typer.Argument(
        metavar="PARTS",
        help="Parts list, csv or xlsx; several are planned and bought together.",
        show_default=False,
        parser=as_path,
    ),
]

WorkshopFile = Annotated[
    Path | None,
    typer.Option(
        "--workshop", metavar="FILE", parser=as_path, help="Workshop file; else the nearest one from the list upwards."
    ),
]

PriceList = Annotated[
    Path | None,
    typer.Option(
        "--prices",
        metavar="FILE",
        parser=as_path,
        help="Price list, csv or xlsx; else the one the workshop file names.",
    ),
]

RackFile = Annotated[
    Path | None,
    typer.Option(
        "--rack", metavar="FILE", parser=as_path, help="Offcuts on hand, csv or xlsx; else the file the workshop names."
    ),
]

HolesFile = Annotated[
    Path | None,
    typer.Option(
        "--holes",
        metavar="FILE",
        parser=as_path,
        help="Holes in the parts, csv or xlsx; else the file named after the list, with -holes behind it.",
    ),
]

Cluster = Annotated[
    str,
    typer.Option("--cluster", metavar="ADDRESS", help="Plan on a dask cluster, by the address of its scheduler."),
]

PartsSheet = Annotated[
    str,
    typer.Option(
        "--sheet", metavar="NAME", help="Of a workbook with several sheets of parts, the one to read; else all of them."
    ),
]

Times = Annotated[
    int | None,
    typer.Option("--times", metavar="NUMBER", min=1, help="How often the list is made; its quantities are for one."),
]

Stock = Annotated[
    list[str] | None,
    typer.Option(
        "--stock",
        metavar="TEXT",
        help='Lengths on sale, no prices known: "6 m", or "SHS 40x40x3: 6 m, 7.5 m"; repeatable.',
    ),
]

TimeLimit = Annotated[
    float,
    typer.Option("--time-limit", metavar="SECONDS", min=1.0, help="Seconds after which the best plan so far is taken."),
]

LabelSize = Annotated[
    str, typer.Option("--size", metavar="TEXT", help="Size of a label, such as '63.5 x 38.1 mm'; else the workshop's.")
]

FirstFree = Annotated[
    int, typer.Option("--start", metavar="NUMBER", help="First free label of a part-used sheet, along its rows.")
]

ServerAddress = Annotated[
    str,
    typer.Option("--address", metavar="URL", help="Of a server, such as https://bench:8321: codes open its pages."),
]

AllAssumed = Annotated[
    bool, typer.Option("--assumptions", help="Show all that was assumed, also what changes nothing in this plan.")
]

AsJson = Annotated[bool, typer.Option("--json", help="Print the result, or what is wrong, as JSON on stdout.")]

Debug = Annotated[bool, typer.Option("--debug", help="Show the full trace of a fault in the program.")]

ShopFile = Annotated[
    Path | None,
    typer.Option(
        "--workshop", metavar="FILE", parser=as_path, help="Workshop file; else the nearest one from here upwards."
    ),
]

LedgerFile = Annotated[
    Path | None,
    typer.Option(
        "--ledger", metavar="FILE", parser=as_path, help="The rack's ledger; else the one the workshop file names."
    ),
]

Reason = Annotated[str | None, typer.Option("--reason", metavar="TEXT", help="Why; kept with the movement.")]

Who = Annotated[str | None, typer.Option("--who", metavar="NAME", help="Who did it; else the name logged in by.")]

PlanFile = Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json.", show_default=False, parser=as_path)]

PlanShop = Annotated[
    Path | None,
    typer.Option(
        "--workshop", metavar="FILE", parser=as_path, help="Workshop file, in place of the note beside the plan."
    ),
]


def here_or_there(cluster: str, processes: int | None) -> None:
    """Refuse processes of this computer where a cluster is to do the work."""
    if cluster and processes is not None:
        raise typer.BadParameter("--processes is for this computer alone; a cluster has as many as it has workers")
