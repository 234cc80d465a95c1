"""Orders on a page: their texts, and their files."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benches import JOB, browser, words
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper", "parts_planned")


def test_an_order_is_read_written_and_taken_away() -> None:
    with browser() as at:
        page = words(at.get(f"{JOB}/orders").text)
        assert "To: Yard" in page
        assert "order-" not in page
        wrong = at.post(f"{JOB}/orders", data={"merchant": "Yard", "day": "soon", "number": "Q6"})
        assert wrong.status_code == 400
        assert 'name="day" value="soon"' in wrong.text
        assert 'id="why-day"' in wrong.text
        assert 'name="number" value="Q6"' in wrong.text
        page = at.post(f"{JOB}/orders", data={"merchant": "Yard", "number": "Q7", "day": "2031-06-01"}).text
        names = ["order-q7-yard.pdf", "order-q7-yard.txt", "order-q7-yard.xlsx"]
        assert [name for name in names if f"/file/{name}" in page] == names
        text = at.get(f"{JOB}/file/order-q7-yard.txt").text
        assert at.get(f"{JOB}/file/order-q8-yard.txt").status_code == 404
        Path("reports/frame/order-note.html").write_text("x")
        assert at.get(f"{JOB}/file/order-note.html").status_code == 404
    assert text.startswith("Order Q7 of 2031-06-01\n")
    told = run("order", "reports/frame/plan.json", "--number", "Q7", "--date", "2031-06-01").stdout
    assert text.strip() in told, "what the command says"
