"""Codes of refusals: words that programs can hold on to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from cutplan.problem_codes import CODES
from cutplan.problems import Problem, Refused
from cutplan.reading.workshop.workshop_keys import KEYS
from tests import codes_made
from tests.source_code import PACKAGE, ROOT, found, modules

_CODE = r"(?:\bcode(?:: str)? ?= ?|\bAssumption\(\s*)\"([^\"]*)\""
"""What follows ``code=`` in a call that refuses or warns, or in a function as what it gives otherwise."""


def codes_in_the_package() -> Iterator[tuple[str, str]]:
    """Every code of a refusal, warning or assumption, with its place."""
    for path in modules():
        if path.parent == PACKAGE / "reports" / "paper":  # a label's code is another thing
            continue
        for code, line in found(_CODE, path):
            yield code, f"{path.relative_to(ROOT)}:{line}"


def test_every_code_in_the_package_is_registered() -> None:
    wrong = [f"{place}: {code}" for code, place in codes_in_the_package() if code not in CODES]
    assert not wrong, "\n".join(wrong)


def test_every_registered_code_is_in_the_package() -> None:
    assert set(CODES) - {code for code, _ in codes_in_the_package()} == set()


def test_a_code_is_a_subject_and_a_word() -> None:
    assert [code for code in CODES if not re.fullmatch(r"[a-z_]+\.[a-z_0-9]+", code)] == []


def test_every_code_says_when_and_what_is_accepted() -> None:
    for code, about in CODES.items():
        for words in (about.when, about.accepted):
            assert words.strip(" .") == words != "", code


def test_codes_that_a_run_made_are_held_against_the_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(codes_made, "made", set(CODES) - {"length.comma"})
    codes_made.keep(tmp_path / "codes.txt")
    assert codes_made.never_made(tmp_path / "codes.txt") == ["length.comma"]


def test_a_problem_has_the_code_of_its_refusal() -> None:
    problem = Problem.at("parts.csv, row 2", Refused("1,200", "millimetres", code="length.comma"))
    assert problem.code == "length.comma"
    assert "length.comma" not in str(problem), "texts for people stay as they are"


def test_keys_that_a_code_names_are_keys_of_the_workshop_file() -> None:
    named = {key for about in CODES.values() for key in re.findall(r"`([a-z_]+\.[a-z_<>]+)`", about.accepted)}
    assert named
    assert {key.replace("<family>", "SHS") for key in named} <= set(KEYS)
