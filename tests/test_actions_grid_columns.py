"""Columns as a page shows them."""

from __future__ import annotations

import pytest

from cutplan import actions
from cutplan.actions.grid_columns import Role, shown_names
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.lists.price_columns import PRICES


@pytest.mark.parametrize("role", ["parts", "prices"])
def test_every_column_that_is_read_is_there(role: Role) -> None:
    declared = {each.name for each in (PARTS if role == "parts" else PRICES) if each.read}
    assert {each.name for each in actions.columns_of(role)} == declared
    assert set(shown_names(role)) <= declared
    assert all(each.about for each in actions.columns_of(role))


def test_a_column_is_known_by_any_of_its_names_below_a_title() -> None:
    rows = [["Our list", "", ""], ["Qty", "Profile", "colour"]]
    row, known = actions.known_columns("parts", rows)
    assert (row, {index: each.name for index, each in known.items()}) == (1, {0: "Quantity", 1: "Section"})
    assert actions.known_columns("parts", []) == (0, {})
