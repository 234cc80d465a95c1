"""What is stamped on each copy: one text, or as many as the quantity."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import planfile
from cutplan.planning import plan_job
from cutplan.problems import Refused
from cutplan.reading.lists.stamps import joined_stamps
from cutplan.reports.rows import rows_of
from tests.input_files import job_of, refusal

HEADINGS = ("Mark", "Quantity", "Section", "Length", "Stamp", "Assembly", "Spares", "Opposite hand")


def line(quantity: int, stamp: str, *other: Any) -> tuple[Any, ...]:
    return ("A", quantity, "SHS 40x40x3", 900, stamp, *other)


@pytest.mark.parametrize(
    ("lines", "stamps"),
    [
        ([line(3, "RK; JM; TP")], ("RK", "JM", "TP")),
        ([line(3, "RK;  JM 2;")], ("RK", "JM 2", "")),
        ([line(3, "North")], ("North",)),
        ([line(3, "")], ()),
        ([line(1, "RK")], ("RK",)),
        ([line(3, "RK; JM; TP", "", "1 bought")], ("RK", "JM", "TP", "")),
        ([line(2, "RK; JM", "gate"), ("gate", 2, "assembly", "", "", "gate")], ("RK", "JM", "RK", "JM")),
        ([line(2, "RK; JM"), line(1, "TP"), line(1, "")], ("RK", "JM", "TP", "")),
        ([line(2, "RK"), line(1, "RK")], ("RK",)),
        ([line(1, ""), line(1, "")], ()),
    ],
)
def test_stamps(lines: list[tuple[Any, ...]], stamps: tuple[str, ...], tmp_path: Path) -> None:
    job = job_of(tmp_path, (HEADINGS, *lines))
    (part,) = job.parts
    assert part.stamps == stamps
    plan = plan_job(job)
    read_back, _ = planfile.from_document(planfile.to_document(job, plan))
    assert read_back.parts[0].stamps == stamps


def test_one_text_is_for_the_opposite_hand_too(tmp_path: Path) -> None:
    job = job_of(tmp_path, (HEADINGS, line(2, "North", "", "", 1)))
    assert [(part.mark, part.stamps) for part in job.parts] == [("A", ("North",)), ("A-OH", ("North",))]


@pytest.mark.parametrize(
    ("lines", "found", "accepted"),
    [
        ([line(3, "RK; JM")], "2 texts for a quantity of 3", "one text for all, or 3 with semicolons between"),
        ([line(2, "RK; JM; TP")], "3 texts for a quantity of 2", "one text for all, or 2 with semicolons between"),
        (
            [line(2, "RK; JM", "", "", 1)],
            "2 texts beside an opposite hand",
            "one text, or the opposite hand in a row of its own",
        ),
        (
            [line(2, "RK; JM"), line(1, "TP", "", "", 1)],
            "3 texts beside an opposite hand",
            "one text, or the opposite hand in a row of its own",
        ),
    ],
)
def test_another_number_than_the_quantity_is_refused(
    lines: list[tuple[Any, ...]], found: str, accepted: str, tmp_path: Path
) -> None:
    row = len(lines) + 1
    assert refusal(tmp_path, (HEADINGS, *lines)) == (
        f'parts.csv, row {row}, column E "Stamp": found {found}.\nAccepted: {accepted}.'
    )


def test_the_parts_sheet_shows_them(tmp_path: Path) -> None:
    job = job_of(tmp_path, ((*HEADINGS, "Note"), line(2, "RK; JM", "", "", "", "left side")))
    (row,) = rows_of(job, plan_job(job)).parts
    assert row.note == "left side. stamp RK; JM"


def test_rows_put_together() -> None:
    assert joined_stamps([((), 2, 0), ((), 1, 0)]) == ()
    assert joined_stamps([((), 10**12, 0), ((), 1, 0)]) == (), (
        "a mark in 100,000 rows took minutes, a text for each copy"
    )
    assert joined_stamps([(("A",), 2, 1), (("A",), 1, 0)]) == ("A",)
    assert joined_stamps([(("A",), 2, 0), ((), 1, 0)]) == ("A", "A", "")
    with pytest.raises(Refused):
        joined_stamps([(("A",), 1, 0), (("B",), 1, 1)])


def test_told_together_with_what_else_is_wrong_in_the_row(tmp_path: Path) -> None:
    """All that is wrong with a row in one go: the list comes back once."""
    rows = (HEADINGS, ("A", 3, "SHS 40x40", 900, "RK; JM"), ("B", 2, "FL 50x6", "9OO", "a; b; c"))
    told = refusal(tmp_path, rows)
    for number, found in ((2, 'found "SHS 40x40"'), (3, 'found "9OO"')):
        assert f'row {number}, column E "Stamp"' in told
        assert found in told
    assert "2 texts for a quantity of 3" in told
    assert "3 texts for a quantity of 2" in told
