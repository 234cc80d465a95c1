"""Single values of a TOML text changed, everything else of it, comments and order too, as it was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

Value = str | bool | int | Decimal | list[str]


def edited(text: str, changes: Mapping[str, Value | None]) -> str:
    """The text with values changed.

    Parameters
    ----------
    changes
        By table and word, such as ``saw.kerf``; None takes the key out.

    Raises
    ------
    ValueError
        When the text is no TOML.
    """
    import tomlkit

    document = tomlkit.parse(text)
    for name, value in changes.items():
        table, _, word = name.partition(".")
        there = document.get(table)
        if there is None and value is not None:
            document[table] = there = tomlkit.table()
        if there is not None:
            _put(there, word, value)
    return tomlkit.dumps(document)


def blocks_edited(text: str, table: str, blocks: Sequence[Mapping[str, Value | None] | None]) -> str:
    """The text with values changed in the blocks of a table that may be repeated.

    Parameters
    ----------
    blocks
        For each block in the order of the file what is changed in it by word, None where the block is taken out; those
        beyond the last are put behind it.

    Raises
    ------
    ValueError
        When the text is no TOML.
    """
    import tomlkit

    document = tomlkit.parse(text)
    there: Any = document.get(table)
    if there is None and any(blocks):
        document[table] = there = tomlkit.aot()
    for place, changes in reversed(list(enumerate(blocks))):
        if changes is None and place < len(there or ()):
            del there[place]
    kept = [changes for changes in blocks if changes is not None]
    for place, changes in enumerate(kept):
        if place < len(there or ()):
            for word, value in changes.items():
                _put(there[place], word, value)
        elif changes:
            new = tomlkit.table() if isinstance(there, tomlkit.items.AoT) else tomlkit.inline_table()
            for word, value in changes.items():
                _put(new, word, value)
            there.append(new)
    if there is not None and not there:
        del document[table]
    return tomlkit.dumps(document)


def _put(table: Any, word: str, value: Value | None) -> None:
    if value is not None:
        import tomlkit

        table[word] = tomlkit.value(f"{value:f}") if isinstance(value, Decimal) else value
    elif isinstance(table, Mapping) and word in table:
        table.pop(word)  # type: ignore[attr-defined]
