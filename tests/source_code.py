"""The package's own source, parsed once for all tests that look at it."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "cutplan"


@cache
def modules() -> tuple[Path, ...]:
    """Every module of the package."""
    return tuple(sorted(PACKAGE.rglob("*.py")))


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    """All that stands in a module, the module itself first."""
    return tuple(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
