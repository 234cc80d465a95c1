"""Tables and pictures as files: the ending says the form."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.actions.table_files import with_ending, write_as
from cutplan.problems import ProblemsFound

FORMS = {".csv": lambda: b"a,b", ".svg": lambda: b"<svg/>"}


def test_the_ending_says_the_form(tmp_path: Path) -> None:
    assert write_as(tmp_path / "deeper/year.SVG", FORMS).read_bytes() == b"<svg/>"
    assert [path.name for path in (tmp_path / "deeper").iterdir()] == ["year.SVG"]


def test_another_ending_is_refused_where_it_was_named() -> None:
    with pytest.raises(ProblemsFound) as refused:
        with_ending(Path("year.pdf"), FORMS, "--table")
    (problem,) = refused.value.problems
    assert (problem.where, problem.accepted) == ("--table", "a name that ends in .csv or .svg")


def test_a_place_that_cannot_be_written_keeps_what_is_there(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("kept")
    with pytest.raises(ProblemsFound, match="cannot be written"):
        write_as(tmp_path / "file" / "year.csv", FORMS)
    assert (tmp_path / "file").read_text() == "kept"
