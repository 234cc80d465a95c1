"""Files and folders as they are typed: all of them go through one rule, and nothing is written anywhere else."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
import typer

from cutplan.cli.paths import as_path
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")

CLI = Path(__file__).parent.parent / "cutplan/cli"


def test_a_path_is_taken_as_it_is_typed() -> None:
    assert as_path("reports/gate ") == Path("reports/gate ")
    assert as_path(".") == Path()


@pytest.mark.parametrize("text", ["", "  ", "a" * 5000, "/".join(["a" * 200] * 30), "a\0b"])
def test_what_no_file_can_be_called(text: str) -> None:
    with pytest.raises(typer.BadParameter):
        as_path(text)


def test_every_file_and_folder_goes_through_that_rule() -> None:
    """Typer's own reader of paths would take an empty word for the current folder."""
    others, seen = [], 0
    for path in sorted(CLI.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Subscript) and ast.unparse(node.value) == "Annotated":
                assert isinstance(node.slice, ast.Tuple)
                kind, how = (ast.unparse(each) for each in node.slice.elts)
                if "Path" in kind:
                    seen += 1
                    others += [f"{path.name}:{node.lineno}"] * ("parser=as_path" not in how)
    assert others == []
    assert seen > 20


@pytest.mark.parametrize(
    "words",
    [
        ("plan", "frame.csv", "--out", ""),
        ("plan", "frame.csv", "--out="),
        ("plan", ""),
        ("check", "frame.csv", "--workshop", ""),
        ("check", "frame.csv", "--prices", " "),
        ("verify", ""),
        ("labels", "a" * 5000),
        ("plan", "a" * 5000),
        ("plan", "frame.csv", "--out", "a/" * 3000),
        ("convert", "frame.csv", "--out", ""),
        ("rack", "show", "--ledger", ""),
        ("rack", "backup", ""),
    ],
    ids=lambda words: " ".join(word[:9] or "''" for word in words),
)
def test_nothing_is_written_elsewhere(words: tuple[str, ...], parts: str, tmp_path: Path) -> None:
    before = sorted(tmp_path.rglob("*"))
    refused = run(*words)
    assert refused.exit_code == 2, refused.output
    assert "Traceback" not in refused.output
    assert sorted(tmp_path.rglob("*")) == before


def test_it_is_told_as_json_too(parts: str) -> None:
    refused = run("plan", parts, "--out", "", "--json")
    assert refused.exit_code == 2
    (problem,) = document(refused)["problems"]
    assert "name a file or a folder" in problem["found"]
