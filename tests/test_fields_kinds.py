"""Kinds of values: what each takes by its schema, and that what is written is read back."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cutplan import fields


@pytest.mark.parametrize(
    ("kind", "taken", "refused"),
    [
        (fields.LENGTH, ["0", "1200.5", "999999.000001"], ["-1", "1200.50", "01", "1e3", "1000000", "", 12, None]),
        (fields.POSITIVE_LENGTH, ["0.000001", "12"], ["0", "-1"]),
        (fields.SIGNED_LENGTH, ["-2.5", "0"], ["-0", "--1"]),
        (fields.LONG_LENGTH, ["125000000"], ["1 000"]),
        (fields.ANGLE, ["0", "22.5", "89.9"], ["90", "-1"]),
        (fields.MASS, ["16.68"], [16.68]),
        (fields.MONEY, ["31.5"], ["-4", "31.50"]),
        (fields.SIGNED_MONEY, ["-4"], ["-0"]),
        (fields.COST, ["-4"], ["4,5"]),
        (fields.DECIMAL, ["0.2"], ["-0.2", ".2"]),
        (fields.COUNT, [0, 10**12], [-1, 10**12 + 1, "1", 1.5, True]),
        (fields.POSITIVE_COUNT, [1], [0]),
        (fields.WHOLE, [-7, 2**70], ["7"]),
        (fields.PAIR, [[0, 3]], [[1], [1, 2, 3], ["1", "2"]]),
        (fields.TEXT, ["", "x"], [1, None]),
        (fields.NAME, ["x"], [""]),
        (fields.YES_OR_NO, [True], [1, "true"]),
        (fields.one_of("A", "B"), ["A"], ["C", ""]),
        (fields.constant("mm"), ["mm"], ["in"]),
    ],
)
def test_what_a_kind_takes(kind: fields.Kind, taken: list[Any], refused: list[Any]) -> None:
    assert kind.schema is not None
    held = Draft202012Validator(dict(kind.schema))
    assert [value for value in taken if not held.is_valid(value)] == []
    assert [value for value in refused if held.is_valid(value)] == []


@pytest.mark.parametrize("kind", [fields.LENGTH, fields.MONEY, fields.one_of("0", "90", decimals=True)])
def test_decimals_are_written_and_read(kind: fields.Kind) -> None:
    assert kind.write is not None
    assert kind.read is not None
    assert kind.write(1_200_500_000) == "1200.5"
    assert kind.read("1200.5") == 1_200_500_000


def test_a_ratio_is_rounded_down() -> None:
    assert fields.RATIO.write is not None
    assert fields.RATIO.write(Fraction(2, 3)) == "0.666666"


def test_a_sentence_makes_it_the_kind_of_one_field() -> None:
    said = fields.LENGTH("how long", key="long")
    assert (said.sentence, said.key, said.name, said.schema) == ("how long", "long", "length", fields.LENGTH.schema)
    assert fields.LENGTH.sentence == ""
