"""The house is kept: import order, one user per outside library, a test file for every module."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "cutplan"

ORDER: list[tuple[str, ...]] = [
    ("problems", "isolated", "manual"),
    ("units",),
    ("sums", "sections", "drilling"),
    ("model",),
    ("reading", "solving", "checking", "planfile", "reports"),
    ("buying", "writing", "rack"),
    ("actions",),
    ("cli",),
]
"""Rooms in the order in which a job walks through them. A room imports only from lines above its own, and rooms
on one line know nothing of one another."""

ONLY_FROM = {
    "checking": {"problems", "units", "model"},
    "cli": {"problems", "manual", "units", "sums", "sections", "model", "actions"},
    "rack": {"problems", "isolated", "units", "sections", "model"},
}
"""Rooms that may use less than the order allows: the checker knows nothing of how a plan came about, and the command
line is words over the actions."""

USERS = {
    "pint": {"units/unit_words.py"},
    "ortools": {"solving"},
    "openpyxl": {"reading", "reports", "writing"},
    "sqlite3": {"rack"},
    "python_calamine": {"reading"},
    "pandas": {"reports"},
    "jsonschema": {"planfile"},
    "typer": {"cli"},
    "rich": {"cli"},
    "typst": {"reports"},
    "segno": {"reports"},
}
"""Outside libraries and the only rooms, or files, that may know them."""


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room(path: Path) -> str:
    """The room a file belongs to; blank for the package's own face."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py").replace("__init__", "")


def imports(path: Path) -> Iterator[tuple[str, int]]:
    """Every dotted name imported anywhere in a file, inside functions too, with its line."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node.lineno
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                pytest.fail(f"{path}:{node.lineno}: imports are written in full")
            assert node.module is not None
            for alias in node.names:
                yield f"{node.module}.{alias.name}", node.lineno


def rank(name: str) -> int:
    return next(place for place, rooms in enumerate(ORDER) if name in rooms)


def against_order(importer: str, imported: str) -> bool:
    """Does this import run against the order?"""
    if importer in ("", imported):
        return False
    if importer in ONLY_FROM and imported not in ONLY_FROM[importer]:
        return True
    return rank(imported) >= rank(importer)


def test_every_room_is_in_the_order() -> None:
    rooms = {room(path) for path in modules()} - {""}
    assert rooms == {name for line in ORDER for name in line}


def test_the_order_can_be_broken() -> None:
    assert against_order("units", "model")
    assert against_order("solving", "checking")
    assert against_order("checking", "sections")
    assert against_order("reports", "buying")
    assert not against_order("buying", "solving")


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_one_way(path: Path) -> None:
    importer = room(path)
    wrong = []
    for name, line in imports(path):
        top, _, rest = name.partition(".")
        if top != "cutplan" or not rest:
            continue
        imported = rest.split(".")[0]
        known = any(imported in rooms for rooms in ORDER)
        if known and against_order(importer, imported):
            wrong.append(f"{path.relative_to(ROOT)}:{line}: {importer} imports {name}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_outside_libraries_have_one_user(path: Path) -> None:
    places = {path.relative_to(PACKAGE).parts[0], path.relative_to(PACKAGE).as_posix()}
    wrong = []
    for name, line in imports(path):
        top = name.split(".")[0]
        if top in USERS and not places & USERS[top]:
            wrong.append(f"{path.relative_to(ROOT)}:{line}: {top} is for {sorted(USERS[top]) or 'nobody yet'}")
    assert not wrong, "\n".join(wrong)


def needs_test_file(path: Path) -> bool:
    """A package's face counts as a module when it defines something itself."""
    if path.name != "__init__.py":
        return True
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return any(isinstance(node, ast.FunctionDef | ast.ClassDef) for node in tree.body)


def test_every_module_has_a_test_file() -> None:
    tests = {path.name for path in (ROOT / "tests").rglob("test_*.py")}
    stems = Counter(path.stem for path in modules())
    missing = []
    for path in filter(needs_test_file, modules()):
        parts = [part.removesuffix(".py") for part in path.relative_to(PACKAGE.parent).parts if part != "__init__.py"]
        accepted = {f"test_{'_'.join(parts[1:] or parts)}.py"}
        if stems[path.stem] == 1:
            accepted.add(f"test_{parts[-1]}.py")
        if not accepted & tests:
            missing.append(f"{path.relative_to(ROOT)}: none of {sorted(accepted)}")
    assert not missing, "\n".join(missing)
