"""The workshop on a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benches import browser, words

pytestmark = pytest.mark.usefixtures("parts")


def test_a_key_is_changed_with_its_sentence_beside_it() -> None:
    Path("workshop.toml").write_text('# ours\n[files]\nprices = "prices.csv"\n')
    with browser() as at:
        page = words(at.get("/workshop").text)
        assert "what one cut removes" in page
        assert "Saved." in words(at.post("/workshop", data={"saw.kerf": "2 mm", "files.prices": "prices.csv"}).text)
        refused = at.post("/workshop", data={"saw.kerf": "thick"})
    assert refused.status_code == 400
    assert "thick" in refused.text
    text = Path("workshop.toml").read_text()
    assert text.startswith('# ours\n[files]\nprices = "prices.csv"\n')
    assert 'kerf = "2 mm"' in text
