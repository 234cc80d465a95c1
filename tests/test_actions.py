"""What a person can do, found by its name and loaded when it is first asked for."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from cutplan import actions


def test_no_module_of_the_room_has_the_name_of_an_action() -> None:
    """It would stand in the place of the action once it is loaded."""
    assert {path.stem for path in Path(actions.__file__).parent.glob("*.py")}.isdisjoint(actions.__all__)


def test_nothing_else_is_offered() -> None:
    with pytest.raises(AttributeError, match=r"module 'cutplan\.actions' has no attribute 'cut'"):
        _ = actions.cut  # type: ignore[attr-defined]


def test_an_action_is_loaded_when_it_is_asked_for_and_no_other_is() -> None:
    script = (
        "import sys; from cutplan import actions; s = lambda: [name for name in sys.modules if 'actions.s' in name]; "
        "print(s()); actions.brace; print(s())"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["[]", "['cutplan.actions.sums']"]
