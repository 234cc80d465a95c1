"""The package's own source, as tests look at it: as text, for taking all of it apart takes seconds."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "cutplan"

_IMPORT = re.compile(r"^ *(from [\w.]+ import (?:\([^)]*\)|[^(\n]+)|import [\w., ]+)$", re.MULTILINE)


class Import(NamedTuple):
    """A name that a module imports, with its dots, and the line on which its statement begins."""

    name: str
    line: int


@cache
def modules() -> tuple[Path, ...]:
    """Every module of the package."""
    return tuple(sorted(PACKAGE.rglob("*.py")))


@cache
def text(path: Path) -> str:
    """What stands in a module."""
    return path.read_text(encoding="utf-8")


def found(pattern: str, path: Path) -> Iterator[tuple[str, int]]:
    """The first group of a pattern wherever it stands in a module, with its line."""
    for match in re.finditer(pattern, text(path), re.MULTILINE):
        yield match[1], 1 + text(path).count("\n", 0, match.start(1))


@cache
def imports(path: Path) -> tuple[Import, ...]:
    """Every name imported anywhere in a module, inside functions too."""
    names = []
    for statement, line in found(_IMPORT.pattern, path):
        (node,) = ast.parse(statement).body
        if isinstance(node, ast.Import):
            names += [Import(alias.name, line) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{path}:{line}: imports are written in full"
            names += [Import(f"{node.module}.{alias.name}", line) for alias in node.names]
    return tuple(names)
