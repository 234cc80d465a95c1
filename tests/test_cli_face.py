"""The command itself: its version, wrong usage."""

from __future__ import annotations

import pytest

from tests.commands import document, run


def test_version() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout.split()[0]) == (0, "cutplan")


@pytest.mark.parametrize(
    "words", [[], ["plan"], ["plan", "x.csv", "--colour"], ["cut"], ["plan", "x", "--time-limit", "0"]]
)
def test_wrong_usage(words: list[str]) -> None:
    assert run(*words).exit_code == 2


@pytest.mark.parametrize(
    ("words", "found", "command"),
    [
        (["plan"], "Missing argument 'PARTS'.", "cutplan plan"),
        (
            ["plan", "x.csv", "--colour"],
            "No such option: --colour (Possible options: --cluster, --out)",
            "cutplan plan",
        ),
        (["cut"], "No such command 'cut'.", "cutplan"),
        (["rack", "count", "B2", "--place", "x"], "No such option: --place", "cutplan rack count"),
        (["section"], "Invalid value for SECTION: one of SECTION and --family", "cutplan section"),
    ],
)
def test_wrong_usage_as_json(words: list[str], found: str, command: str) -> None:
    result = run(*words, "--json")
    (problem,) = document(result)["problems"]
    assert (result.exit_code, problem["where"]) == (2, "command line")
    assert (problem["found"], problem["accepted"]) == (found, f"what {command} --help says")


def test_exit_codes_stay_under_json(parts: str) -> None:
    codes = [
        run(*words, "--json").exit_code
        for words in (["check", parts], ["check", "nowhere.csv"], ["section", "SHS 40x40"])
    ]
    assert codes == [0, 1, 1]
