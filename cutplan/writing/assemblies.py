"""How often assemblies are made, brought from a sheet of its own into the list of the parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import ASSEMBLIES
from cutplan.reading.sheets.raw_cells import Cell, RawFile
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import Column, Table

MADE = "assembly"
"""What stands under Section in the line of an assembly."""


def with_assemblies(parts: Table, sheet: RawFile) -> Table:
    """The parts list with a line for each assembly of a sheet that was read without problems.

    Parameters
    ----------
    parts
        As it was read; a column that the lines need and it lacks is put behind its last one.
    sheet
        The sheet of assemblies.
    """
    findings = Findings()
    table = read_table(sheet, ASSEMBLIES, findings)
    lines: list[Mapping[str, Cell]] = [
        {
            "Section": MADE,
            "Assembly": row.text("Assembly"),
            "Quantity": row.raw("Quantity"),
            **({"Spares": row.raw("Spares")} if row.text("Spares") else {}),
        }
        for row in (table.rows(findings) if table else ())
    ]
    rows = [list(cells) for cells in parts.sheet.rows]
    columns = dict(parts.columns)
    wide = max(map(len, rows))
    for name in dict.fromkeys(name for line in lines for name in line if name not in columns):
        columns[name] = Column(wide, name, "")
        _put(rows[parts.heading_row], wide, name)
        wide += 1
    for line in lines:
        cells: list[Cell] = []
        for name, cell in line.items():
            _put(cells, columns[name].index, cell)
        rows.append(cells)
    return replace(parts, sheet=replace(parts.sheet, rows=rows), columns=columns)


def _put(cells: list[Cell], index: int, cell: Cell) -> None:
    cells.extend("" for _ in range(index + 1 - len(cells)))
    cells[index] = cell
