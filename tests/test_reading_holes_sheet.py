"""Holes from a sheet of their own and from the column Holes, onto the parts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.model import Hole, Job
from cutplan.problems import Refused
from cutplan.reading import read_job
from cutplan.reading.lists.holes_sheet import CELL_FORMS, DRILLED, DRILLED_FORMS, parse_drilled, parse_face
from cutplan.units import MM
from tests.input_files import job_of, refusal, write_xlsx

H = ("Mark", "Pattern", "Position", "Face", "Across", "Hole", "Drilled", "Note")
P = ("Mark", "Quantity", "Section", "Length", "Holes", "Opposite hand")
LIST: tuple[tuple[Any, ...], ...] = (
    P[:4],
    ("A1", 2, "SHS 40x40x3", 1200),
    ("A2", 2, "SHS 40x40x3", 900),
    ("A3", 1, "RHS 60x40x3", 900),
)


def holes_of(job: Job, mark: str) -> tuple[Hole, ...]:
    return next(part.holes for part in job.parts if part.mark == mark)


def places(job: Job, mark: str) -> list[int]:
    return [hole.position // MM for hole in holes_of(job, mark)]


def test_everything_of_a_row(tmp_path: Path) -> None:
    row = ("A3", "", "100, 2 @ 50", "face 2", 15, "M10 clear", "one wall", "hinge")
    job = job_of(tmp_path, LIST, holes=(H, row))
    assert places(job, "A3") == [100, 150, 200]
    (hole, *_) = holes_of(job, "A3")
    assert (hole.face, hole.across, hole.diameter, hole.through) == (2, 15 * MM, 11 * MM, False)
    assert (hole.name, hole.standard, hole.note, hole.row) == ("M10 clear", "ISO 273, medium", "hinge", 2)
    assert holes_of(job, "A1") == ()
    assert ("holes", "parts-holes.csv") in [(file.role, file.name) for file in job.files]


def test_what_is_left_blank(tmp_path: Path) -> None:
    job = job_of(tmp_path, LIST, holes=((H[0], H[2], H[5]), ("A1", 100, 9), ("A1", 300, "")))
    hole, landing = holes_of(job, "A1")
    assert (hole.face, hole.across, hole.through, hole.landing) == (1, 20 * MM, True, False)
    assert (landing.position, landing.landing) == (300 * MM, True)
    first = next(place for place, told in enumerate(job.assumed) if told.startswith("Positions"))
    assert job.assumed[first : first + 3] == (
        "Positions of holes count from end A, of a mitred end from its long point.",
        "Holes with no face are on face 1: all.",
        "Holes in tube go through both walls where not said: 1 of 2 lines.",
    )


def test_a_sheet_left_empty_drills_nothing(tmp_path: Path) -> None:
    assert all(not part.holes for part in job_of(tmp_path, LIST, holes=(H,)).parts)


def test_several_marks_in_one_row(tmp_path: Path) -> None:
    job = job_of(tmp_path, LIST, holes=(H, ("A1, A2", "", 100, "", "", 9, "", "")))
    assert places(job, "A1") == places(job, "A2") == [100]


def test_a_mark_with_a_comma_is_one_mark(tmp_path: Path) -> None:
    job = job_of(
        tmp_path, (*LIST, ("A1, A2", 1, "SHS 40x40x3", 700)), holes=(H, ("A1, A2", "", 100, "", "", 9, "", ""))
    )
    assert places(job, "A1, A2") == [100]
    assert places(job, "A1") == []


def test_a_pattern_repeats_over_marks_wherever_its_rows_stand(tmp_path: Path) -> None:
    rows = (
        ("A1", "Rail", "", "", "", "", "", ""),
        ("", "rail", "50, 1 @ 700", 1, "", 9, "", ""),
        ("A2; A1", "RAIL", "", "", "", "", "", ""),
        ("", "rail", 400, 2, "", "", "", "post"),
    )
    job = job_of(tmp_path, LIST, holes=(H, *rows[1:]))
    assert places(job, "A1") == places(job, "A2") == [50, 750, 400]
    assert {hole.pattern for hole in holes_of(job, "A2")} == {"rail"}
    twice = refusal(tmp_path, LIST, holes=(H, *rows))
    assert "A1: the hole of 9 mm at 50 mm on face 1 overlaps" in twice, "drilled twice is told"


def test_the_column_holes(tmp_path: Path) -> None:
    cell = "M12 clear, face 2, one wall: 50, 2 @ 75; 9, across 12: 700; landing: 300; Rail"
    parts = (P[:5], ("A1", 2, "SHS 40x40x3", 1200, cell), ("A2", 1, "EA 50x50x5", 900, "9, leg 2, 30 from heel: 60"))
    job = job_of(tmp_path, parts, holes=(H, ("", "Rail", 1000, 4, "", 7, "", "")), prices=None, stock=("6 m",))
    assert [(hole.face, hole.position // MM, hole.across // MM) for hole in holes_of(job, "A1")] == [
        (1, 300, 20),
        (1, 700, 12),
        (2, 50, 20),
        (2, 125, 20),
        (2, 200, 20),
        (4, 1000, 20),
    ]
    assert [hole.through for hole in holes_of(job, "A1")[2:]] == [False, False, False, True]
    assert [(hole.face, hole.across // MM) for hole in holes_of(job, "A2")] == [(2, 30)]


def test_the_opposite_hand_is_drilled_as_the_mirror_shows(tmp_path: Path) -> None:
    parts = (P, ("A1", 2, "SHS 40x40x3", 1200, "9, across 12, one wall: 100; 7, face 2, across 10, one wall: 200", 1))
    job = job_of(tmp_path, parts)
    assert [(h.face, h.position // MM, h.across // MM) for h in holes_of(job, "A1")] == [(1, 100, 12), (2, 200, 10)]
    assert [(h.face, h.position // MM, h.across // MM) for h in holes_of(job, "A1-OH")] == [(2, 200, 30), (3, 100, 28)]
    told = refusal(tmp_path, (P, ("A1", 2, "SHS 40x40x3", 1200, "9: 1199", 1)))
    assert told.count("reaches beyond the part") == 1, "told of the part, not of its mirror image again"
    other = refusal(tmp_path, parts, holes=(H, ("A1-OH", "", 100, "", "", 9, "", "")))
    assert "Accepted: marks of the parts list; an opposite hand follows from its part." in other


def test_units_of_headings(tmp_path: Path) -> None:
    heads = ("Mark", "Position (in)", "Across (in)", "Hole (in)")
    job = job_of(tmp_path, LIST, holes=(heads, ("A1", "2, 3 equal between 4 and 5", "3/4", "3/8")))
    assert [hole.position for hole in holes_of(job, "A1")] == [50_800_000, 101_600_000, 114_300_000, 127_000_000]
    assert {(hole.across, hole.diameter) for hole in holes_of(job, "A1")} == {(19_050_000, 9_525_000)}


def test_a_sheet_of_the_workbook(tmp_path: Path) -> None:
    rows = (("Mark", "Position", "Hole"), ("A1", 100, 9))
    book = write_xlsx(tmp_path / "frame.xlsx", Parts=LIST, Holes=rows, Notes=(("any",),))
    job = job_of(tmp_path, book)
    assert places(job, "A1") == [100]
    assert "Holes were read from sheet Holes." in job.assumed
    assert [file.role for file in job.files] == ["workshop", "parts", "prices"], "one file, named once"


def test_a_file_named_by_hand_comes_first(tmp_path: Path) -> None:
    other = write_xlsx(tmp_path / "other.xlsx", Holes=(("Mark", "Position", "Hole"), ("A1", 200, 9)))
    job = job_of(tmp_path, LIST, holes=(H, ("A1", "", 100, "", "", 9, "", "")))
    assert places(job, "A1") == [100]
    named = read_job(tmp_path / "parts.csv", prices=tmp_path / "prices.csv", holes=other)
    assert places(named, "A1") == [200]


def test_marks_of_refused_rows_are_not_called_unknown(tmp_path: Path) -> None:
    parts = (P[:4], ("A1", 2, "SHS 40x40x3", "x"))
    told = refusal(tmp_path, parts, holes=(H, ("A1", "", 100, "", "", 9, "", "")))
    assert told.count(": found ") == 1


@pytest.mark.parametrize(("text", "face"), [("2", 2), ("face 3", 3), ("Leg 1", 1), ("4.0", 4)])
def test_faces(text: str, face: int) -> None:
    assert parse_face(text) == face


@pytest.mark.parametrize("text", ["0", "top", "12", "1,2"])
def test_no_faces(text: str) -> None:
    with pytest.raises(Refused):
        parse_face(text)


def test_accepted_words_are_read() -> None:
    for word, through in (("through", True), ("one wall", False)):
        assert word in DRILLED_FORMS
        assert DRILLED[word] is parse_drilled(word.upper()) is through


def test_the_example_of_a_cell_is_accepted(tmp_path: Path) -> None:
    example = CELL_FORMS.partition("such as ")[2]
    job = job_of(tmp_path, (P[:5], ("A1", 1, "SHS 40x40x3", 1200, example)))
    assert places(job, "A1") == [50, 125, 200, 275, 350, 425, 500]
