"""Lines that are not cut."""

from __future__ import annotations

import pytest

from cutplan.model import OtherLine
from cutplan.units import CURRENCY, KG


def test_weight_and_money_are_for_all_of_them() -> None:
    line = OtherLine(name="hinge", quantity=4, mass_each=KG // 4, price_each=3 * CURRENCY)
    assert (line.mass, line.money) == (KG, 12 * CURRENCY)
    assert OtherLine(name="paint", quantity=1).money == 0


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"name": ""}, "a name"),
        ({"quantity": 0}, "a quantity"),
        ({"mass_each": -1}, "not negative"),
        ({"price_each": -1}, "not negative"),
    ],
)
def test_a_line_checks_itself(change: dict[str, object], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        OtherLine(**{"name": "hinge", "quantity": 1, **change})  # type: ignore[arg-type]
