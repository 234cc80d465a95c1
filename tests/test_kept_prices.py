"""The list of past prices: what is new is added, what is there stays."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from cutplan.actions.kept_prices import add_prices, past_prices_file
from cutplan.reading.forms.past_prices import quoted_on, read_past_prices
from tests import builders


def test_only_what_is_new_is_added(tmp_path: Path) -> None:
    path = past_prices_file(tmp_path / "rack" / "ledger.sqlite")
    assert path == tmp_path / "rack" / "ledger-prices.csv"
    one, two = quoted_on(
        date(2031, 5, 4), [builders.offer("P1", 6000, 30), builders.offer("P2", 3000, 16)], builders.workshop()
    )
    assert add_prices(path, [one, one], []) == [one]
    before = path.read_bytes()
    assert add_prices(path, [one], read_past_prices(path)) == []
    assert add_prices(path, [one, two], read_past_prices(path)) == [two]
    assert path.read_bytes().startswith(before)
    assert read_past_prices(path) == [one, two]
