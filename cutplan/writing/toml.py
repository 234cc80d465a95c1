"""A workshop's settings as the text of a TOML file."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from cutplan.reading.workshop.workshop_keys import headed

HEAD = "# Every key may be left out; its default then holds. cutplan help workshop says what each means.\n"


def toml_text(document: Mapping[str, Any]) -> str:
    """The tables of keys of a workshop as TOML; lists of tables are blocks.

    Read again, the text gives the same tables.
    """
    tables = [_block(f"[{name}]", keys) for name, keys in document.items() if keys and not isinstance(keys, list)]
    blocks = [
        _block(f"[[{headed(name)}]]", keys)
        for name, each in document.items()
        if isinstance(each, list)
        for keys in each
    ]
    return "\n".join([HEAD, *tables, *blocks])


def _block(head: str, keys: Mapping[str, Any]) -> str:
    return "\n".join([head, *(f"{key} = {value_text(value)}" for key, value in keys.items()), ""])


def value_text(value: Any) -> str:
    """A value as TOML spells it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return f"[{', '.join(value_text(each) for each in value)}]"
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, int):
        return str(value)
    return _quoted(str(value))


def _quoted(text: str) -> str:
    """A basic string: quotation marks, backslashes and what cannot be printed are escaped."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(letter if letter.isprintable() else f"\\U{ord(letter):08X}" for letter in escaped) + '"'
