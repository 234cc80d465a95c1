"""The command ``section`` in words, and what it refuses."""

from __future__ import annotations

import pytest

from tests.commands import document, run


def test_section_in_words(parts: str) -> None:
    result = run("section", "40 x 40 x 3.0 SHS", "--length", "6.5 m")
    assert result.exit_code == 0, result.output
    assert "SHS 40x40x3 (square hollow section) to EN 10219-2" in result.stdout
    assert "420.8 mm2" in result.stdout
    assert "3.303 kg/m at 7850 kg/m3" in result.stdout
    assert "weighs 21.47 kg" in result.stdout
    assert "source" in result.stdout
    assert "not in the size lists" not in result.stdout


def test_section_to_another_standard_and_not_listed(parts: str) -> None:
    hot = document(run("section", "SHS 40x40x3", "--standard", "EN 10210-2", "--json"))
    assert hot["standard"] == "EN 10210-2"
    odd = run("section", "SHS 41x41x3")
    assert odd.exit_code == 0, odd.output
    assert "not in the size lists here for this standard" in odd.stdout


@pytest.mark.parametrize(
    ("words", "where"), [(["SHS 30x30"], "section"), (["SHS 40x40x3", "--length", "1,200"], "--length")]
)
def test_section_refused(words: list[str], where: str, parts: str) -> None:
    result = run("section", *words, "--json")
    assert result.exit_code == 1
    (problem,) = document(result)["problems"]
    assert problem["where"] == where
    assert set(problem) == {"where", "found", "accepted", "hint"}
