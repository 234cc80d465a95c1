"""The workshop file as a form: each key with its sentence and default, and changes put into the file as it stands."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from cutplan.actions.rack_found import find_rack
from cutplan.problems import Problem, ProblemsFound, Refused

BEGUN = "workshop.toml"
"""What the file is called where there is none yet."""

Value = str | bool | int | Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FormKey:
    """A key of the form. ``typed`` is what the file says, blank where it says nothing and the default holds."""

    name: str
    setting: str
    meaning: str
    default: str
    choices: tuple[str, ...]
    typed: str


def workshop_form() -> tuple[str, tuple[FormKey, ...]]:
    """The name of the workshop file of the folder that is worked in, and its keys; blocks, as of merchants, left out.

    Raises
    ------
    ProblemsFound
        When there are several such files, or the one there is cannot be read.
    """
    from cutplan.reading.workshop.workshop_keys import OF_FAMILIES, SETTINGS

    path = _file()
    said = _document(path)
    keys = (SETTINGS | OF_FAMILIES).values()
    return path.name, tuple(
        FormKey(
            name=key.name, setting=key.setting, meaning=key.meaning, default=key.default, choices=key.choices,
            typed=_typed(said.get(key.table, {}), key.word),
        )
        for key in keys
    )  # fmt: skip


def workshop_save(typed: Mapping[str, str]) -> str:
    """Put what was typed into the workshop file, of which everything else stays as it is; the name of the file.

    A key left blank is taken out, so that its default holds. Nothing is written unless the file is sound then.

    Raises
    ------
    ProblemsFound
        Everything that would be wrong with it.
    """
    from cutplan.reading.workshop.workshop_keys import OF_FAMILIES, SETTINGS
    from cutplan.writing.toml_edit import edited

    path = _file()
    _, before = workshop_form()
    now = {key.name: key.typed for key in before}
    changes: dict[str, Value | None] = {}
    for name, text in typed.items():
        if name in now and text.strip() != now[name]:
            key = (SETTINGS | OF_FAMILIES)[name]
            changes[name] = _value(key, text.strip()) if text.strip() else None
    if not changes:
        return path.name
    text = edited(path.read_text(encoding="utf-8") if path.exists() else "", changes)
    with TemporaryDirectory(dir=Path(), prefix=".") as aside:
        new = Path(aside) / path.name
        new.write_text(text, encoding="utf-8")
        find_rack(workshop=new)
        os.replace(new, path)
    return path.name


def _file() -> Path:
    there = sorted(path for path in Path().glob("workshop*.toml") if path.is_file())
    if len(there) > 1:
        found = f"{len(there)} workshop files: {', '.join(path.name for path in there)}"
        raise ProblemsFound([Problem.statement("workshop", found, "one in a folder", code="bench.there")])
    return there[0] if there else Path(BEGUN)


def _document(path: Path) -> dict[str, Any]:
    if not path.exists():
        return {}
    find_rack(workshop=path)  # which says everything that is wrong with it
    return tomllib.loads(path.read_text(encoding="utf-8-sig"), parse_float=Decimal)


def _typed(table: Any, word: str) -> str:
    value = table.get(word) if isinstance(table, dict) else None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return "" if value is None else str(value)


def _value(key: Any, text: str) -> Value:
    """The value of a text as the key reads it: as a word where it does, else as yes or no, or a number."""
    from cutplan.reading.workshop.workshop_values import WrongValue
    from cutplan.units import Figures

    tries: list[Value] = [text]
    if text in ("yes", "no"):
        tries.append(text == "yes")
    try:
        number = Decimal(text)
        tries.append(int(number) if number == number.to_integral_value() and "." not in text else number)
    except (InvalidOperation, ValueError, OverflowError):
        pass
    for value in tries:
        try:
            key.read(value, Figures())
        except (WrongValue, Refused):
            continue
        return value
    return text
