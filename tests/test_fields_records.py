"""Dataclasses written, read back and described by what their fields declare."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, fields
from enum import Enum
from typing import Annotated, Any, NamedTuple

import pytest
from jsonschema import Draft202012Validator

from cutplan.fields import (
    COUNT,
    LENGTH,
    MONEY,
    OMITTED,
    PAIR,
    SPREAD,
    place_in,
    record_of,
    reference,
    rows,
    said,
)


class Colour(Enum):
    """What it is painted. Not more than that."""

    RED = "red"
    BLUE = "blue"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A leg."""

    length: Annotated[int, LENGTH("in mm")]


class Screw(NamedTuple):
    """Screws of one size."""

    size: str
    number: Annotated[int, COUNT]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; it stands."""

    name: str = ""
    wide: Annotated[int, LENGTH("how wide, in mm", key="width")]
    legs: Annotated[tuple[Leg, ...], said("all of them", least=1)]
    colour: Colour = Colour.RED
    under: Annotated[Colour, said("below")] = Colour.BLUE
    price: Annotated[int | None, MONEY("null when there is none")] = None
    folds: bool = False
    least: Annotated[int, place_in("people", 0)] = 1
    most: Annotated[int, place_in("people", 1)] = 2
    wood: Annotated[Leg, reference("length")]
    screws: Annotated[tuple[tuple[str, int], ...], rows(Screw, "what holds it")] = ()
    seen: Annotated[int, OMITTED] = 0

    @property
    def people(self) -> Annotated[tuple[int, int], PAIR("least and most", before="folds")]:
        return self.least, self.most

    @property
    def unsaid(self) -> int:
        return 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """A table that was sold."""

    to: str
    table: Annotated[Table, SPREAD]
    paid: bool


OAK = Leg(length=5)
TABLE = Table(
    wide=800_000_000,
    legs=(Leg(length=700_500_000), OAK),
    price=1_500_000,
    most=6,
    wood=OAK,
    screws=(("M6", 8),),
)
VALUES = {
    "name": "",
    "width": "800",
    "legs": [{"length": "700.5"}, {"length": "0.000005"}],
    "colour": "red",
    "under": "blue",
    "price": "1.5",
    "people": [1, 6],
    "folds": False,
    "wood": 5,
    "screws": [{"size": "M6", "number": 8}],
}


def test_written_in_the_order_of_the_fields() -> None:
    written = record_of(Table).write(TABLE)
    assert written == VALUES
    assert list(written) == list(VALUES)


def test_read_back() -> None:
    assert record_of(Table).read(VALUES, {5: OAK}) == TABLE
    assert record_of(Table).read(VALUES | {"more": 1, "price": None}, {5: OAK}) == dataclasses.replace(
        TABLE, price=None
    )


@pytest.mark.parametrize(
    ("change", "error"),
    [({"width": "800.0"}, ValueError), ({"colour": "green"}, ValueError), ({"wood": 6}, KeyError)],
)
def test_what_cannot_be_read(change: dict[str, Any], error: type[Exception]) -> None:
    with pytest.raises(error):
        record_of(Table).read(VALUES | change, {5: OAK})


def test_keys_of_a_record_among_those_of_another() -> None:
    assert list(record_of(Sold).write(Sold(to="Ann", table=TABLE, paid=True))) == ["to", *VALUES, "paid"]


def test_described() -> None:
    definitions: dict[str, Any] = {}
    schema = record_of(Table).schema(definitions)
    assert schema["description"] == "a table"
    assert schema["required"] == list(schema["properties"]) == list(VALUES)
    assert schema["properties"]["width"] == {"$ref": "#/$defs/length", "description": "how wide, in mm"}
    assert schema["properties"]["legs"] == {
        "description": "all of them",
        "type": "array",
        "items": {"$ref": "#/$defs/leg"},
        "minItems": 1,
    }
    assert schema["properties"]["under"] == {"description": "below", "enum": ["red", "blue"]}
    assert definitions["colour"] == {"description": 'what it is painted: "red", "blue"', "enum": ["red", "blue"]}
    held = Draft202012Validator(schema | {"$defs": definitions})
    assert held.is_valid(VALUES | {"wood": "5"})
    changes: tuple[dict[str, Any], ...] = ({"people": [1]}, {"legs": []}, {"more": 1}, {"price": 3})
    for change in changes:
        assert not held.is_valid(VALUES | {"wood": "5"} | change)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chair:
    """A chair."""

    legs: Annotated[int, COUNT("how many", rare=True)] = 4
    folds: bool = False
    colour: Annotated[Colour, said("painted", rare=True)] = Colour.RED


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A chair with somebody on it."""

    chair: Annotated[Chair, SPREAD]


@pytest.mark.parametrize(
    ("chair", "values"),
    [
        (Chair(), {"folds": False}),
        (Chair(legs=3), {"legs": 3, "folds": False}),
        (Chair(colour=Colour.BLUE, folds=True), {"folds": True, "colour": "blue"}),
    ],
)
def test_what_is_rare_is_left_out_where_it_is_as_usual(chair: Chair, values: dict[str, Any]) -> None:
    record = record_of(Chair)
    assert record.write(chair) == values == record_of(Seat).write(Seat(chair=chair))
    assert list(record.write(chair)) == list(values)
    assert record.read(values) == chair
    for of in (Chair, Seat):
        schema = record_of(of).schema({})
        assert list(schema["properties"]) == ["legs", "folds", "colour"]
        assert schema["required"] == ["folds"]


def test_a_number_that_does_not_say_what_it_is() -> None:
    @dataclass
    class Vague:
        """A thing."""

        number: int

    with pytest.raises(TypeError, match="does not say how it is written"):
        record_of(Vague)


def test_what_follows_from_the_fields_is_inherited() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Desk(Table):
        """A table with drawers."""

        drawers: Annotated[int, COUNT]

    written = record_of(Desk).write(Desk(**{each.name: getattr(TABLE, each.name) for each in fields(TABLE)}, drawers=2))
    assert written == VALUES | {"drawers": 2}
