"""The workshop on a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
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
    assert 'name="saw.kerf" value="thick"' in refused.text, "what was typed is still there"
    assert refused.text.count('aria-invalid="true"') == 1
    text = Path("workshop.toml").read_text()
    assert text.startswith('# ours\n[files]\nprices = "prices.csv"\n')
    assert 'kerf = "2 mm"' in text


def test_a_merchant_is_begun_with_its_terms_and_taken_out() -> None:
    with browser() as at:
        assert "with no terms of their own: Yard" in words(at.get("/merchants").text)
        typed = {"1.name": "Yard", "1.delivers": "yes", "1.delivery": "dear"}
        refused = at.post("/merchants", data=typed)
        assert refused.status_code == 400
        assert 'name="1.delivery" value="dear"' in refused.text
        assert refused.text.count('aria-invalid="true"') == 1
        assert "take Yard out" in words(at.post("/merchants", data={**typed, "1.delivery": "38"}).text)
        assert actions.find_rack().workshop.merchant("Yard").delivery == 38_000_000
        at.post("/merchants", data={"1.out": "yes"})
        assert actions.find_rack().workshop.merchants == ()
        assert at.get("/workshop/coat").status_code == 200
        assert at.get("/workshop/drill").status_code == 404


def test_a_workshop_file_further_up_is_shown_and_not_written(monkeypatch: pytest.MonkeyPatch) -> None:
    Path("below").mkdir()
    monkeypatch.chdir("below")
    before = (Path("..") / "workshop.toml").read_text()
    with browser() as at:
        assert 'name="files.prices" value="prices.csv"' in at.get("/workshop").text
        refused = at.post("/workshop", data={"saw.kerf": "2 mm"})
    assert refused.status_code == 400
    assert "further up" in refused.text
    assert (Path("..") / "workshop.toml").read_text() == before
