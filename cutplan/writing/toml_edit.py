"""Single values of a TOML text changed, everything else of it, comments and order too, as it was."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal


def edited(text: str, changes: Mapping[str, str | bool | int | Decimal | None]) -> str:
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
    from tomlkit.items import Table

    document = tomlkit.parse(text)
    for name, value in changes.items():
        table, _, word = name.partition(".")
        there = document.get(table)
        if value is None:
            if isinstance(there, Mapping) and word in there:
                there.pop(word)  # type: ignore[attr-defined]
            continue
        if there is None:
            document[table] = there = tomlkit.table()
        assert isinstance(there, Table | dict)
        there[word] = tomlkit.value(f"{value:f}") if isinstance(value, Decimal) else value
    return tomlkit.dumps(document)
