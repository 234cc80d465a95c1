"""What is wrong with a text that is no TOML, in the words of whoever typed it."""

from __future__ import annotations

import re
from dataclasses import dataclass

QUOTED = 'a text such as 6.5 m stands in quotation marks: "6.5 m"'
_TWICE = ("Cannot declare", "Cannot overwrite")
"""How ``tomllib`` begins what it says of a heading or a key that stands there already."""
_PLACE = re.compile(r"line (\d+), column \d+")
_BELOW = "put new lines below the heading that is there, in place of the keys of their names"


@dataclass(frozen=True, slots=True)
class TomlFault:
    """Where a text stops being TOML, what stands there, and what would mend it most likely."""

    where: str
    found: str
    hint: str


def toml_fault(text: str, reason: str, place: str) -> TomlFault:
    """The fault for which ``tomllib`` gave a reason and a place, the latter as in ``line 3, column 5``."""
    lines, at = text.splitlines(), _PLACE.fullmatch(place)
    number = int(at[1]) if at else 0
    line = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    if reason.startswith(_TWICE):
        return _twice(lines, number, line, place)
    return TomlFault(place, f"what TOML does not allow ({reason})", _hint(line))


def _twice(lines: list[str], number: int, line: str, place: str) -> TomlFault:
    """One that stands there already: by its name and the line of the first, where both are written alike."""
    name = _name(line)
    for before in range(number - 1, 0, -1):
        other = _name(lines[before - 1])
        if other == name and name:
            again = f"again, as in line {before}"
            if name.startswith("["):
                return TomlFault(f"line {number}", f"{name} {again}", _BELOW)
            return TomlFault(f"line {number}", f'"{name}" {again}', "keep one of the two lines")
        if other.startswith("[") and not name.startswith("["):
            break
    return TomlFault(place, "a heading, or a key below one, that stands there already", _BELOW)


def _name(line: str) -> str:
    """The heading or the key of a line, without blanks; blank of a line that is neither."""
    bare = line.strip()
    if bare.startswith("["):
        return "".join(bare.partition("#")[0].split())
    key, equals, _ = bare.partition("=")
    return key.strip() if equals and not key.startswith("#") else ""


def _hint(line: str) -> str:
    """What is likely wrong with a line; that a text is quoted where nothing else is seen."""
    if re.search("[“”„‘’«»]", line):
        return 'quotation marks are straight ones: "2 mm"'
    if "\\" in line:
        return "in the name of a file write / in place of \\"
    if line.startswith("["):
        return "a heading begins and ends with brackets, such as [saw] or [[merchant]]"
    return QUOTED if "=" in line or not line else 'a line is a key, = and its value: kerf = "2 mm"'
