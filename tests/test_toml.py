"""Settings as TOML: read again, the text gives the same keys."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from cutplan.writing.toml import toml_text

values = st.one_of(
    st.booleans(),
    st.lists(st.integers(0, 9), max_size=3),
    st.integers(0, 10**12),
    st.decimals(0, 10**6, places=3),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
)
tables = st.dictionaries(st.sampled_from(["kerf", "end_trim", "name"]), values, min_size=1)


@given(st.dictionaries(st.sampled_from(["saw", "keep"]), tables), st.lists(tables, max_size=3))
def test_what_is_written_is_read_again(document: dict[str, Any], merchants: list[dict[str, Any]]) -> None:
    if merchants:
        document["merchant"] = merchants
    assert tomllib.loads(toml_text(document), parse_float=Decimal) == document


def test_looks() -> None:
    text = toml_text({"saw": {"kerf": "2.5 mm", "mill_ends_accepted": False}, "merchant": [{"name": 'The "Yard"'}]})
    assert text.split("\n\n")[1:] == [
        '[saw]\nkerf = "2.5 mm"\nmill_ends_accepted = false',
        '[[merchant]]\nname = "The \\"Yard\\""\n',
    ]
