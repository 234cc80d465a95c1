"""Commands that read a parts list share the options that say what belongs to it."""

from __future__ import annotations

import inspect
from pathlib import Path

import pytest

from cutplan.cli.compare_commands import compare
from cutplan.cli.on_list import BESIDE, Beside, with_beside
from cutplan.cli.plan_commands import check, plan, verify
from cutplan.cli.start_commands import convert
from tests.commands import run


@pytest.mark.parametrize("command", [plan, check, verify, compare, convert])
def test_every_command_that_reads_a_list_has_all_of_them(command: object) -> None:
    assert callable(command)
    names = list(inspect.signature(command).parameters)
    first = names.index("workshop")
    assert names[first : first + len(BESIDE)] == list(BESIDE)


def test_a_command_is_given_what_was_said_and_no_more() -> None:
    given: list[tuple[str, Beside]] = []

    def command(parts: str, beside: Beside, last: int = 1) -> None:
        """Say so."""
        given.append((parts, beside))

    made = with_beside(command)
    assert list(inspect.signature(made).parameters) == ["parts", *BESIDE, "last"]
    assert made.__doc__ == "Say so."
    said = {"prices": Path("p.csv"), "times": 3}
    made(parts="a.csv", **{name: said.get(name, unsaid) for name, (_, unsaid) in BESIDE.items()})
    assert given == [("a.csv", said)]


def test_a_list_whose_title_says_a_number_can_be_converted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answer that its refusal gives is one the command takes."""
    monkeypatch.chdir(tmp_path)
    Path("gate.csv").write_text("Gate, 2 off,,,\nMark,Qty,Section,Length\nA,2,SHS 40x40x3,1200\n")
    said = ("convert", "gate.csv", "--stock", "6 m")
    asked = run(*said)
    assert (asked.exit_code, "--times 2" in asked.output) == (1, True)
    assert run(*said, "--times", "2").exit_code == 0
    assert Path("gate.xlsx").exists()
