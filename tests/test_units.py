"""The face of the room: every example it gives is accepted."""

from __future__ import annotations

import re

import pytest

from cutplan.units import (
    ANGLE_FORMS,
    LENGTH_FORMS,
    MONEY_FORMS,
    QUANTITY_FORMS,
    parse_angle,
    parse_length,
    parse_money,
    parse_quantity,
)


@pytest.mark.parametrize(
    ("forms", "parse"),
    [
        (LENGTH_FORMS, parse_length),
        (ANGLE_FORMS, parse_angle),
        (MONEY_FORMS, parse_money),
        (QUANTITY_FORMS, parse_quantity),
    ],
)
def test_every_example_given_is_accepted(forms: str, parse: object) -> None:
    assert callable(parse)
    examples = [
        example.strip()
        for listed in re.findall(r"such as ([^,;]*)", forms)
        for example in re.split(r"\bor\b", listed)
        if example.strip()
    ]
    assert examples
    for example in examples:
        parse(example)
