"""The workshop file: where it is looked for, and what it comes to as a whole."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cutplan.model import Workshop
from cutplan.problems import ProblemsFound
from cutplan.reading.workshop.workshop_file import find_workshop
from tests.input_files import workshop_of


def test_paper_follows_the_unit_unless_said(tmp_path: Path) -> None:
    for text, paper in (
        ('[workshop]\nunit = "in"', "Letter"),
        ('[workshop]\nunit = "mm"', "A4"),
        ("", "A4"),
        ('[workshop]\nunit = "in"\npaper = "A4"', "A4"),
        ('[workshop]\npaper = "letter"', "Letter"),
    ):
        assert workshop_of(tmp_path, text)[0].workshop.paper == paper, text


@pytest.mark.parametrize("text", ["", "# nothing set\n", "\ufeff[saw]\n"])
def test_nothing_set_is_all_defaults(text: str, tmp_path: Path) -> None:
    shop, problems = workshop_of(tmp_path, text)
    assert not problems
    assert shop.workshop == Workshop()
    assert not shop.given


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("[saw]\nkerf = 6.5 m\n", "workshop.toml, line 2"),
        ("[saw]\nkerf = 1\nkerf = 2\n", "workshop.toml, line 3"),
        ("[saw\n", "workshop.toml, line 1"),
        (b"name = '\xff'", "workshop.toml, line 1"),
    ],
)
def test_no_toml(text: str | bytes, where: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        workshop_of(tmp_path, text)
    (problem,) = found.value.problems
    assert problem.where.startswith(where)
    assert "TOML" in problem.accepted


@pytest.mark.parametrize(
    ("text", "found", "hint"),
    [
        ('[keep]\nSHS = "1 m"\n[keep]\nFL = "1 m"\n', "[keep] again, as in line 1", "below the heading that is there"),
        ('[keep]\nSHS = "1 m"\n\nSHS = "2 m"\n', '"SHS" again, as in line 2', "keep one of the two lines"),
    ],
)
def test_lines_pasted_below_the_others_are_told_where_they_go(text: str, found: str, hint: str, tmp_path: Path) -> None:
    """As a season advises them, for a file that has their heading or their key by then."""
    with pytest.raises(ProblemsFound) as refused:
        workshop_of(tmp_path, text)
    (problem,) = refused.value.problems
    assert problem.found == found
    assert hint in problem.hint


@pytest.mark.parametrize(
    "number", ["0x" + "f" * 30_000, "9" * 30_000, "9" * 30, "-9223372036854775809", "0b1" + "0" * 63]
)
@pytest.mark.parametrize("text", ["[saw]\nkerf = {}\n", "other = [[{}]]\n", "[[merchant]]\nname = {}\n"])
def test_a_number_of_more_than_64_bits(text: str, number: str, tmp_path: Path) -> None:
    """TOML 1.0.0, "Integer": 64-bit signed integers; what cannot be represented is an error."""
    with pytest.raises(ProblemsFound) as found:
        workshop_of(tmp_path, text.format(number))
    (problem,) = found.value.problems
    assert problem.where == "workshop.toml"
    assert re.search("where 64 (bits )?are the most", problem.found)
    assert "sys." not in problem.found
    assert len(str(problem)) < 600


def test_trim_of_one_kerf_or_none_is_accepted(tmp_path: Path) -> None:
    for text in (
        "end_trim = 3\nkerf = 3",
        "end_trim = 0\nkerf = 3",
        "end_trim = 1\nkerf = 3\nend_trim_includes_cut = false",
    ):
        assert not workshop_of(tmp_path, f"[saw]\n{text}\n")[1]


def make(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("", encoding="utf-8")
    return path


def test_nearest_folder_upwards(tmp_path: Path) -> None:
    make(tmp_path / "workshop.toml")
    near = make(tmp_path / "jobs" / "workshop-inch.toml")
    parts = make(tmp_path / "jobs" / "gate" / "parts.csv")
    assert find_workshop(parts, None) == near
    assert find_workshop(parts, tmp_path / "workshop.toml") == tmp_path / "workshop.toml"


def test_two_in_one_folder_are_both_named(tmp_path: Path) -> None:
    for name in ("workshop.toml", "workshop-inch.toml"):
        make(tmp_path / "jobs" / name)
    with pytest.raises(ProblemsFound) as found:
        find_workshop(make(tmp_path / "jobs" / "gate" / "parts.csv"), None)
    assert str(found.value) == (
        'folder "jobs": found 2 workshop files, "workshop-inch.toml" and "workshop.toml".\n'
        "Accepted: one of them.\nhint: name the one meant with --workshop"
    )


def test_a_folder_of_that_name_is_no_workshop_file(tmp_path: Path) -> None:
    make(tmp_path / "workshop.toml")
    (tmp_path / "jobs" / "workshop.toml").mkdir(parents=True)
    assert find_workshop(make(tmp_path / "jobs" / "parts.csv"), None) == tmp_path / "workshop.toml"


def test_a_name_no_system_has() -> None:
    assert find_workshop(Path("a\0b"), None) is None


def test_a_link_to_nowhere_is_not_passed_over(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").symlink_to(tmp_path / "gone.toml")
    assert find_workshop(make(tmp_path / "parts.csv"), None) == tmp_path / "workshop.toml"
