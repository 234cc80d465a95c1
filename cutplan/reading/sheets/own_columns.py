"""Columns whose cell alone gives a field of what a row of the list becomes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from cutplan.reading.sheets.headings import Heading
from cutplan.reading.sheets.tables import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Column(Heading):
    """A column whose cell alone gives a field of the model's part, stock length or offcut.

    Parameters
    ----------
    field
        Its name there.
    cell
        From a row to the value, noting what is wrong with it; None: the text of the cell.
    """

    field: str
    cell: Callable[[Row], Any] | None = None

    def value(self, row: Row) -> Any:
        """What a row says."""
        return self.cell(row) if self.cell else row.text(self.name)


def values_of(row: Row, columns: Sequence[Column]) -> dict[str, Any]:
    """What a row says in each of some columns, by field."""
    return {column.field: column.value(row) for column in columns}
