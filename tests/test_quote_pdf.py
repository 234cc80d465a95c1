"""A quote on paper: what is offered and at what price, and nothing of the cost."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from cutplan.model import Workshop
from cutplan.reports.paper.quote_pdf import quote_pdf
from cutplan.units import money_text
from tests.test_quote_words import offered


@pytest.mark.parametrize("shop", [Workshop(), Workshop(name="Shed", unit="in", paper="Letter", currency="USD")])
@pytest.mark.parametrize("by_assembly", [False, True])
def test_the_page(shop: Workshop, by_assembly: bool) -> None:
    quote = offered(customer="Fernhollow; 3 Quarry Lane", rate=210_000)
    content = quote_pdf(quote, "bench", shop, by_assembly=by_assembly)
    (page,) = PdfReader(io.BytesIO(content)).pages
    text = page.extract_text()
    for words in ("Fernhollow, 3 Quarry Lane", "203.78", "frame, 2 pieces", "quote Q1", shop.currency, shop.name):
        assert words in text
    assert (money_text(quote.items[0].price) in text) is by_assembly
    assert "163.02" not in text, "the cost stays in the workshop"
    assert "valid until" not in text
