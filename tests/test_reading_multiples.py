"""Titles that say how many are made are asked about, and the whole list is made as often as is said."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from tests.input_files import job_of, refusal, write_xlsx

SHS = "SHS 40x40x3"
H = ("Mark", "Quantity", "Section", "Length", "Assembly", "Opposite hand")
ROWS = (H, ("A", 2, SHS, 1200, "", ""), ("B", 3, SHS, 900, "leaf", 1), ("", 4, "assembly", "", "leaf", ""))


@pytest.mark.parametrize(
    ("title", "times"),
    [
        (("Bench, 6 off",), 6),
        (("Bench", "", "six-off"), 6),
        (("Potting bench x 6",), 6),
        (("6 x bench frame",), 6),
        (("Qty: 12",), 12),
        (("No. off", 3), 3),
        (("Make 4 sets",), 4),
        (("bench no. 7, 2 nos",), 2),
        (("Welding bench, run of 6 - cut list",), 6),
        (("batch of four",), 4),
        (("Bench (x 6)",), 6),
        (("x6 Bench",), 6),
        (("x 6",), 6),
        (("Bench * 6",), 6),
        (("Bench x 6 units",), 6),
        (("Units: 6",), 6),
        (("Bench, six required",), 6),
        (("6 pcs",), 6),
        (("Bench, 6 pieces",), 6),
        (("Quantity:", "six"), 6),
        (("6 benches",), 6),
        (("6 Benches",), 6),
        (("Six potting benches",), 6),
        (("Cut list for 6 benches",), 6),
        (("pair",), 2),
        (("Gate, a pair",), 2),
        (("Pair of gates, 3 m opening",), 2),
        (("Hinges for a pair of gates",), 2),
        (("Gates (pair)",), 2),
        (("2 pairs",), 4),
        (("Gates, two pair",), 4),
        (("a dozen",), 12),
        (("2 dozen stools",), 24),
        (("half a dozen",), 6),
        (("Dozen of stools",), 12),
    ],
)
def test_a_title_that_says_a_number_is_asked_about(title: tuple[Any, ...], times: int, tmp_path: Path) -> None:
    told = refusal(tmp_path, (title, *ROWS))
    assert told.startswith("parts.csv, row 1, column ")
    assert f"as if the list were made {times} times" in told
    assert f"Accepted: --times {times} where the list is for one of them, --times 1 where its" in told
    assert [part.quantity for part in job_of(tmp_path, (title, *ROWS), times=1).parts] == [2, 12, 4]


@pytest.mark.parametrize(
    "title",
    [
        ("Gate 2 x 1.5 m",),
        ("Frame 1200 x 800",),
        ("Drawing 6",),
        ("Bench, 1 off",),
        ("Run of 6.5 m",),
        ("No. 6",),
        ("EN 1090 required",),
        ("Certificate EN 10204-3.1 required",),
        ("Units: mm",),
        ("SHS 40 x 40 x 3",),
        ("A1", 4, SHS, 1200, "frame"),
        ("Lengths are millimetres such as 1200.",),
        ("24 parts",),
        ("Total: 24 pcs",),
        ("2 coats",),
        ("12 bolts",),
        ("6 metres",),
        ("2 glass",),
        ("Phase 2 gates",),
        ("Repair of gates",),
        ("1 pc",),
        ("2031 works",),
        ("Gate 1.5 pieces",),
        ("3 Mill Cottages",),
        ("40 angles",),
        ("2 m rails",),
        ("40 mm long legs",),
        ("10 ft rails",),
        ("Rails for 2 m gates",),
        ("6 SHS",),
    ],
)
def test_other_titles_say_nothing(title: tuple[Any, ...], tmp_path: Path) -> None:
    assert [part.quantity for part in job_of(tmp_path, (title, *ROWS)).parts] == [2, 12, 4]


def test_a_list_is_made_as_often_as_is_said(tmp_path: Path) -> None:
    """By hand: 2 each in 6; 3 and one of opposite hand in each of 4 leaves, six times."""
    job = job_of(tmp_path, (("Bench, 6 off",), *ROWS), times=6)
    assert [(part.mark, part.quantity, part.assemblies) for part in job.parts] == [
        ("A", 12, 6), ("B", 72, 24), ("B-OH", 24, 24),
    ]  # fmt: skip
    assert "The list is made 6 times; its quantities are for one." in job.assumed


def test_things_that_are_not_cut_are_made_as_often(tmp_path: Path) -> None:
    hinge = ("hinge", 2, "other", "", "leaf", "")
    job = job_of(tmp_path, (*ROWS, hinge), times=6)
    assert [line.quantity for line in job.others] == [48]


def test_each_sheet_is_asked_about(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "run.xlsx", Gate=(("2 off",), *ROWS), Frame=(H, ("C", 1, SHS, 500, "", "")))
    assert 'run.xlsx, sheet "Gate", row 1, column A: found the title "2 off"' in refusal(tmp_path, path)
    job = actions.read_job(path, stock=["6 m"], times=2)
    assert [part.quantity for part in job.parts] == [4, 24, 8, 2]


GATE = (H[:4], ("A", 2, SHS, 1200), ("", 3, "assembly", ""))
FRAME = (H[:4], ("C", 1, SHS, 500))


def test_one_sheet_of_several_is_made_as_often_as_its_own_row_says(tmp_path: Path) -> None:
    """``--times`` would make the other sheets as often too."""
    path = write_xlsx(tmp_path / "run.xlsx", Gate=(("3 off",), *GATE[:2]), Frame=FRAME)
    told = refusal(tmp_path, path)
    assert 'the title "3 off", as if the sheet were made 3 times' in told
    assert "Accepted: a row with assembly under Section and 3 under Quantity where this sheet alone is for one" in told
    path = write_xlsx(tmp_path / "run.xlsx", Gate=(("3 off",), *GATE), Frame=FRAME)
    assert {part.mark: part.quantity for part in actions.read_job(path, stock=["6 m"]).parts} == {"A": 6, "C": 1}


@pytest.mark.parametrize("name", ["Gate x 3", "3 off gate", "Gate (x3)"])
def test_a_sheet_named_as_a_multiple_is_asked_about(name: str, tmp_path: Path) -> None:
    for others in ({}, {"Frame": FRAME}):
        sheets: dict[str, Any] = {name: GATE[:2], **others}
        path = write_xlsx(tmp_path / "run.xlsx", **sheets)
        told = refusal(tmp_path, path)
        assert told.startswith(f'run.xlsx, sheet "{name}": found the name "{name}", as if the ')
        assert "made 3 times" in told
    sheets = {name: GATE, "Frame": FRAME}
    path = write_xlsx(tmp_path / "run.xlsx", **sheets)
    assert {part.mark: part.quantity for part in actions.read_job(path, stock=["6 m"]).parts} == {"A": 6, "C": 1}


@pytest.mark.parametrize(("times", "told"), [(1, 0), (2, 1), (3, 0)])
def test_a_number_other_than_the_one_said_is_warned_about(times: int, told: int, tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "run.xlsx", Gate=(("3 off",), *GATE[:2]), Frame=FRAME)
    job = actions.read_job(path, stock=["6 m"], times=times)
    warned = [one.found for one in job.warnings if one.code == "list.times_otherwise"]
    assert len(warned) == told
    assert all(text.endswith("as if the sheet were made 3 times, while all is made 2 times") for text in warned)
