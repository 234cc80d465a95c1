"""The sheet of costs on paper has what the words have."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from cutplan.costing.costs import cost_of
from cutplan.model import Workshop
from cutplan.reports.paper.cost_pdf import cost_pdf
from cutplan.units import money_text
from cutplan.words.cost_words import cost_rows
from tests.costed import FIGURES, PAINT, bench_planned, two_planned


@pytest.mark.parametrize("shop", [Workshop(), Workshop(unit="in", paper="Letter", currency="USD")])
def test_every_line_is_on_it(shop: Workshop) -> None:
    made, plan = bench_planned()
    cost = cost_of(replace(made, workshop=shop), plan, replace(FIGURES, coats=(PAINT,)))
    reader = PdfReader(io.BytesIO(cost_pdf(cost, "bench", shop, "0a1b2c3d")))
    text = "\n".join(page.extract_text() for page in reader.pages)
    for row in cost_rows(cost, shop):
        assert money_text(row.amount) in text
        assert row.what.split(",")[0] in text
    assert "plan 0a1b2c3d" in text
    assert f"Amounts in {shop.currency}" in text


def test_jobs_planned_together_have_a_table() -> None:
    made, plan = two_planned()
    cost = cost_of(made, plan, FIGURES)
    reader = PdfReader(io.BytesIO(cost_pdf(cost, made.name, made.workshop, "0a1b2c3d")))
    text = "\n".join(page.extract_text() for page in reader.pages)
    below = text[text.index("By job") :]
    assert all(money_text(each.price) in below for each in cost.jobs)
    assert money_text(cost.price) in below
