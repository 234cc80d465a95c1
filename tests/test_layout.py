"""The house is kept: import order, one user per outside library, a test file for every module."""

from __future__ import annotations

import importlib
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator
from graphlib import CycleError, TopologicalSorter
from itertools import groupby
from pathlib import Path

import pytest

from tests.source_code import PACKAGE, ROOT, found, imports, modules, text

ORDER: list[tuple[str, ...]] = [
    ("fields",),
    ("problems", "problem_codes", "isolated", "unfinished", "manual"),
    ("units",),
    ("calculators", "sections"),
    ("model",),
    ("drilling",),
    ("costing",),
    ("reading", "solving", "checking", "planfile", "rack"),
    ("words",),
    ("reports",),
    ("planning", "writing"),
    ("actions",),
    ("web",),
    ("cli",),
]
"""Rooms in the order in which a job walks through them. A room imports only from lines above its own, and rooms
on one line know nothing of one another."""

ONLY_FROM = {
    "checking": {"problems", "units", "model"},
    "cli": {"problems", "manual", "units", "calculators", "sections", "model", "words", "actions", "web"},
    "web": {"problems", "isolated", "units", "model", "words", "reports", "actions"},
    "rack": {"problems", "isolated", "unfinished", "units", "sections", "model"},
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
    "distributed": {"planning/cluster.py"},
    "starlette": {"web"},
    "itsdangerous": {"web"},
    "tomlkit": {"writing"},
    "uvicorn": {"web"},
    "jinja2": {"web"},
}
"""Outside libraries and the only rooms, or files, that may know them."""


def room(path: Path) -> str:
    """The room a file belongs to; blank for the package's own face."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py").replace("__init__", "")


def every_import() -> Iterator[tuple[Path, str, int]]:
    for path in modules():
        for name, line in imports(path):
            yield path, name, line


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
    assert against_order("reports", "planning")
    assert not against_order("planning", "solving")


def test_imports_run_one_way() -> None:
    wrong = []
    for path, name, line in every_import():
        top, _, rest = name.partition(".")
        imported = rest.split(".")[0]
        known = any(imported in rooms for rooms in ORDER)
        if top == "cutplan" and known and against_order(room(path), imported):
            wrong.append(f"{path.relative_to(ROOT)}:{line}: {room(path)} imports {name}")
    assert not wrong, "\n".join(wrong)


def module_name(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imports_within(paths: Iterable[Path]) -> dict[str, set[str]]:
    """Which of some modules each of them imports, inside functions too."""
    names = {module_name(path) for path in paths}
    found = {name: set[str]() for name in names}
    for path in paths:
        for name, _ in imports(path):
            imported = name if name in names else name.rpartition(".")[0]
            if imported in names and imported != module_name(path):
                found[module_name(path)].add(imported)
    return found


def test_no_room_has_a_circle_between_its_modules() -> None:
    """A room can be read from its lowest module up."""
    for _, paths in groupby(modules(), key=room):
        in_order = TopologicalSorter(imports_within(list(paths))).static_order()
        assert list(in_order), "CycleError names the modules of a circle"


def test_a_circle_is_seen() -> None:
    with pytest.raises(CycleError):
        list(TopologicalSorter({"a": {"b"}, "b": {"a"}}).static_order())


def test_every_name_that_is_offered_is_there() -> None:
    faces = [path for path in modules() if "__all__ = [" in text(path)]
    assert faces
    for face in (importlib.import_module(module_name(path)) for path in faces):
        assert [name for name in face.__all__ if not hasattr(face, name)] == [], face.__name__


def test_outside_libraries_have_one_user() -> None:
    wrong, seen = [], set()
    for path, name, line in every_import():
        places = {path.relative_to(PACKAGE).parts[0], path.relative_to(PACKAGE).as_posix()}
        top = name.split(".")[0]
        seen.add(top)
        if top in USERS and not places & USERS[top]:
            wrong.append(f"{path.relative_to(ROOT)}:{line}: {top} is for {sorted(USERS[top])}")
    assert not wrong, "\n".join(wrong)
    assert set(USERS) <= seen, "each is imported where it may be"


def test_every_dependency_is_imported() -> None:
    """And nothing is imported that pip would not bring along."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [each for extra, needed in project["optional-dependencies"].items() if extra != "test" for each in needed]
    declared = {re.split("[<>=]", each)[0].replace("-", "_") for each in [*project["dependencies"], *extras]}
    declared -= {"python_multipart"}  # starlette reads forms with it
    outside = {name.split(".")[0] for _, name, _ in every_import()} - {"cutplan", *sys.stdlib_module_names}
    assert outside == declared


def test_only_the_command_that_serves_knows_of_the_bench() -> None:
    """All else works where the extra ``web`` was left out."""
    users = {
        path.relative_to(PACKAGE).as_posix()
        for path, name, _ in every_import()
        if name.startswith("cutplan.web") and room(path) != "web"
    }
    assert users == {"cli/serve_commands.py"}


def needs_test_file(path: Path) -> bool:
    """A package's face counts as a module when it defines something itself."""
    if path.name != "__init__.py":
        return True
    return any(found(r"^ *((?:def|class) \w+)", path))


def test_no_two_modules_have_one_name() -> None:
    """So that a name in a message, a test or a search means one file."""
    stems = Counter(path.stem for path in modules() if path.name != "__init__.py")
    assert [stem for stem, times in stems.items() if times > 1] == []


def test_every_module_has_a_test_file() -> None:
    """Named after it, after it and its room, or after the folder whose face it is."""
    tests = {path.name for path in (ROOT / "tests").rglob("test_*.py")}
    missing = []
    for path in filter(needs_test_file, modules()):
        stem = path.parent.name if path.name == "__init__.py" else path.stem
        accepted = {f"test_{stem}.py", f"test_{room(path)}_{stem}.py"}
        if not accepted & tests:
            missing.append(f"{path.relative_to(ROOT)}: none of {sorted(accepted)}")
    assert not missing, "\n".join(missing)


def test_the_gate_to_a_plan_file_is_its_only_reader() -> None:
    """What turns a file into a plan is used in one module of the actions, and by no other room."""
    users = set()
    for path in modules():
        names = {name for name, _ in found(r"\bplanfile\.(\w+)\b", path)}
        names |= {each.name.rpartition(".")[2] for each in imports(path) if each.name.startswith("cutplan.planfile")}
        if {"read_document", "from_document"} & names and path.parent.name != "planfile":
            users.add(path.relative_to(PACKAGE).as_posix())
    assert users == {"actions/checked.py"}
