"""The tables of the manual are those that follow from the code; ``python -m tests.manual_tables`` renews them."""

from __future__ import annotations

import pytest

from tests.manual_pages import PAGES
from tests.manual_tables import TABLES, places, renewed


@pytest.mark.parametrize("topic", PAGES)
def test_tables_are_those_of_today(topic: str) -> None:
    assert PAGES[topic] == renewed(PAGES[topic]), "renew it: python -m tests.manual_tables"


def test_every_table_has_one_place() -> None:
    assert sorted(places()) == sorted(TABLES)


def test_a_stale_table_is_seen() -> None:
    page = PAGES["parts"]
    for column in ("Mark", "Quantity", "Check"):
        assert renewed(page.replace(f"| {column} |", "| Other |")) == page != page.replace(f"| {column} |", "| Other |")
