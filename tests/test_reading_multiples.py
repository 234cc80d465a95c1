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
        ("SHS 40 x 40 x 3",),
        ("A1", 4, SHS, 1200, "frame"),
        ("Lengths are millimetres such as 1200.",),
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
