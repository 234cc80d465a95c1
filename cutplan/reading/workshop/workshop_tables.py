"""The tables of a workshop file: their keys to values, with a Problem for each key that is unknown or wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from cutplan.problems import Problem, Refused, nearest
from cutplan.reading.workshop.workshop_keys import BLOCKS, KEYS, OF_FAMILIES, SETTINGS, Key, headed
from cutplan.reading.workshop.workshop_values import WrongValue, shown
from cutplan.units import Figures

Block: TypeAlias = tuple[str, dict[str, Any]]
"""Where a block of a table that may be repeated stands, for messages, and its values by key."""


def place_of(name: str, key: str, places: Mapping[str, str]) -> str:
    """Where a key stands, for messages: by ``places``, or else by its name in the file ``name``."""
    return places.get(key) or f'{name}, key "{key}"'


def _unknown(where: str, accepted: Iterable[str], hint: str, what: str = "key") -> Problem:
    return Problem(
        where=where,
        found=f"an unknown {what}",
        accepted=", ".join(accepted),
        hint=hint,
        found_is_text=False,
        code="workshop.unknown",
    )


def _figures(document: Mapping[str, Any]) -> Figures:
    """How figures are typed; bare lengths are in mm, with no sign known, where a workshop says none that is known."""
    said = document.get("workshop")
    unit, sign = (_read_key(KEYS[key], Figures(), said, [], "") for key in ("workshop.unit", "workshop.decimal_sign"))
    return Figures(unit or "mm", sign or "")


def read_tables(
    name: str, document: Mapping[str, Any], problems: list[Problem], places: Mapping[str, str]
) -> dict[str, Any]:
    """The values of all keys outside the tables that may be repeated.

    Parameters
    ----------
    name
        The file, or the sheet of a workbook, for messages.
    document
        Tables of keys as TOML gives them.
    problems
        Gains one Problem per table or key that is unknown or wrong; that key is then left out.
    places
        Where keys stand, when not by their name in ``name``.
    """
    figures = _figures(document)
    once = SETTINGS | OF_FAMILIES
    tables = list(dict.fromkeys(key.table for key in once.values()))
    values: dict[str, Any] = {}
    for table, keys in document.items():
        if table in BLOCKS:
            continue
        known = [key.word for key in once.values() if key.table == table]
        if not known:
            homes = [key.table for key in KEYS.values() if key.word.lower() == table.lower()]
            hint = f"{table} belongs in the table [{homes[0]}]" if homes else nearest(table, tables)
            problems.append(
                _unknown(
                    place_of(name, table, places),
                    (_tables_known(tables),),
                    hint,
                    "table" if isinstance(keys, dict) else "key",
                )
            )
            continue
        if not isinstance(keys, dict):
            problems.append(
                Problem(
                    where=place_of(name, table, places),
                    found=shown(keys),
                    accepted=f"a table headed [{table}]",
                    code="workshop.table",
                )
            )
            continue
        for key in keys:
            full = f"{table}.{key}"
            if full not in once:
                problems.append(_unknown(place_of(name, full, places), known, _key_hint(key, known)))
                continue
            value = _read_key(once[full], figures, keys, problems, place_of(name, full, places))
            if value is not None:
                values[full] = value
    return values


def _tables_known(tables: list[str]) -> str:
    *first, last = (f"[[{headed(table)}]]" for table in BLOCKS)
    return f"the tables {', '.join([*(f'[{word}]' for word in tables), *first])} and {last}"


def _key_hint(key: str, words: list[str]) -> str:
    near = nearest(key, words)
    if near:
        return near
    homes = [full.name for full in KEYS.values() if full.word == key]
    return f'did you mean "{homes[0]}"?' if homes else ""


def _read_key(key: Key, figures: Figures, keys: Any, problems: list[Problem], where: str) -> Any:
    """The value of one key; None when it is not there or, with a problem noted, cannot be used."""
    if not isinstance(keys, dict) or key.word not in keys:
        return None
    try:
        return key.read(keys[key.word], figures)
    except Refused as refused:
        found = keys[key.word] if isinstance(keys[key.word], str) else refused.found
        problems.append(
            Problem(where=where, found=found, accepted=refused.accepted, hint=refused.hint, code=refused.code)
        )
    except WrongValue as wrong:
        problems.append(
            Problem(where=where, found=wrong.found, accepted=wrong.accepted, hint=wrong.hint, code=wrong.code)
        )
    return None


def read_blocks(
    name: str, document: Mapping[str, Any], problems: list[Problem], places: Mapping[str, str]
) -> dict[str, list[Block]]:
    """The blocks of each table that may be repeated, where they have a name of their own.

    The parameters are those of :func:`read_tables`. A block with a problem is left out; of a merchant the terms that
    could be read are kept.
    """
    figures = _figures(document)
    return {table: _blocks(name, table, figures, document.get(table, []), problems, places) for table in BLOCKS}


def _blocks(
    name: str,
    table: str,
    figures: Figures,
    blocks: Any,
    problems: list[Problem],
    places: Mapping[str, str],
) -> list[Block]:
    if not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
        problems.append(
            Problem(
                where=f'{name}, key "{headed(table)}"',
                found=shown(blocks),
                accepted=f"blocks headed [[{headed(table)}]]",
                code="workshop.block",
            )
        )
        return []
    known = BLOCKS[table]
    found: dict[str, Block] = {}
    for number, block in enumerate(blocks, start=1):
        where = places.get(f"{table}.{number}") or f"{name}, {headed(table)} {number}"
        before = len(problems)
        for key in block:
            if key not in known:
                problems.append(_unknown(f'{where}, key "{key}"', known, nearest(key, known)))
        values = {
            word: value
            for word, key in known.items()
            if (
                value := _read_key(
                    key, figures, block, problems, places.get(f"{table}.{number}.{word}") or f'{where}, key "{word}"'
                )
            )
            is not None
        }
        if not values.get("name"):
            if len(problems) == before:
                problems.append(
                    Problem(
                        where=where,
                        found="no name",
                        accepted='a key name = "..."',
                        found_is_text=False,
                        code="workshop.name",
                    )
                )
            continue
        if values["name"].casefold() in found:
            place = places.get(f"{table}.{number}.name") or f'{where}, key "name"'
            problems.append(
                Problem(
                    where=place,
                    found=values["name"],
                    accepted=f"each {headed(table)} in one block",
                    code="workshop.twice",
                )
            )
            continue
        if len(problems) == before or table == "merchant":
            found[values["name"].casefold()] = where, values
    return list(found.values())
