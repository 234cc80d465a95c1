"""A list as a grid of fields: what a page shows of it, what it sends back, and what the reader says of that."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from operator import attrgetter
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from cutplan import actions
from cutplan.actions import Answered, Grid, Role
from cutplan.problems import Problem, ProblemsFound
from cutplan.web.forms import Form
from cutplan.web.look import page, to
from cutplan.words.bench_words import found_text
from cutplan.words.refusals import problem_values

EMPTY_ROWS = 6
"""Rows to type into below those that are there."""
_FAMILIES = ("SHS", "RHS", "CHS", "EA", "UA", "IPE", "UPN")
_CELL = re.compile(r"c(\d{1,4})-(\d{1,3})")
_WIDE, _LONG = 16, 24
"""Letters from which on a column is shown wider."""
CONFLICT = 409

Reader = Callable[[Path, Sequence[Sequence[str]], Grid], Sequence[Answered]]
Artist = Callable[[Path, Sequence[Sequence[str]], Grid], Mapping[int, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class GridPage:
    """A grid and where it lives: the file, the role of its columns, its reader, the template and what that needs.

    ``artist`` draws what a row stands for.
    """

    path: Path
    role: Role
    reader: Reader
    template: str
    address: str
    values: dict[str, Any] = field(default_factory=dict)
    artist: Artist | None = None

    def drawn(self, rows: Sequence[Sequence[str]], grid: Grid) -> Mapping[int, str]:
        """The drawings of rows, by row."""
        return {} if self.artist is None else self.artist(self.path, rows, grid)


def show(
    request: Request,
    at: GridPage,
    grid: Grid,
    rows: Sequence[Sequence[str]] | None = None,
    *,
    refused: Sequence[Problem] = (),
    seen: str = "",
) -> Response:
    """The page of a grid: of the file, or of rows that were typed and could not be saved."""
    cells = grid.rows if rows is None else rows
    found = at.reader(at.path, cells, grid)
    head, known = actions.known_columns(at.role, cells)
    wide = max((len(row) for row in cells), default=1)
    taken = {each.name for each in known.values()}
    filled = [[*row, *[""] * (wide - len(row))] for row in cells]
    return page(
        request,
        at.template,
        CONFLICT if refused else 200,
        **at.values,
        grid=grid,
        address=at.address,
        seen=seen or grid.sha256,
        now=grid.sha256,
        rows=filled + [[""] * wide for _ in range(EMPTY_ROWS)],
        head=head,
        names=[known[index].name if index in known else text for index, text in enumerate(_row(filled, head, wide))],
        lists={index: _list_of(each) for index, each in known.items()},
        choices={each.name: each.choices for each in known.values() if each.choices},
        looks=[_look(known.get(index)) for index in range(wide)],
        known=[known[index] for index in sorted(known)],
        missing=[each for each in actions.columns_of(at.role) if each.name not in taken],
        sections=sections(),
        # Of a cell with both, what stops a plan is shown.
        answered={(one.row, one.column): one for one in sorted(found, key=attrgetter("stops")) if one.column >= 0},
        problems=[one.problem for one in found if one.stops],
        warnings=[one.problem for one in found if not one.stops],
        sound=found_text(len(found), stops=any(one.stops for one in found)),
        refused=refused,
        drawn=at.drawn(cells, grid),
        drawing=at.artist is not None,
    )


def _row(rows: Sequence[Sequence[str]], number: int, wide: int) -> Sequence[str]:
    return rows[number] if number < len(rows) else [""] * wide


def _list_of(column: actions.GridColumn) -> str:
    """The name of the list that completes what is typed in a column."""
    if column.name == "Section":
        return "sections"
    return f"of-{column.name.replace(' ', '-')}" if column.choices else ""


def _look(column: actions.GridColumn | None) -> str:
    width = column.width if column is not None else 0
    return "long" if width >= _LONG else "wide" if width >= _WIDE else ""


@lru_cache(maxsize=1)
def sections() -> tuple[str, ...]:
    """Designations to complete what is typed by."""
    return tuple(section.designation for family in _FAMILIES for section in actions.section_sizes(family))


def cells_of(form: Form, rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """The cells of a form in their rows, those of the file that were not sent as they are; empty rows at the end go."""
    cells = [list(row) for row in rows]
    for name, text in form.texts.items():
        place = _CELL.fullmatch(name)
        if place is None:
            continue
        row, column = int(place[1]), int(place[2])
        if row >= actions.MOST_ROWS:
            continue
        while row >= len(cells):
            cells.append([])
        if text or column < len(cells[row]):
            cells[row] += [""] * (column + 1 - len(cells[row]))
            cells[row][column] = text
    while len(cells) > len(rows) and not any(cells[-1]):
        cells.pop()
    wide = max((len(row) for row in cells[: len(rows)] or cells), default=0)
    return [row + [""] * (wide - len(row)) if number >= len(rows) else row for number, row in enumerate(cells)]


def save(request: Request, at: GridPage, grid: Grid, form: Form) -> Response:
    """Save what was typed, or with ``check`` say only what the reader finds; what is refused stays on the page.

    ``column`` adds a column with this heading. ``over`` saves in the place of a file that was changed meanwhile.
    """
    seen = form.text("over") or form.text("seen")
    # Of a file that is another by now no cell may get between those that were typed: a page sends all of its own.
    rows = cells_of(form, grid.rows if form.text("seen") in ("", grid.sha256) else ())
    if form.text("what") == "check":
        found = at.reader(at.path, rows, grid)
        told = [
            {"row": one.row, "column": one.column, "stops": one.stops, **problem_values(one.problem)} for one in found
        ]
        return JSONResponse(
            {
                "found": told,
                "told": found_text(len(told), stops=any(one.stops for one in found)),
                "drawn": {str(row): svg for row, svg in at.drawn(rows, grid).items()},
            }
        )
    if form.text("what") == "column":
        rows = _with_column(rows, at.role, form.text("column"))
    try:
        actions.save_grid(at.path, rows, seen, grid.sheet)
    except ProblemsFound as wrong:
        return show(request, at, grid, rows, refused=wrong.problems, seen=form.text("seen"))
    return to(at.address)


def _with_column(rows: list[list[str]], role: Role, name: str) -> list[list[str]]:
    head, known = actions.known_columns(role, rows)
    there = {each.name for each in known.values()}
    if name not in {each.name for each in actions.columns_of(role)} - there:
        return rows
    wide = max((len(row) for row in rows), default=0)
    return [[*row, *[""] * (wide - len(row)), name if number == head else ""] for number, row in enumerate(rows)]
