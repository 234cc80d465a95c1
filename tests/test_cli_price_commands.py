"""The command ``prices``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import document, run


def test_the_command_says_what_to_do_next(parts: str) -> None:
    result = run("prices", parts, "--merchant", "Yard")
    assert result.exit_code == 0, result.output
    assert result.stdout == (
        "Fill in frame-prices.xlsx and save it, then: cutplan plan frame.csv --prices frame-prices.xlsx\n"
    )
    bad = run("prices", "none.csv")
    assert bad.exit_code == 1
    assert "no such file" in bad.stderr


def test_an_enquiry_to_each_merchant(parts: str) -> None:
    result = run("prices", parts, "--apart", "--sold", "--out", "ask")
    assert result.exit_code == 0, result.output
    assert result.stdout == "Written: ask/frame-enquiry-yard.xlsx, ask/frame-enquiry-yard.txt\n"
    assert run("prices", parts, "--apart", "--out", "ask").exit_code == 1, "they are there already"
    values = document(run("prices", parts, "--apart", "--merchant", "Dock", "--json"))
    assert values == {"written": ["frame-enquiry-dock.xlsx", "frame-enquiry-dock.txt"]}


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--sold",), ("--sold", "it goes with --apart")),
        (("--prices", "prices.csv"), ("--prices", "it goes with --apart")),
        (("--apart", "--last"), ("--last", "without --apart")),
        (("--apart", "--out", "form.xlsx"), ("--out", "it is a folder")),
        (("--apart", "--out", "prices.csv"), ("--out", "it is a folder")),
    ],
)
def test_options_that_would_not_be_used_are_refused(
    options: tuple[str, ...], said: tuple[str, ...], parts: str
) -> None:
    before = sorted(Path().iterdir())
    result = run("prices", parts, *options)
    assert result.exit_code == 2
    assert all(words in result.stderr for words in said), result.stderr
    assert sorted(Path().iterdir()) == before
