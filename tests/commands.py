"""Running commands: in this process, or the installed command in one of its own."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

from typer import testing
from typer.testing import CliRunner, Result

from cutplan.cli.commands import app

# Else the runner would build all commands with all their options anew for each one that is run: a tenth of all tests.
vars(testing)["_get_command"] = cache(vars(testing)["_get_command"])

PARTS = "Mark,Quantity,Section,Length\nA,4,SHS 40x40x3,1200\nB,2,SHS 40x40x3,850\n"
PRICES = "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\nYard,SHS 40x40x3,3000,19.80,each\n"


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def document(result: Result) -> dict[str, Any]:
    loaded = json.loads(result.stdout)
    assert isinstance(loaded, dict)
    return loaded


def command(*words: str, **settings: Any) -> subprocess.CompletedProcess[Any]:
    """The installed command, in a process of its own; its output is text unless stated otherwise."""
    program = str(Path(sys.executable).with_name("cutplan"))
    settings = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True, **settings}
    return subprocess.run([program, *words], check=False, **settings)
