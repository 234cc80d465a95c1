"""The command ``batch``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Cluster, Debug, TimeLimit, here_or_there
from cutplan.cli.output import answering, print_json, print_text, say
from cutplan.cli.paths import as_path
from cutplan.cli.process import BAD_INPUT, STOPPED_WITH_PLAN


@app.command()
def batch(
    lists: Annotated[
        list[Path],
        typer.Argument(
            metavar="LISTS",
            help="Parts lists, and folders that are looked through for parts lists.",
            show_default=False,
            parser=as_path,
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FOLDER", parser=as_path, help="Where the plans go, a folder each; else reports."
        ),
    ] = None,
    table: Annotated[
        Path | None,
        typer.Option("--table", metavar="FILE", parser=as_path, help="Write the table too: .csv, .xlsx or .jsonl."),
    ] = None,
    processes: Annotated[
        int | None,
        typer.Option("--processes", metavar="N", min=0, max=64, help="Lists at once; else one for each processor."),
    ] = None,
    cluster: Cluster = "",
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan many lists, each by itself.

    Each list is planned with its own workshop, prices and rack, and written as "plan" does. A list at fault stops no
    other. Run again, plans that still answer their lists are kept, so that a batch goes on where it was stopped. The
    time limit is for each list.
    """
    with answering(as_json, debug):
        here_or_there(cluster, processes)
        tasks, others = actions.lists_of(lists, out or Path("reports"))
        if table:
            actions.batch_file_named(table)
        if others:
            say("Passed over as no parts lists: " + ", ".join(map(str, others)))
        if cluster:
            rows, stopped = actions.run_on_cluster(tasks, address=cluster, time_limit=time_limit, progress=say)
        else:
            rows, stopped = actions.run_batch(tasks, processes=processes, time_limit=time_limit, progress=say)
        if not as_json:
            # Before the table, which may be open elsewhere by then: what took hours is to be seen all the same.
            print_text(actions.batch_text(rows, of=len(tasks), stopped=stopped))
        if table:
            actions.write_batch(rows, table)
        if as_json:
            print_json(actions.batch_values(rows, of=len(tasks), stopped=stopped))
        if stopped or any(row.stopped_by for row in rows):
            raise typer.Exit(STOPPED_WITH_PLAN)
        if not all(row.has_plan for row in rows):
            raise typer.Exit(BAD_INPUT)
