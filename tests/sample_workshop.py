"""The sample workshop file, every key with a comment: ``python -m tests.sample_workshop`` renews it.

Its values stay; keys that it lacks come in with their default, and the comments are those of the declarations.
"""

from __future__ import annotations

import textwrap
import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from cutplan.reading.workshop.workshop_keys import BLOCKS, FAMILY_TABLES, OF_FAMILIES, SETTINGS, YES_NO, Key
from cutplan.writing.toml import value_text
from tests.manual_tables import meaning, toml_default

SAMPLE = Path(__file__).parent.parent / "inputs/workshop.toml"

WIDTH = 120
COMMENT_AT = 34
"""Column at which a comment behind a value begins."""

HEAD = """\
# Thistlegate Workshop: a sample workshop file. Workshop and merchants are made up.
#
# Any file named workshop*.toml is found from the folder of the parts list upwards. Every key is optional; each
# stands here once, with its default, so this file can be copied and trimmed.
# A length is a text in shop notation ("6.5 m", "120 mm", "4 3/4 in") or a bare number in the workshop's unit.
"""

ABOUT_BLOCKS = {
    "merchant": "one block per merchant with terms of its own; a merchant without one has no charges",
    "coat": "one block per coat that parts of a finish get once they are made, paint or zinc",
    "material": 'one block per material of your own; "stainless 304" and others may be given again here',
    "section": "one block per section of your own, called by its name in every list",
}


def renewed(text: str) -> str:
    """The file with the same values, complete, and commented by the declarations."""
    document = tomllib.loads(text, parse_float=Decimal)
    once = SETTINGS | OF_FAMILIES
    pieces = [HEAD]
    for table in dict.fromkeys(key.table for key in once.values()):
        keys = [key for key in once.values() if key.table == table]
        head = commented(f"[{table}]", FAMILY_TABLES[table].meaning) if table in FAMILY_TABLES else [f"[{table}]"]
        pieces.append(block(head, keys, document.get(table, {}), complete=True))
    for table, known in BLOCKS.items():
        shown: set[str] = set()
        for number, values in enumerate(document.get(table, [])):
            head = [f"[[{table}]]"] if number else commented(f"[[{table}]]", ABOUT_BLOCKS[table])
            keys = [key for key in known.values() if key.word in values or (not number and toml_default(key))]
            pieces.append(block(head, keys, values, complete=not number, shown=shown))
            shown |= {key.word for key in keys}
    return "\n".join(pieces)


def block(
    head: list[str], keys: list[Key], values: Mapping[str, Any], *, complete: bool, shown: set[str] | None = None
) -> str:
    lines = list(head)
    for key in keys:
        if key.word in values:
            typed = value_text(values[key.word])
        elif complete:
            typed = toml_default(key) or '""'
        else:
            continue
        comment = "" if shown and key.word in shown else comment_of(key)
        lines += commented(f"{key.word} = {typed}", comment)
    return "\n".join(lines) + "\n"


def comment_of(key: Key) -> str:
    default = toml_default(key) or key.default
    if key.table in FAMILY_TABLES:
        return f"default {default}"
    said = key.meaning if key.choices == YES_NO else meaning(key).replace("`", "")
    return f"default {default}: {said}" if default else said


def commented(line: str, comment: str) -> list[str]:
    """A line with its comment behind it, or above it where it is too long for that."""
    behind = f"{line:<{COMMENT_AT}}# {comment}"
    if not comment or len(behind) <= WIDTH:
        return [behind if comment else line]
    return [*wrapped(comment), line]


def wrapped(comment: str) -> Iterator[str]:
    return (f"# {line}" for line in textwrap.wrap(comment, WIDTH - 2, break_long_words=False))


if __name__ == "__main__":
    SAMPLE.write_text(renewed(SAMPLE.read_text(encoding="utf-8")), encoding="utf-8")
