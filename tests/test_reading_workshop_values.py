"""Values of the workshop file: what each kind becomes, and what it refuses."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from cutplan.problems import Refused
from cutplan.reading.workshop import workshop_values as values
from cutplan.reading.workshop.workshop_values import Reader, WrongValue
from cutplan.units import INCH, MM, Figures

METRIC, INCHES, COMMA = Figures(), Figures("in"), Figures("mm", ",")


@pytest.mark.parametrize(
    ("read", "value", "how", "expected"),
    [
        (values.text, "Shed  No. 2", METRIC, "Shed No. 2"),
        (values.finish, "Galvanized", METRIC, "galvanised"),
        (values.truth, True, METRIC, True),
        (values.length, "1 m", METRIC, 1000 * MM),
        (values.length, Decimal("0.5"), INCHES, INCH // 2),
        (values.length, "2,5", COMMA, 2_500_000),
        (values.kerf, 2, METRIC, 2 * MM),
        (values.side, "41 mm", METRIC, 41 * MM),
        (values.legs, [20, "40 mm"], METRIC, (20 * MM, 40 * MM)),
        (values.printed_to, "1/16", INCHES, INCH // 16),
        (values.money, Decimal("1.80"), METRIC, 1_800_000),
        (values.value_per_mm, Decimal("1.255"), METRIC, 1255),
        (values.whole(1, 5, "whole things from 1 to 5"), 5, METRIC, 5),
        (values.percent, Decimal("8.875"), METRIC, 88_750),
        (values.heavy, Decimal("22.5"), METRIC, 22_500_000),
        (values.payload, 0, METRIC, 0),
        (values.payload, Decimal("750.5"), METRIC, 750_500_000),
        (values.square_reads, 90, METRIC, 90_000_000),
        (values.density, 7850, METRIC, 7850),
        (values.amount("kilograms from 0.001 to 10, such as 2"), Decimal("0.001"), METRIC, 1000),
        (values.currency, "EUR", METRIC, "EUR"),
        (values.material_name, "Titanium", METRIC, "titanium"),
        (values.section_name, "Slotted rail 41", METRIC, "Slotted rail 41"),
        (values.gauge, "us sheet", METRIC, "US sheet"),
        (values.one_of({"A4": 1, "Letter": 2}), "letter", METRIC, 2),
    ],
)
def test_read(read: Reader, value: Any, how: Figures, expected: Any) -> None:
    assert read(value, how) == expected


@pytest.mark.parametrize(
    ("read", "value", "accepted"),
    [
        (values.text, 3, 'a text in quotation marks, such as "black"'),
        (values.truth, "yes", "true or false, without quotation marks"),
        (values.kerf, "21 mm", "a kerf up to 20 mm"),
        (values.legs, [20], "a list of 2 to 20 lengths in brackets, such as [20, 40, 20]"),
        (values.printed_to, "2 mm", '"0.1 mm" or "0.5 mm" or "1 mm", in the unit of the workshop'),
        (values.whole(1, 5, "whole things from 1 to 5"), 6, "whole things from 1 to 5"),
        (values.whole(1, 5, "whole things from 1 to 5"), Decimal("2.5"), "whole things from 1 to 5"),
        (values.amount("kilograms from 0.001 to 10, such as 2"), 11, "kilograms from 0.001 to 10, such as 2"),
        (values.payload, -1, "kilograms from 0 to 40000, such as 750"),
        (values.currency, "euro", 'the three letters of a currency, such as "EUR"'),
        (values.one_of({"A4": 1, "Letter": 2}), "A3", '"a4" or "letter"'),
    ],
)
def test_refused(read: Reader, value: Any, accepted: str) -> None:
    with pytest.raises((WrongValue, Refused)) as found:
        read(value, METRIC)
    assert getattr(found.value, "accepted", "") == accepted


def test_values_as_messages_show_them() -> None:
    shown: list[Any] = [True, [1], {}, Decimal("1.50")]
    assert [values.shown(value) for value in shown] == ["true", "a list", "a table", "1.50"]
