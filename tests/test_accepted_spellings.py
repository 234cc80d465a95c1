"""Of every kind of section there are several spellings; ``tests/test_spelling.py`` reads them all."""

from __future__ import annotations

from tests.accepted_spellings import ACCEPTED_SPELLINGS


def test_every_kind_of_section_has_more_than_one_spelling() -> None:
    assert all(len(pairs) > 1 for pairs in ACCEPTED_SPELLINGS.values())
