"""The library face: three functions and a version, and importing it loads nothing large."""

from __future__ import annotations

import subprocess
import sys

import pytest

import cutplan
from cutplan import actions

LARGE = (
    "numpy",
    "pandas",
    "openpyxl",
    "ortools",
    "pint",
    "python_calamine",
    "jsonschema",
    "rich",
    "typer",
    "starlette",
)
ROOMS = ("reading", "drilling", "costing", "solving", "checking", "planfile", "reports", "planning", "writing", "web")
"""Rooms of which no command needs anything before it knows what it is asked."""


def test_the_face_is_the_actions() -> None:
    assert cutplan.read_job is actions.read_job
    assert cutplan.plan is actions.plan
    assert cutplan.verify is actions.verify
    assert cutplan.__version__.count(".") == 2


def test_nothing_else_is_offered() -> None:
    with pytest.raises(AttributeError, match="no attribute 'cut'"):
        _ = cutplan.cut


@pytest.mark.parametrize(
    "statement",
    [
        "import cutplan",
        "from cutplan import plan, read_job, verify",
        "from typer.testing import CliRunner; from cutplan.cli.commands import app; "
        "assert CliRunner().invoke(app, '--help').exit_code == 0",
    ],
)
def test_large_libraries_are_loaded_late(statement: str) -> None:
    allowed = ("typer",) if "typer" in statement else ()
    rooms = (*ROOMS, "sections", "model") if "--help" in statement else ROOMS
    late = (*LARGE, *(f"cutplan.{room}" for room in rooms))
    script = f"{statement}\nimport sys\nprint([name for name in {late!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    loaded = done.stdout.strip().splitlines()[-1]
    assert loaded == str([*allowed])
