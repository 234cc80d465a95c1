"""The command ``serve``: the bench in the browser."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug
from cutplan.cli.output import answering, print_json, say
from cutplan.cli.paths import as_path
from cutplan.problems import Problem, ProblemsFound


@app.command()
def serve(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="[FOLDER]", parser=as_path, help="Where the parts lists are.", show_default=False),
    ] = None,
    port: Annotated[
        int, typer.Option("--port", metavar="NUMBER", min=0, max=65535, help="Where it listens; 0 is any that is free.")
    ] = 8321,
    network: Annotated[
        bool, typer.Option("--network", help="Let phones of the workshop's network in, by a PIN on the page Phones.")
    ] = False,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan and cut in the browser.

    Serves the folder to this computer until it is stopped with Ctrl-C: its jobs, their plans, and at the saw one bar
    after the other. Files stay what counts; either face may be used at any time.
    """
    with answering(as_json, debug):
        folder = folder or Path()
        if not folder.is_dir():
            accepted = "a folder with parts lists in it, or where they are to be"
            raise ProblemsFound([Problem.statement("FOLDER", str(folder), accepted, code="bench.folder")])
        from cutplan.web.serving import serve as bench

        def tell(address: str) -> None:
            if as_json:
                print_json({"address": address})
            else:
                say(f"Open {address} in a browser. Ctrl-C ends it.")

        os.chdir(folder)
        try:
            bench(port=port, network=network, say=tell)
        except KeyboardInterrupt:
            say("Ended.")
