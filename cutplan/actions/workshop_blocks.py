"""Tables of the workshop file that may be repeated, as forms: merchants, saws, coats, materials and own sections."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from cutplan.actions.workshop_form import (
    FormKey,
    form_key,
    put_workshop,
    value_of,
    workshop_document,
    workshop_here,
)
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from pathlib import Path

    from cutplan.reading.workshop.workshop_keys import Key
    from cutplan.writing.toml_edit import Value

OUT = "out"
"""The field that takes a block out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormBlock:
    """A block: its number from 1, its name, and its keys, whose fields are called such as ``1.name``."""

    number: int
    name: str
    keys: tuple[FormKey, ...]


def block_tables() -> tuple[str, ...]:
    """The tables that may be repeated."""
    from cutplan.reading.workshop.workshop_keys import BLOCKS, headed

    return tuple(map(headed, BLOCKS))


def _keys(table: str) -> list[Key]:
    from cutplan.reading.workshop.workshop_keys import BLOCKS, headed

    return next(list(keys.values()) for kept, keys in BLOCKS.items() if headed(kept) == table)


def _said(path: Path, table: str) -> list[Mapping[str, Any]]:
    """The blocks there are, and one with nothing said; one saw that is no block is left to the form of its keys."""
    there = workshop_document(path).get(table, [])
    return [*(there if isinstance(there, list) else ()), {}]


def blocks_shown(table: str) -> tuple[str, tuple[FormBlock, ...]]:
    """The name of the workshop file, the blocks of one of its tables, and one more with nothing typed.

    Raises
    ------
    ProblemsFound
        When there are several such files, or the one there is cannot be read.
    """
    path = workshop_here()
    return path.name, tuple(
        FormBlock(
            number=number,
            name=str(block.get("name", "")),
            keys=tuple(form_key(key, block, f"{number}.{key.word}") for key in _keys(table)),
        )
        for number, block in enumerate(_said(path, table), 1)
    )


def blocks_save(table: str, typed: Mapping[str, str]) -> str:
    """Put what was typed into the blocks of a table, of which everything else stays; the name of the file.

    A key left blank is taken out, a block whose field ``out`` is not blank as a whole; one with nothing typed is not
    begun. Nothing is written unless the file is sound then.

    Raises
    ------
    ProblemsFound
        Everything that would be wrong with it.
    """
    from cutplan.writing.toml_edit import blocks_edited

    path = workshop_here()
    _, before = blocks_shown(table)
    said = _said(path, table)
    changes: list[dict[str, Value | None] | None] = []
    for block, there in zip(before, said, strict=True):
        if typed.get(f"{block.number}.{OUT}"):
            changes.append(None)
            continue
        changed: dict[str, Value | None] = {}
        for known, key in zip(block.keys, _keys(table), strict=True):
            text = typed.get(known.name, known.typed).strip()
            if text != known.typed:
                changed[key.word] = value_of(key, text, there.get(key.word)) if text else None
        changes.append(changed)
    if any(changes) and isinstance(workshop_document(path).get(table), dict):
        accepted = f"the keys of [{table}] left blank first, or no block of several"
        found = f"a block of several beside one [{table}]"
        raise ProblemsFound([Problem.statement(path.name, found, accepted, code="workshop.saws")])
    if any(changed is None or changed for changed in changes):
        put_workshop(path, lambda text: blocks_edited(text, table, changes))
    return path.name
