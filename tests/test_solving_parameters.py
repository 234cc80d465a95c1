"""Every constant of the search stands in one dataclass, is explained there, comes from TOML, and is passed down."""

from __future__ import annotations

import ast
from dataclasses import FrozenInstanceError, fields
from pathlib import Path

import pytest

from cutplan.problems import Refused
from cutplan.solving.parameters import Parameters, read_parameters

SOLVING = Path(__file__).parent.parent / "cutplan" / "solving"

ARITHMETIC = {
    "MOST_SETS",
    "FEW_SETS",
    "MOST_CELLS",
    "MOST_KEPT",
    "SMALLEST",
    "BLOCK",
    "MOST_LACKING",
    "MOST_OVER",
    "_ANY",
    "SCARCER",
    "MOST_SUMS",
    "MOST_STATES",
    "MOST_VERTICES",
    "NO_SET",
    "LARGEST",
    "LARGEST_TOTAL",
    "LONGEST_SOLVE",
    "MOST_ON_A_PIECE",
    "MOST_PIECES",
    "MOST_SUMMED",
    "MOST_SEARCHED",
}
"""What keeps sums within 64 bits, tables within memory, sets of states finite, and the clock of a library in its range.

``MOST_SUMMED`` keeps sums of all subsets few, ``MOST_SEARCHED`` a search within the depth of calls that Python allows.
``SCARCER`` is a name for a hand, and ``_ANY`` for a state.
"""


def modules() -> list[Path]:
    return sorted(path for path in SOLVING.rglob("*.py") if path.name != "parameters.py")


def test_they_are_the_same_for_everybody() -> None:
    assert all(getattr(Parameters(), field.name) > 0 for field in fields(Parameters))
    with pytest.raises(FrozenInstanceError):
        Parameters().nodes = 1  # type: ignore[misc]


def test_each_is_explained_with_its_source() -> None:
    (declared,) = (
        node for node in ast.parse((SOLVING / "parameters.py").read_text()).body if isinstance(node, ast.ClassDef)
    )
    explained = {}
    for field, text in zip(declared.body, declared.body[1:], strict=False):
        if isinstance(field, ast.AnnAssign) and isinstance(text, ast.Expr):
            explained[ast.unparse(field.target)] = ast.literal_eval(text.value)
    assert explained.keys() == {field.name for field in fields(Parameters)}
    assert all(text.rstrip("]").rstrip(" [s").endswith((".", ")")) for text in explained.values())


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.name)
def test_no_other_module_keeps_a_number(path: Path) -> None:
    kept = {
        ast.unparse(target)
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if any(isinstance(part, ast.Constant) and isinstance(part.value, int | float) for part in ast.walk(node.value))
    }
    assert kept <= ARITHMETIC


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.name)
def test_they_are_passed_down(path: Path) -> None:
    """No module makes parameters of its own, so that what is set at the top holds everywhere."""
    calls = [node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    assert not [call for call in calls if ast.unparse(call.func) == "Parameters"]


def written(folder: Path, text: str) -> Path:
    path = folder / "search.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_file_sets_what_it_names(tmp_path: Path) -> None:
    found = read_parameters(written(tmp_path, "nodes = 7\nroot_effort = 2\nfinished_again = 0.25\n"))
    assert found == Parameters(nodes=7, root_effort=2.0, finished_again=0.25)
    assert isinstance(found.root_effort, float)
    assert read_parameters(written(tmp_path, "")) == Parameters()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("noodes = 7", 'found "noodes". Accepted: a parameter of the search, such as nodes = 100'),
        ("nodes = 7.5", 'found "nodes = 7.5". Accepted: a whole number of 0 or more, such as 100'),
        ("nodes = true", 'found "nodes = True". Accepted: a whole number of 0 or more, such as 100'),
        ("nodes = -1", 'found "nodes = -1". Accepted: a whole number of 0 or more, such as 100'),
        ('root_effort = "2"', 'found "root_effort = 2". Accepted: 0 or more, such as 0.5'),
        ("root_effort = nan", 'found "root_effort = nan". Accepted: 0 or more, such as 0.5'),
        ("nodes", 'found "search.toml". Accepted: a TOML file of lines such as nodes = 100'),
    ],
)
def test_what_is_no_parameter_is_refused(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(Refused) as refused:
        read_parameters(written(tmp_path, text))
    assert str(refused.value) == message


def test_below_nothing_is_no_parameter() -> None:
    with pytest.raises(ValueError, match="nodes is -1; 0 or more is accepted"):
        Parameters(nodes=-1)
