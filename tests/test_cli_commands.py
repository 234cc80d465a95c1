"""Every command is loaded, none twice, and listed in the order of use."""

from __future__ import annotations

from typing import Any

import typer

from cutplan.cli.commands import app
from cutplan.cli.face import IN_ORDER


def test_all_commands_are_there() -> None:
    group: Any = typer.main.get_command(app)
    assert tuple(group.list_commands(None)) == IN_ORDER
