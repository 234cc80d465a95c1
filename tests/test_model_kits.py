"""Copies shared out to units, counted by hand."""

from __future__ import annotations

import pytest

from cutplan.model.kits import in_each, unit_of
from tests.builders import part


@pytest.mark.parametrize(
    ("quantity", "assemblies", "bought", "units"),
    [
        (6, 3, 0, [1, 1, 2, 2, 3, 3, 0]),
        (7, 3, 1, [1, 1, 2, 2, 3, 3, 0, 0]),  # the last one is a spare
        (3, 3, 0, [1, 2, 3, 0]),
        (4, 1, 0, [0, 0, 0, 0, 0]),
        (5, 2, 0, [0, 0, 0, 0, 0, 0]),  # two units cannot share out five
    ],
)
def test_the_unit_of_a_copy(quantity: int, assemblies: int, bought: int, units: list[int]) -> None:
    one = part("A", quantity, 500, assemblies=assemblies, spares_bought=bought)
    assert [unit_of(one, copy) for copy in range(1, quantity + 2)] == units
    assert in_each(one) * assemblies == len([unit for unit in units if unit])
