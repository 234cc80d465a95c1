"""Spaced parts as landings of a rail: the near faces, by sums in the head, and on the cards as the list is read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.model import Workshop
from cutplan.problems import ProblemsFound
from cutplan.units import MM
from tests.input_files import write_csv

ROWS = (
    ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "On table"),
    ("R1", 2, "SHS 40x40x3", 1000, 45, 45, ""),
    ("R2", 2, "RHS 60x40x3", 920, "", "", ""),
    ("R3", 1, "RHS 60x40x3", 1000, 45, 45, "narrow side"),
)


def land(folder: Path, rail: str, distance: str = "920", count: int = 3, **more: Any) -> list[tuple[int, int]]:
    """Face and position of every landing of a rail, in whole millimetres, as the list then reads."""
    path = write_csv(folder / "gate.csv", ROWS)
    found = actions.spacing(distance, count=count, width="20")
    _, rows = actions.append_landings(found, path, [rail], workshop=Workshop(), **more)
    assert rows == count
    (part,) = [part for part in actions.read_job(path, stock=["6 m"]).parts if part.mark == rail]
    assert all(hole.landing for hole in part.holes)
    return [(hole.face, hole.position // MM) for hole in part.holes]


def test_the_inner_face_of_a_mitred_rail(tmp_path: Path) -> None:
    """(920 - 3 x 20) / 4 = 215 between; the face begins 40 from the long point: 255, 490, 725."""
    assert land(tmp_path, "R1") == [(4, 255), (4, 490), (4, 725)]


def test_a_rail_on_its_narrow_side_has_its_short_points_on_top(tmp_path: Path) -> None:
    """Mitred across 40: the wide side 1 is inside. (920 - 2 x 20) / 3 = 293 1/3, so 333.3 and 646.7 of it."""
    assert land(tmp_path, "R3", count=2) == [(1, 333), (1, 646)]


def test_a_square_rail_begins_at_its_end(tmp_path: Path) -> None:
    assert land(tmp_path, "R2", face=1) == [(1, 215), (1, 450), (1, 685)]


def test_from_says_where_it_begins(tmp_path: Path) -> None:
    """(500 - 2 x 20) / 3 = 153 1/3 from 100 on."""
    assert land(tmp_path, "R1", "500", 2, start="100") == [(4, 253), (4, 426)]


@pytest.mark.parametrize(
    ("rail", "distance", "more", "said"),
    [
        ("R9", "920", {}, "marks of the list: R1, R2, R3"),
        ("R2", "920", {}, "R2, whose faces differ"),
        ("R1", "900", {}, "whose face 4 reaches from 40 mm to 960 mm from end A, for a distance of 900 mm"),
        ("R1", "900", {"start": "30"}, "whose face 4 reaches from 40 mm"),
        ("R1", "900", {"start": "70"}, "whose face 4 reaches from 40 mm"),
        ("R1", "1000", {"face": 1}, "whose face 1 reaches from 40 mm to 960 mm"),
        ("R1", "920", {"face": 5}, "one of 1, 2, 3, 4"),
    ],
)
def test_where_the_distance_does_not_lie_it_is_refused(
    rail: str, distance: str, more: dict[str, Any], said: str, tmp_path: Path
) -> None:
    with pytest.raises(ProblemsFound) as refused:
        land(tmp_path, rail, distance, **more)
    assert said in str(refused.value)
    assert not (tmp_path / "gate-holes.csv").exists()


def test_holes_that_are_there_stay(tmp_path: Path) -> None:
    """One part of 20 in 920 has 450 on either side, so it stands 490 from the long point."""
    path = write_csv(tmp_path / "gate.csv", ROWS)
    write_csv(tmp_path / "gate-holes.csv", [("Mark", "Position", "Hole", "Face", "Note"), ("R1", 100, 9, 2, "stop")])
    actions.append_landings(actions.spacing("920", count=1, width="20"), path, ["R1"], workshop=Workshop())
    holes = actions.read_job(path, stock=["6 m"]).parts[0].holes
    assert [(hole.face, hole.position // MM, hole.landing) for hole in holes] == [(2, 100, False), (4, 490, True)]


@pytest.mark.thorough
def test_a_new_workbook_grows_on_its_own_sheets(tmp_path: Path) -> None:
    """A frame, its bars and where they land, one after the other into one workbook: (920 - 3 x 12) / 4 = 221."""
    path = actions.new("gate", folder=tmp_path)
    frame = actions.frame("1000 x 1200", measured="outside", section="SHS 40x40x3")
    actions.append_parts(frame, path, section="SHS 40x40x3", mark="F")
    bars = actions.spacing("920", count=3, width="12", piece="1120")
    written, _ = actions.append_landings(bars, path, ["F-1"], what="B", workshop=Workshop())
    actions.append_parts(bars, path, section="SQ 12", mark="B")
    assert written == path
    rail, _, bar = actions.read_job(path, stock=["6 m"]).parts
    assert [hole.position // MM for hole in rail.holes] == [261, 494, 727]
    assert {hole.note for hole in rail.holes} == {"B lands here, its near face"}
    assert (bar.mark, bar.quantity, list(tmp_path.iterdir())) == ("B", 3, [path])
