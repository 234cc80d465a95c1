"""The kinds of values a plan file holds: how each is written, read and described.

Whole numbers of nanometres, milligrams and millionths of the currency are written as exact decimal texts in mm, kg and
the currency (:mod:`cutplan.fields.decimals`), counts as whole numbers of JSON.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import Enum, auto
from fractions import Fraction
from operator import attrgetter, itemgetter
from typing import Any

from cutplan.fields.decimals import MILLION, decimal_text, millionths

Change = Callable[[Any], Any]


class Role(Enum):
    """What a field is to the record it stands in."""

    VALUE = auto()
    REFERENCE = auto()
    """Written by its key alone; the reader looks the key up."""
    PLACE = auto()
    """Read from a place of a list that a property writes."""
    SPREAD = auto()
    """A record whose keys stand among those of the record it is in; it is written only, and comes first."""
    OMITTED = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """How a field is written, read and described; called with a sentence it is that of one field.

    Parameters
    ----------
    schema
        What JSON Schema says of it; None: what the type of the field says.
    name
        Of its definition in the schema, where many fields share one; blank: none.
    write, read
        None: the value as it is.
    sentence
        What the field is; blank: as all of its kind.
    key
        Its key in JSON; blank: its name.
    before
        The key that a property is written before; blank: it is written last.
    least
        Fewest entries of a list.
    row
        A named tuple that says what each place of the tuples in a list is; they are written as objects.
    rare
        Whether it is written only where it is not the default of its field.
    """

    schema: Mapping[str, Any] | None = None
    name: str = ""
    write: Change | None = None
    read: Change | None = None
    role: Role = Role.VALUE
    sentence: str = ""
    key: str = ""
    before: str = ""
    least: int = 0
    row: type[Any] | None = None
    rare: bool = False

    def __call__(
        self, sentence: str = "", *, key: str = "", before: str = "", least: int = 0, rare: bool = False
    ) -> Kind:
        """The same kind, as one field has it."""
        return replace(self, sentence=sentence, key=key, before=before, least=least, rare=rare)


said = Kind()
"""A field whose type says all but its sentence."""
OMITTED = Kind(role=Role.OMITTED)
"""A field that no plan file holds."""
SPREAD = Kind(role=Role.SPREAD)


def _decimal(name: str, description: str, pattern: str) -> Kind:
    schema = {"description": description, "type": "string", "pattern": pattern}
    return Kind(name=name, schema=schema, write=decimal_text, read=millionths)


def _whole(name: str, description: str, **limits: int) -> Kind:
    return Kind(name=name, schema={"description": description, "type": "integer", **limits})


_DECIMALS = r"(\.[0-9]{0,5}[1-9])?$"
_LENGTH = r"(0|[1-9][0-9]{0,5})" + _DECIMALS
_AMOUNT = r"(0|[1-9][0-9]{0,14})" + _DECIMALS
_SIGNED = "^(?!-0$)-?"
_MOST = 10**12

TEXT = Kind(name="text", schema={"description": "any text, possibly blank", "type": "string"})
NAME = Kind(name="name", schema={"description": "a text that is not blank", "type": "string", "minLength": 1})
YES_OR_NO = Kind(name="yes_or_no", schema={"description": "true or false", "type": "boolean"})
WHOLE = _whole("whole", "a whole number")
COUNT = _whole("count", "a whole number of 0 or more", minimum=0, maximum=_MOST)
POSITIVE_COUNT = _whole("positive_count", "a whole number of 1 or more", minimum=1, maximum=_MOST)
PAIR = Kind(
    schema={
        "type": "array",
        "items": {"description": "a whole number", "type": "integer"},
        "minItems": 2,
        "maxItems": 2,
    },
    write=list,
    read=tuple,
)
"""Two whole numbers."""

LENGTH = _decimal(
    "length", 'a length in mm as an exact decimal text such as "1200.5", at most six decimals', "^" + _LENGTH
)
POSITIVE_LENGTH = _decimal(
    "positive_length",
    'a length of more than 0 in mm as an exact decimal text such as "1200.5"',
    "^(?!0$)" + _LENGTH,
)
SIGNED_LENGTH = _decimal(
    "signed_length", 'a length in mm as an exact decimal text such as "1200.5" or "-2.5"', _SIGNED + _LENGTH
)
LONG_LENGTH = _decimal(
    "long_length", 'a sum of lengths in mm as an exact decimal text such as "125000.5"', _SIGNED + _AMOUNT
)
ANGLE = _decimal(
    "angle",
    'degrees from square as an exact decimal text such as "45" or "22.5", less than 90',
    "^([0-9]|[1-8][0-9])" + _DECIMALS,
)
MASS = _decimal(
    "mass", 'a mass in kg as an exact decimal text such as "16.68", at most six decimals', _SIGNED + _AMOUNT
)
_MONEY = 'money in the workshop\'s currency as an exact decimal text such as "31.5"'
MONEY = _decimal("money", f"{_MONEY}, at most six decimals", "^" + _AMOUNT)
SIGNED_MONEY = _decimal("signed_money", f'{_MONEY} or "-4"', _SIGNED + _AMOUNT)
COST = _decimal(
    "cost",
    'a cost in the group\'s cost unit (the currency, or kg) as an exact decimal text such as "31.5"',
    _SIGNED + _AMOUNT,
)
DECIMAL = _decimal("decimal", 'an exact decimal text such as "0.2", at most six decimals', "^" + _AMOUNT)


def _rounded_down(ratio: Fraction) -> str:
    return decimal_text(int(ratio * MILLION))


RATIO = replace(DECIMAL, write=_rounded_down, read=None)
"""A Fraction, rounded down to six decimals."""


def one_of(*words: str, decimals: bool = False) -> Kind:
    """One of some texts; with ``decimals`` they are exact decimals and stand for whole numbers of millionths."""
    schema = {"enum": list(words)}
    return Kind(schema=schema, write=decimal_text, read=millionths) if decimals else Kind(schema=schema)


def constant(text: str) -> Kind:
    """Always the same text."""
    return Kind(schema={"const": text})


def reference(attribute: str) -> Kind:
    """Something that is written whole elsewhere, and here by its key alone."""
    return replace(NAME, write=attrgetter(attribute), role=Role.REFERENCE)


def rows(row: type[Any], sentence: str) -> Kind:
    """A tuple of tuples, each with the places of a named tuple."""
    return Kind(row=row, sentence=sentence)


def place_in(key: str, place: int) -> Kind:
    """A number that a property writes under ``key``, in a list."""
    return Kind(role=Role.PLACE, key=key, read=itemgetter(place))
