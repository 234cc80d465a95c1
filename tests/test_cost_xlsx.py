"""The workbook of costs: lines as the words have them, sums that follow."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan.costing.costs import Cost, cost_of
from cutplan.reports.rows import rows_of
from cutplan.reports.workbook.cost_xlsx import ASSEMBLIES, COSTS, SURFACES, cost_book
from cutplan.words.cost_words import cost_rows
from tests.costed import FIGURES, PAINT, bench_planned, two_planned


def opened(content: bytes, *, values: bool = False) -> Any:
    return load_workbook(io.BytesIO(content), data_only=values)


@pytest.fixture(scope="module")
def cost() -> Cost:
    return cost_of(*bench_planned(), replace(FIGURES, coats=(PAINT,)))


@pytest.fixture(scope="module")
def content(cost: Cost) -> bytes:
    return cost_book(cost, rows_of(*bench_planned()))


def test_lines_and_stored_sums(cost: Cost, content: bytes) -> None:
    shown = opened(content, values=True)[COSTS]
    found = [(row[1].value, row[3].value) for row in shown.iter_rows() if isinstance(row[3].value, int | float)]
    expected = [(row.what, row.amount / 1_000_000) for row in cost_rows(cost, bench_planned()[0].workshop)]
    assert found == expected


def test_sums_by_formula_come_to_what_is_stored(cost: Cost, content: bytes) -> None:
    """Each sum is the one before it and the lines since then, added up here by hand."""
    formulas: Any = opened(content)[COSTS]
    rows = cost_rows(cost, bench_planned()[0].workshop)
    sums = [str(row[3].value) for row in formulas.iter_rows() if str(row[3].value).startswith("=")]
    assert len(sums) == sum(1 for row in rows if not row.block) == 3
    assert all("SUM(D" in text for text in sums)
    assert [text.count("+") for text in sums] == [0, 1, 1]


def test_assemblies_and_surfaces(cost: Cost, content: bytes) -> None:
    book = opened(content, values=True)
    last = [cell.value for cell in list(book[ASSEMBLIES].iter_rows())[-1]]
    assert last[0] == "total"
    assert last[6] == pytest.approx(cost.price / 1_000_000)
    names = [row[1].value for row in book[SURFACES].iter_rows()]
    assert names[-2:] == ["frame", "shelf"]


def test_jobs_planned_together_stand_below_their_assemblies() -> None:
    made, plan = two_planned()
    cost = cost_of(made, plan, FIGURES)
    sheet = opened(cost_book(cost, rows_of(made, plan)), values=True)[ASSEMBLIES]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    at = next(place for place, row in enumerate(rows) if row[0] == "job")
    assert [row[0] for row in rows[at + 1 : at + 4]] == ["bench", "shelf", "total"]
    assert [row[6] for row in rows[at + 1 : at + 3]] == [each.price / 1_000_000 for each in cost.jobs]
    assert rows[at + 3][6] == pytest.approx(cost.price / 1_000_000)
