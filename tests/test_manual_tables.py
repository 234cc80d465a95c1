"""Every table made from the code has its place in the manual; ``tests/test_readme.py`` tells when one is stale."""

from __future__ import annotations

from tests.manual_pages import PAGES
from tests.manual_tables import TABLES, places, renewed


def test_every_table_has_one_place() -> None:
    assert sorted(places()) == sorted(TABLES)


def test_a_stale_table_is_seen() -> None:
    page = PAGES["parts"]
    for column in ("Mark", "Quantity", "Check"):
        assert renewed(page.replace(f"| {column} |", "| Other |")) == page != page.replace(f"| {column} |", "| Other |")
