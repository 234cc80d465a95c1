"""The quick yes against jsonschema, a validator written by others: never yes where that one finds a fault."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cutplan.planfile import schema, to_document
from cutplan.planfile.satisfying import satisfying
from tests.effort import some
from tests.plan_values import full_job

ODD: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    1,
    -1,
    10**30,
    1.0,
    0.5,
    Decimal("1.0"),
    "",
    "0",
    "1.5",
    "-1",
    "x",
    "1\n",
    [],
    {},
    [1],
    [None],
)


def inside(value: Any) -> Iterator[Any]:
    """A value and all that are in it."""
    yield value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from inside(inner)


def spoiled(value: Any) -> Iterator[Any]:
    """Lists and objects with something taken away, added or changed."""
    if isinstance(value, dict) and value:
        for key in value:
            yield {other: item for other, item in value.items() if other != key}
            yield {**value, key: 0.5}
        yield {**value, "more": 1}
    elif isinstance(value, list) and value:
        yield [*value, 0.5]
        yield value[1:]


@pytest.fixture(scope="module")
def values() -> list[Any]:
    """Values of a plan file, one of each kind of object, and odd ones."""
    kinds: dict[Any, list[Any]] = {}
    for value in inside(to_document(*full_job())):
        kind = tuple(value) if isinstance(value, dict) else type(value)
        kinds.setdefault(kind, []).append(value)
    some = [value for found in kinds.values() for value in found[-1:]]
    return [*some, *(worse for value in some for worse in spoiled(value)), *ODD]


@pytest.mark.parametrize("name", some(schema()["$defs"], *list(schema()["$defs"])[::4]))
def test_yes_is_what_the_validator_says(name: str, values: list[Any]) -> None:
    asked = {"$ref": f"#/$defs/{name}", "$defs": schema()["$defs"]}
    quick, full = satisfying(asked), Draft202012Validator(asked)
    unsure = [value for value in values if quick(value) != full.is_valid(value)]
    assert all(full.is_valid(value) for value in unsure), "said yes where there is a fault"
    assert all("1.0" in str(value) for value in unsure), "no word where all is well, though no whole number has a point"


def test_a_whole_plan_file() -> None:
    document = to_document(*full_job())
    assert satisfying(schema())(document)
    worse = copy.deepcopy(document)
    worse["parts"][0]["length"] = 1200
    assert not satisfying(schema())(worse)


@pytest.mark.parametrize(
    "asked",
    [
        {"anyOf": [{"type": "integer"}, {"type": "null"}]},
        {"const": 1},
        {"enum": ["a", True, None]},
        {"type": ["string", "integer"], "minLength": 2},
        {"type": "array", "items": {"type": "integer", "minimum": 0, "maximum": 1}, "minItems": 1, "maxItems": 1},
        {"type": "string", "pattern": "^[0-9]+$"},
        {"properties": {"a": {"type": "integer"}}, "required": ["a"]},
        {"additionalProperties": {"type": "integer"}},
        {"type": "array", "uniqueItems": True},
        {"not": {"type": "integer"}},
    ],
    ids=json.dumps,
)
def test_single_keywords(asked: dict[str, Any]) -> None:
    quick, full = satisfying(asked), Draft202012Validator(asked)
    samples = [*ODD, "a", "12", [0], [0, 1], [2], {"a": 1}, {"a": "1"}, {"b": 1}, {"a": 1, "b": "x"}]
    assert all(full.is_valid(value) for value in samples if quick(value))


def test_a_schema_that_refers_to_itself() -> None:
    tree = {"$ref": "#/$defs/t", "$defs": {"t": {"type": "array", "items": {"$ref": "#/$defs/t"}}}}
    assert satisfying(tree)([[], [[]]])
    assert not satisfying(tree)([[], [[1]]])
