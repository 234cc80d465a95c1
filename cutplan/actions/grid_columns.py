"""The columns of a list as a page shows them: what each holds and may hold, as the reader declares it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from cutplan.reading.sheets.headings import Heading

Role = Literal["parts", "prices"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GridColumn:
    """A column that a list may have. ``width`` is in letters; a cell may hold other words than ``choices``."""

    name: str
    about: str
    choices: tuple[str, ...]
    width: int


def columns_of(role: Role) -> tuple[GridColumn, ...]:
    """All that are read, those that a new workbook shows first and in its order."""
    known = [each for each in _headings(role) if each.read]
    known.sort(key=lambda each: (each.shown == 0, each.shown))
    return tuple(
        GridColumn(name=each.name, about=each.about.replace("`", ""), choices=each.choices, width=each.width)
        for each in known
    )


def shown_names(role: Role) -> tuple[str, ...]:
    """The headings of a list that is begun: those in sight in a new workbook."""
    shown = [each for each in _headings(role) if each.shown]
    return tuple(each.name for each in sorted(shown, key=lambda each: each.shown))


def known_columns(role: Role, rows: Sequence[Sequence[str]]) -> tuple[int, dict[int, GridColumn]]:
    """The row of some cells that holds the headings, counted from 0, and what each of its columns is."""
    from cutplan.reading.sheets.table_search import columns_named

    by_name = {each.name: each for each in columns_of(role)}
    row, names = columns_named(rows, _headings(role))
    return row, {index: by_name[name] for index, name in names.items() if name in by_name}


def _headings(role: Role) -> Sequence[Heading]:
    from cutplan.reading.lists.part_columns import PARTS
    from cutplan.reading.lists.price_columns import PRICES

    return PARTS if role == "parts" else PRICES
