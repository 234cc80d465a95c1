"""Does a value satisfy a JSON Schema? A quick yes, for files of a million values, or no word at all.

A schema is made into functions once. Where these do not say yes, a full validator has to say what is wrong, or that
nothing is: what is not known here, such as a keyword that plan files do not need, is never a yes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

Says: TypeAlias = Callable[[Any], bool]

TYPES: dict[str, type] = {
    "object": dict, "array": list, "string": str, "integer": int, "boolean": bool, "null": type(None),
}  # fmt: skip

NOT_ASKED = ("$schema", "$id", "$defs", "title", "description")
"""Keywords that ask nothing of a value."""


def satisfying(schema: Mapping[str, Any]) -> Says:
    """A function that is true of values that certainly satisfy the schema (draft 2020-12)."""
    known: dict[str, Says] = {}

    def referred(name: str) -> Says:
        if name not in known:
            # A schema may refer to itself.
            known[name] = lambda value: known[name](value)
            known[name] = made(schema["$defs"][name.removeprefix("#/$defs/")])
        return known[name]

    def made(part: Any) -> Says:
        if part is True:
            return lambda value: True
        if part is False:
            return lambda value: False
        asked = [_keyword(word, part, made, referred) for word in part if word not in NOT_ASKED]
        found = [says for says in asked if says is not None]
        if len(found) == 1:
            return found[0]
        return lambda value: all(says(value) for says in found)

    return made(schema)


def _keyword(
    word: str, schema: Mapping[str, Any], made: Callable[[Any], Says], referred: Callable[[str], Says]
) -> Says | None:
    """What one keyword asks; None where another one asks it."""
    asked = schema[word]
    if word == "$ref":
        return referred(asked)
    if word == "type":
        return _typed([asked] if isinstance(asked, str) else asked)
    if word == "const":
        return _one_of([asked])
    if word == "enum":
        return _one_of(asked)
    if word == "anyOf":
        branches = [made(branch) for branch in asked]
        return lambda value: any(says(value) for says in branches)
    if word == "pattern":
        search = re.compile(asked).search
        return lambda value: isinstance(value, str) and search(value) is not None
    if word == "items":
        each = made(asked)
        return lambda value: isinstance(value, list) and all(map(each, value))
    if word in ("properties", "additionalProperties"):
        if word == "additionalProperties" and "properties" in schema:
            return None
        return _keyed({key: made(of) for key, of in schema.get("properties", {}).items()},
                      made(schema.get("additionalProperties", True)))  # fmt: skip
    if word == "required":
        keys = frozenset(asked)
        return lambda value: isinstance(value, dict) and value.keys() >= keys
    return _limited(word, asked)


def _limited(word: str, limit: Any) -> Says:
    if word == "minimum":
        return lambda value: type(value) is int and value >= limit
    if word == "maximum":
        return lambda value: type(value) is int and value <= limit
    if word in ("minItems", "minLength"):
        return lambda value: isinstance(value, list if word == "minItems" else str) and len(value) >= limit
    if word == "maxItems":
        return lambda value: isinstance(value, list) and len(value) <= limit
    return lambda value: False


def _typed(names: list[str]) -> Says:
    if len(names) == 1 and names[0] in TYPES:
        only = TYPES[names[0]]
        return lambda value: type(value) is only
    types = frozenset(TYPES[name] for name in names if name in TYPES)
    return lambda value: type(value) in types


def _one_of(values: list[Any]) -> Says:
    # Types are compared too: to Python true is 1.
    known = frozenset((type(value), value) for value in values if not isinstance(value, list | dict))
    return lambda value: not isinstance(value, list | dict) and (type(value), value) in known


def _keyed(properties: Mapping[str, Says], other: Says) -> Says:
    """Each property as its own schema wants it, others as the one for all others."""
    get = properties.get
    return lambda value: isinstance(value, dict) and all(get(key, other)(item) for key, item in value.items())
