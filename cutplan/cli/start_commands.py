"""The commands ``new`` and ``convert``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.on_list import Beside, with_beside
from cutplan.cli.options import AsJson, BareUnit, Debug, WorkshopFile
from cutplan.cli.output import answering, print_json, print_text, say
from cutplan.cli.paths import as_path

QUESTIONS = {
    "unit": ("Unit of bare numbers, mm or in", "mm"),
    "paper": ("Paper, A4 or Letter", ""),
    "kerf": ("Saw: what one cut removes (abrasive disc about 3 mm, cold saw 2.5 mm, band saw 1.2 mm)", "2.5 mm"),
    "stock": ("Stock lengths on sale, such as 6 m, 7.5 m; blank when you will type prices", ""),
    "currency": ("Currency, three letters", "EUR"),
}
"""What is asked on a terminal when it was not said, with the answer that Enter gives."""


@app.command()
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the job and of the file.", show_default=False)],
    unit: Annotated[BareUnit | None, typer.Option("--unit", help="Unit of bare numbers.")] = None,
    paper: Annotated[str, typer.Option("--paper", metavar="PAPER", help="Paper to print on: A4 or Letter.")] = "",
    kerf: Annotated[str, typer.Option("--kerf", metavar="LENGTH", help="What one cut of the saw removes.")] = "",
    stock: Annotated[
        str, typer.Option("--stock", metavar="TEXT", help='Lengths on sale, e.g. "6 m, 7.5 m"; prices may come later.')
    ] = "",
    currency: Annotated[str, typer.Option("--currency", metavar="CODE", help="Three letters, e.g. EUR.")] = "",
    workshop: WorkshopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Begin a job in a workbook.

    Writes NAME.xlsx with sheets for parts, prices, rack and workshop. Asks what is not said; settings of a workshop
    file that is found are taken over.
    """
    with answering(as_json, debug):
        said = {"unit": unit.value if unit else "", "paper": paper, "kerf": kerf, "stock": stock, "currency": currency}
        if sys.stdin.isatty() and not as_json:
            known = actions.known_settings(name, workshop=workshop)
            for word, (question, default) in QUESTIONS.items():
                if not said[word] and word not in known:
                    said[word] = _asked(question, default)
        path = actions.new(name, workshop=workshop, **said)
        if as_json:
            print_json({"written": [str(path)]})
        else:
            print_text(f"Fill in {path} and save it, then: cutplan plan {path}")


def _asked(question: str, default: str) -> str:
    answer: str = typer.prompt(question, default=default, show_default=bool(default), err=True)
    return answer.strip()


@app.command()
@with_beside
def convert(
    source: Annotated[
        Path,
        typer.Argument(
            metavar="JOB", help="A parts list, or a workbook with a whole job.", show_default=False, parser=as_path
        ),
    ],
    *,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="TARGET", parser=as_path, help="A name ending in .xlsx, or a new folder."),
    ] = None,
    beside: Beside,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Turn a workbook into csv and TOML, or back.

    A workbook becomes a folder of lists with a workshop file; lists become one workbook. Both say the same.
    """
    with answering(as_json, debug):
        files = actions.convert(source, out, **beside)
        if as_json:
            print_json({"written": [str(file) for file in files]})
        else:
            say("Written: " + ", ".join(str(file) for file in files))
