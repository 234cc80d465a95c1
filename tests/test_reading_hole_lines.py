"""What a line of holes leaves open on a part, and what is refused there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan.units import MM
from tests.input_files import job_of, refusal

H = ("Mark", "Position", "Face", "Across", "Hole", "Drilled")


def told(folder: Path, section: str, *row: Any, **other: Any) -> str:
    parts = (("Mark", "Quantity", "Section", "Length"), ("A1", 1, section, "1000 mm"))
    return refusal(folder, parts, holes=(H, ("A1", *row)), prices=None, stock=("6 m",), **other)


@pytest.mark.parametrize("section", ["RHS 60x40x3", "UA 60x40x5"])
def test_a_face_must_be_said_where_faces_differ(section: str, tmp_path: Path) -> None:
    assert "said, and those of" in told(tmp_path, section, 100, "", "", 9, "")
    assert told(tmp_path, section, 100, 2, "", 9, "") == ""


@pytest.mark.parametrize("section", ["SHS 40x40x3", "EA 50x50x5", "FL 50x6", "SQ 20", "CHS 48.3x3.2", "RD 25"])
def test_else_it_is_face_1(section: str, tmp_path: Path) -> None:
    assert told(tmp_path, section, 100, "", "", 9, "") == ""


def test_solid_sections_have_no_single_wall(tmp_path: Path) -> None:
    assert "one wall of SQ 20" in told(tmp_path, "SQ 20", 100, "", "", 9, "one wall")
    for section in ("EA 50x50x5", "FL 50x6"):
        assert told(tmp_path, section, 100, "", "", 9, "one wall") == "", "one wall is all there is"


def test_round_sections_are_drilled_through_the_middle(tmp_path: Path) -> None:
    assert "a distance across of 10 mm" in told(tmp_path, "CHS 48.3x3.2", 100, 2, 10, 9, "")
    assert told(tmp_path, "CHS 48.3x3.2", 100, 2, "24.15", 9, "") == ""


def test_one_problem_for_a_row_of_holes(tmp_path: Path) -> None:
    found = told(tmp_path, "SHS 40x40x3", "100, 12 @ 100", "", "", 9, "")
    assert found.startswith(
        'parts-holes.csv, row 2, column B "Position": found A1: the hole of 9 mm at 1000 mm on face 1 reaches beyond '
        "the part, and 3 more of this row."
    )
    assert found.count("Accepted") == 1


def test_figures_are_told_in_the_unit_of_the_workshop(tmp_path: Path) -> None:
    found = told(tmp_path, "SHS 40x40x3", "39.2", 1, "", "3/8", "", workshop='[workshop]\nunit = "in"')
    assert "the hole of 3/8 in at" in found


def test_too_many_holes_in_one_part(tmp_path: Path) -> None:
    rows = [("A1", "500 @ 1", face, 20, "0.5", "one wall") for face in (1, 2, 3)]
    parts = (("Mark", "Quantity", "Section", "Length"), ("A1", 1, "SHS 40x40x3", 1000))
    assert "A1: 1500 holes and landings" in refusal(tmp_path, parts, holes=(H, *rows))
    job = job_of(tmp_path, parts, holes=(H, *rows[:2]))
    assert job.parts[0].holes[-1].position == 500 * MM
