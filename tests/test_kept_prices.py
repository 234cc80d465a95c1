"""The list of past prices: what is new is added, what is there stays."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from cutplan.actions.kept_prices import add_prices, past_prices_file
from cutplan.reading.forms.past_prices import PastPrice, quoted_on, read_past_prices
from tests import builders


@pytest.mark.parametrize(
    ("kept", "said", "new"),
    [
        ((), (30,), (30,)),
        ((30,), (30,), ()),
        # Mended, and mended back: what is noted last of a day is what counts.
        ((33, 36), (33,), (33,)),
        # Two prices of one length, as where few are to be had at the first; said again; the first taken out; one more.
        ((30, 33), (30, 33), ()),
        ((30, 33), (33,), ()),
        ((30, 33), (30,), (30,)),
        ((30,), (30, 33), (33,)),
        ((30, 33), (33, 35), (35,)),
    ],
)
def test_of_one_day_what_was_said_last_is_not_noted_again(
    kept: tuple[int, ...], said: tuple[int, ...], new: tuple[int, ...], tmp_path: Path
) -> None:
    def quoted(prices: tuple[int, ...]) -> list[PastPrice]:
        shop = builders.workshop()
        return quoted_on(date(2031, 5, 4), [builders.offer("P1", 6000, price) for price in prices], shop)

    other = quoted_on(date(2031, 5, 5), [builders.offer("P1", 6000, 99)], builders.workshop())
    path = tmp_path / "rack-prices.csv"
    assert add_prices(path, quoted(said), [*quoted(kept), *other]) == quoted(new)


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
