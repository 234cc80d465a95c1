"""The families whose names hold their dimensions: every set of words leads to one reader."""

from __future__ import annotations

import pytest

from cutplan.sections.dimensioned import BY_WORDS, VOCABULARY, NotRead, no_family
from cutplan.sections.names import PLAIN, plain_capitals
from cutplan.sections.typed import SAME_WORD, take_apart


def test_synonyms_lead_to_words_that_are_read() -> None:
    assert set(SAME_WORD.values()) <= VOCABULARY
    assert not SAME_WORD.keys() & {word for words in BY_WORDS for word in words}


@pytest.mark.parametrize(
    ("typed", "readings"),
    [
        ("50x50x5", ("SHS 50x50x5", "EA 50x50x5")),
        ("50x25x2", ("RHS 50x25x2", "UA 50x25x2")),
        ("50x5", ("SHS 50x5", "CHS 50x5", "EA 50x5", "FL 50x5")),
        ("12", ("SQ 12", "RD 12")),
    ],
)
def test_dimensions_alone_are_open_between_families(typed: str, readings: tuple[str, ...]) -> None:
    found = no_family(take_apart(typed, plain_capitals(typed), PLAIN, VOCABULARY, ()))
    assert isinstance(found, NotRead)
    assert found.readings == readings
    assert found.hint == "no word says which family"
