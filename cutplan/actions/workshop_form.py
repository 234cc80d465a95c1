"""The workshop file as a form: each key with its sentence and default, and changes put into the file as it stands."""

from __future__ import annotations

import tomllib
from codecs import BOM_UTF8
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from cutplan.actions.rack_found import find_rack
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.reading.workshop.workshop_keys import Key
    from cutplan.writing.toml_edit import Value

BEGUN = "workshop.toml"
"""What the file is called where there is none yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormKey:
    """A key of the form. ``typed`` is what the file says, blank where it says nothing and the default holds."""

    name: str
    setting: str
    meaning: str
    default: str
    choices: tuple[str, ...]
    typed: str


def workshop_keys() -> tuple[str, tuple[FormKey, ...]]:
    """The name of the workshop file of the folder that is worked in, and its keys; blocks, as of merchants, left out.

    Raises
    ------
    ProblemsFound
        When there are several such files, or the one there is cannot be read.
    """
    from cutplan.reading.workshop.workshop_keys import OF_FAMILIES, SETTINGS

    path = workshop_here()
    said = workshop_document(path)
    # The keys of one saw have no place beside blocks of several.
    keys = [key for key in (SETTINGS | OF_FAMILIES).values() if not isinstance(said.get(key.table), list)]
    return path.name, tuple(
        form_key(
            key, said.get(key.table, {}), key.name, f"{key.setting}, {key.word}" if key.name in OF_FAMILIES else ""
        )
        for key in keys
    )


def form_key(key: Key, table: Any, name: str, setting: str = "") -> FormKey:
    """A key as a field of that name, with what its table says; ``setting`` where one of its own tells it apart."""
    return FormKey(
        name=name, setting=setting or key.setting, meaning=key.meaning, default=key.default, choices=key.choices,
        typed=_typed(table, key.word),
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

    path = workshop_here()
    _, before = workshop_keys()
    said = workshop_document(path)
    now = {key.name: key.typed for key in before}
    changes: dict[str, Value | None] = {}
    for name, text in typed.items():
        if name in now and text.strip() != now[name]:
            key = (SETTINGS | OF_FAMILIES)[name]
            changes[name] = value_of(key, text.strip(), said.get(key.table, {}).get(key.word)) if text.strip() else None
    files = {name: str(value) for name, value in changes.items() if value is not None}
    check_inside(files, lambda name: f'{path.name}, key "{name}"')
    if changes:
        put_workshop(path, lambda text: edited(text, changes))
    return path.name


def check_inside(said: Mapping[str, str], where: Callable[[str], str]) -> None:
    """Refuse settings of a workshop that name a file outside the folder that is worked in: who is let in by a page is
    let into that folder alone.

    Raises
    ------
    ProblemsFound
        When a file lies elsewhere, or a link leads there.
    """
    outside = [
        name
        for name, text in said.items()
        if name.startswith("files.") and not Path(text).resolve().is_relative_to(Path().resolve())
    ]
    accepted = "a file of this folder; one elsewhere is named in the workshop file by hand"
    if outside:
        raise ProblemsFound(
            [Problem(code="bench.outside", where=where(name), found=said[name], accepted=accepted) for name in outside]
        )


def put_workshop(path: Path, edit: Callable[[str], str]) -> None:
    """Change the text of the workshop file. Nothing is written unless the file is sound then.

    Raises
    ------
    ProblemsFound
        Everything that would be wrong with it.
    """
    _check_here(path)
    put_text(path, edit)


def put_text(path: Path, edit: Callable[[str], str]) -> None:
    """As :func:`put_workshop`, of the workshop file that is named, wherever it lies.

    Its line ends, its permissions and a link to it stay too.
    """
    from cutplan.writing.inplace import alone_in, behind_links, replace

    path = behind_links(path)
    with alone_in(path.parent):
        before = path.read_bytes() if path.exists() else None
        text = (before or b"").decode("utf-8-sig")
        mark = BOM_UTF8 if before and before.startswith(BOM_UTF8) else b""
        end = "\r\n" if 0 < text.count("\n") == text.count("\r\n") else "\n"
        new = mark + edit(text.replace(end, "\n")).replace("\n", end).encode()
        with TemporaryDirectory(dir=path.parent, prefix=".") as aside:
            tried = Path(aside) / path.name
            tried.write_bytes(new)
            find_rack(workshop=tried)
        replace(path, new, before)


def workshop_here() -> Path:
    """The workshop file of the folder that is worked in, which may lie further up; the one to begin where none does."""
    from cutplan.reading.workshop.workshop_file import find_workshop

    return find_workshop(Path("any"), None) or Path(BEGUN)


def _check_here(path: Path) -> None:
    """Refuse to write out of the folder: a workshop file further up is that of other folders too."""
    if path.parent.resolve() != Path().resolve():
        found = f"the one of a folder further up, {path.parent.name}"
        accepted = "changes made there, or a workshop file of this folder's own"
        raise ProblemsFound([Problem.statement(path.name, found, accepted, code="bench.elsewhere")])


def workshop_document(path: Path) -> dict[str, Any]:
    """What the workshop file says, table by table; nothing where there is none."""
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


def value_of(key: Key, text: str, there: object = None) -> Value:
    """The value of a text as the key reads it: as a word where it does, else as yes or no, a list or a number.

    Parameters
    ----------
    there
        What the file says: a number is written as a number again.
    """
    from cutplan.reading.workshop.workshop_values import WrongValue
    from cutplan.units import Figures

    tries: list[Value] = [text]
    if text in ("yes", "no"):
        tries.append(text == "yes")
    if "," in text:
        tries.append([each.strip() for each in text.split(",")])
    try:
        number = Decimal(text)
        as_number = int(number) if number == number.to_integral_value() and "." not in text else number
        tries.insert(0 if isinstance(there, int | Decimal) else len(tries), as_number)
    except (InvalidOperation, ValueError, OverflowError):
        pass
    for value in tries:
        try:
            key.read(value, Figures())
        except (WrongValue, Refused):
            continue
        return value
    return text
