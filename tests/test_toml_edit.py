"""A TOML text of which single values are changed."""

from __future__ import annotations

import tomllib
from decimal import Decimal

import pytest

from cutplan.writing.toml_edit import blocks_edited, edited

TEXT = """# Ours.
[saw]  # the old one
kerf = "2 mm"   # measured in May

[[merchant]]
name = "Yard"
"""


def test_everything_but_the_value_stays_as_it_was() -> None:
    assert edited(TEXT, {"saw.kerf": "2.5 mm"}) == TEXT.replace("2 mm", "2.5 mm")
    assert edited(TEXT, {}) == TEXT


def test_a_key_comes_in_and_goes() -> None:
    more = edited(TEXT, {"saw.square_reads": 90, "tax.percent": Decimal("21.5"), "saw.share_mitres": False})
    read = tomllib.loads(more)
    assert read["saw"] == {"kerf": "2 mm", "square_reads": 90, "share_mitres": False}
    assert read["tax"] == {"percent": 21.5}
    assert read["merchant"] == [{"name": "Yard"}]
    assert "# measured in May" in more
    assert "kerf" not in edited(TEXT, {"saw.kerf": None, "tax.percent": None})


def test_what_is_no_toml_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="line 1"):
        edited("[saw", {})


def test_blocks_of_either_spelling_are_changed() -> None:
    inline = 'merchant = [{name = "A"}, {name = "B"}] # both\n'
    changed = blocks_edited(inline, "merchant", [{"delivery": 3}, None, {"name": "C"}])
    assert tomllib.loads(changed) == {"merchant": [{"name": "A", "delivery": 3}, {"name": "C"}]}
    assert changed.endswith("] # both\n")
    assert blocks_edited(TEXT, "merchant", [{}, {}]) == TEXT
    assert blocks_edited("", "merchant", [{"name": "A"}]) == '[[merchant]]\nname = "A"\n'
