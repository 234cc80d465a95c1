"""The price list on a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from tests.benches import browser, words

pytestmark = pytest.mark.usefixtures("parts")
PRICES, SHOP = Path("prices.csv"), Path("workshop.toml")


def test_a_price_is_changed_and_answered_by_the_reader_of_the_command() -> None:
    with browser() as at:
        page = at.get("/prices").text
        assert 'list="of-Per"' in page
        assert "Nothing is wrong with it." in page
        seen = page.split('name="seen" value="')[1].split('"')[0]
        cell = next(name for name in ("c1-3", "c1-4") if f'name="{name}" value="35.40"' in page)
        (found,) = at.post("/prices", data={"what": "check", "seen": seen, cell: "3S.40"}).json()["found"]
        assert (found["row"], found["code"]) == (1, "number.unreadable")
        at.post("/prices", data={"seen": seen, cell: "40.10"})
    assert "40.10" in PRICES.read_text()
    assert actions.price_list() == PRICES


def test_one_is_begun_and_named_in_the_workshop_file() -> None:
    PRICES.unlink()
    SHOP.write_text("# ours\n")
    with browser() as at:
        assert "names no price list" in words(at.get("/prices").text)
        page = at.post("/prices/begin").text
        assert 'value="Merchant"' in page
        assert at.post("/prices/begin").status_code == 400, "there is one now"
    assert SHOP.read_text().startswith("# ours\n")
    assert actions.price_list() == PRICES


@pytest.mark.parametrize("named", ["../prices.csv", "prices.xlsx"])
def test_one_that_is_no_grid_of_this_folder_is_named_alone(named: str, monkeypatch: pytest.MonkeyPatch) -> None:
    Path("below").mkdir()
    monkeypatch.chdir("below")
    Path(named).write_bytes(b"Merchant,Section\n")
    SHOP.write_text(f'[files]\nprices = "{named}"\n')
    with browser() as at:
        page = at.get("/prices").text
        assert "<table" not in page
        assert Path(named).name in page
        assert at.post("/prices", data={"c0-0": "x"}).status_code == 404
    assert Path(named).read_bytes() == b"Merchant,Section\n"
