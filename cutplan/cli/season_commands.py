"""The command ``season``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Cluster, Debug, PriceList, RackFile, TimeLimit, WorkshopFile, here_or_there
from cutplan.cli.output import answering, print_json, print_text, progress, say
from cutplan.cli.paths import as_path
from cutplan.cli.process import STOPPED_WITH_PLAN


@app.command()
def season(
    lists: Annotated[
        list[Path],
        typer.Argument(
            metavar="LISTS",
            help="Parts lists, in the order of the jobs, and folders that are looked through for parts lists.",
            show_default=False,
            parser=as_path,
        ),
    ],
    tries: Annotated[
        list[str] | None,
        typer.Option(
            "--try",
            metavar="KEY=VALUE",
            help="Other keys of the workshop file, parted by semicolons; repeatable, each a row.",
        ),
    ] = None,
    jobs: Annotated[
        int,
        typer.Option("--jobs", metavar="N", min=0, max=1000, help="Draw so many jobs from the lists; else each once."),
    ] = 0,
    draws: Annotated[
        int, typer.Option("--draws", metavar="N", min=1, max=100, help="Draw them so often; with --jobs.")
    ] = 1,
    seed: Annotated[int, typer.Option("--seed", metavar="N", help="Another seed, other draws; with --jobs.")] = 1,
    processes: Annotated[
        int | None,
        typer.Option("--processes", metavar="N", min=0, max=64, help="Draws at once; else one for each processor."),
    ] = None,
    cluster: Cluster = "",
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="FILE",
            parser=as_path,
            help="Write it as well: .csv, a line a draw, a picture .svg, or all as .html, .pdf.",
        ),
    ] = None,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show what other keep lengths would have come to over many jobs.

    Plans and cuts the lists one after another from a copy of the rack, as the workshop file is and once more under each
    set of other keys: what is paid, scrapped, kept, used again, and what lies on the rack in the end. Your own rack is
    left as it is.
    """
    from cutplan.words import season_words

    with answering(as_json, debug):
        if not jobs and (draws, seed) != (1, 1):
            raise typer.BadParameter("--draws and --seed say how --jobs are drawn; say how many of those")
        here_or_there(cluster, processes)
        if out:
            actions.season_file_named(out)
        found_in, others = actions.lists_in(lists)
        if others:
            say("Passed over as no parts lists: " + ", ".join(map(str, others)))
        with progress() as tell:
            found = actions.season(
                [each for each, _ in found_in],
                tries or (),
                workshop=workshop,
                prices=prices,
                rack=rack,
                jobs=jobs,
                draws=draws,
                seed=seed,
                processes=processes,
                cluster=cluster,
                time_limit=time_limit,
                progress=tell,
            )
        files = [str(actions.write_season(found, out))] if out else []
        if as_json:
            print_json(season_words.season_values(found) | {"files": files})
        else:
            print_text("\n".join([season_words.season_text(found), *(f"Written: {file}" for file in files)]))
        if any(draw.stopped_by for each in found.tried for draw in each.draws):
            raise typer.Exit(STOPPED_WITH_PLAN)
