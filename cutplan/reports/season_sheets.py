"""A season with all its tables and pictures as one page for a browser and as a PDF, which say the same."""

from __future__ import annotations

from html import escape
from statistics import median
from typing import Any

from cutplan.reports.browser.plan_html import page_of
from cutplan.reports.paper.cost_pdf import pages
from cutplan.reports.paper.listing import Cell, Column, Part, sheet, strong
from cutplan.reports.season_table import season_pictures
from cutplan.units import counted
from cutplan.words.season_words import (
    Season,
    Tried,
    advice,
    beside,
    lengths_text,
    never_used,
    proofs,
    row_figures,
    row_headings,
    sections_left,
    worth,
)

_TITLE = "A season of the rack"


def season_html(season: Season) -> bytes:
    """The page; it asks nothing of a network."""
    return page_of(_TITLE, f"<b>{escape(_TITLE)}</b><span>{escape(_over(season))}</span>", _sheets(season)).encode()


def season_pdf(season: Season) -> bytes:
    """The same on paper."""
    return pages(_TITLE, _TITLE, season.workshop, _over(season), _sheets(season), "")


def _over(season: Season) -> str:
    draws = len(season.tried[0].draws)
    over = f", {season.days[0]} to {season.days[-1]}" if season.days else ""
    return counted(season.jobs, "job") + (f", {draws} times drawn" if season.drawn else over)


def _sheets(season: Season) -> list[dict[str, Any]]:
    parts = [
        Part(
            title="What each came to",
            columns=(Column("keys"), *(Column(head, 20, "right") for head in row_headings(season))),
            rows=[[_keys(tried), *row_figures(season, tried)] for tried in season.tried],
            after=[
                proofs(season),
                *(beside(season, tried) for tried in season.tried[1:]),
                *filter(None, worth(season)),
                *_advised(season),
            ],
        ),
        *(Part(title=heading, picture=picture, shows=heading) for heading, picture in season_pictures(season)),
        _ages(season),
        *_sections(season),
    ]
    begin = "The rack begins as it is now; what a job leaves lies there for those after it. Each job is cut as planned."
    means = " Figures are means over the draws, which are the same in every row." * (len(season.tried[0].draws) > 1)
    return [sheet(_TITLE, [begin + means], parts)]


def _advised(season: Season) -> list[str]:
    return [line for text in advice(season) for line in text.splitlines() if line]


def _ages(season: Season) -> Part:
    """How long left overs lay: those that were used, until then; the others until the end."""
    unit = "days" if season.days else "jobs"
    heads = ("used again", f"after {unit}, median", "at most", "never used", f"lying for {unit}, median", "at most")
    rows: list[list[Cell]] = []
    for tried in season.tried:
        waits = [wait for draw in tried.draws for wait in (draw.days_waited if season.days else draw.waits)]
        ages = [age for draw in tried.draws for age in (draw.days_lain if season.days else draw.ages)]
        rows.append([_keys(tried), *_three(waits), *_three(ages)])
    columns = (Column("keys"), *(Column(head, 20, "right") for head in heads))
    return Part(title="How long left overs lay, over all draws", columns=columns, rows=rows)


def _keys(tried: Tried) -> Cell:
    """In letters in which the longest key, with a value, is no wider than its column."""
    return strong(tried.words, 9)


def _three(spans: list[int]) -> tuple[str, str, str]:
    return (str(len(spans)), f"{median(spans):g}", str(max(spans))) if spans else ("0", "", "")


def _sections(season: Season) -> list[Part]:
    how = season.workshop.printing
    rows: list[list[Cell]] = [
        [
            strong(row.section),
            str(row.kept),
            str(row.never),
            lengths_text(row.shortest, row.longest, how) if row.never else "",
        ]
        for row in sections_left(season.tried[0])
    ]
    if not rows:
        return []
    columns = (
        Column("section"),
        Column("kept", 24, "right"),
        Column("never used", 24, "right"),
        Column("of lengths", 60, "right"),
    )
    return [Part(title="Which are never used, as it is", columns=columns, rows=rows, before=never_used(season)[1:3])]
