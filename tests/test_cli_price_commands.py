"""The command ``prices``."""

from __future__ import annotations

from tests.commands import run


def test_the_command_says_what_to_do_next(parts: str) -> None:
    result = run("prices", parts, "--merchant", "Yard")
    assert result.exit_code == 0, result.output
    assert result.stdout == (
        "Fill in frame-prices.xlsx and save it, then: cutplan plan frame.csv --prices frame-prices.xlsx\n"
    )
    bad = run("prices", "none.csv")
    assert bad.exit_code == 1
    assert "no such file" in bad.stderr
