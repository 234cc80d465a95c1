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


@pytest.mark.usefixtures("parts")
@pytest.mark.parametrize(
    ("words", "where", "found"),
    [
        (["rack", "add", "SHS 40x40x3", "-5"], "LENGTH", "-5"),
        (["rack", "add", "SHS 40x40x3", "-1240.5", "--quantity", "2"], "LENGTH", "-1240.5"),
        (["rack", "add", "--quantity", "2", "SHS 40x40x3", "-.5 m"], "LENGTH", "-.5 m"),
        (["spacing", "-800", "--count", "3"], "distance", "-800"),
        (["brace", "-1000 x 800", "--depth", "40"], "opening", "-1000 x 800"),
    ],
)
def test_a_length_below_zero_is_refused_as_a_length(words: list[str], where: str, found: str) -> None:
    result = run(*words)
    assert result.exit_code == 1
    assert result.stderr.startswith(f'{where}: found "{found}".\nAccepted: ')
    assert result.stderr.endswith("hint: a length is more than 0\n")
    (problem,) = document(run(*words, "--json"))["problems"]
    assert (problem["where"], problem["found"], problem["code"]) == (where, found, "length.zero")


@pytest.mark.usefixtures("parts")
def test_a_length_below_zero_that_a_piece_comes_back_with_is_refused_as_a_length() -> None:
    run("rack", "add", "SHS 40x40x3", "1240")
    run("rack", "take", "A1")
    result = run("rack", "return", "A1", "-5")
    assert result.exit_code == 1
    assert 'found "-5"' in result.stderr
    assert "hint: a length is more than 0" in result.stderr


@pytest.mark.parametrize(
    "words",
    [
        ["rack", "add", "SHS 40x40x3", "1240", "--colour"],
        ["rack", "add", "SHS 40x40x3", "1240", "-x"],
        ["rack", "add", "SHS 40x40x3", "-5", "--colour", "red"],
        ["spacing", "-5", "-x"],
    ],
)
def test_an_option_that_is_not_known_stays_wrong_usage_beside_a_length(words: list[str]) -> None:
    result = run(*words)
    assert result.exit_code == 2
    assert words[-1] in result.stderr
