"""The sums as actions: what is typed is understood or refused with its place, and parts go into a list."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.model import Lean
from cutplan.problems import ProblemsFound
from cutplan.units import mitre_run

SHS, RHS = "SHS 40x40x3", "RHS 60x40x3"


def test_section_gives_its_one_depth() -> None:
    assert actions.brace("1000 x 800", section=SHS) == actions.brace("1000 x 800", depth="40 mm")


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        ({}, "depth: found no depth of the section.\nAccepted: --depth or --section."),
        (
            {"section": RHS},
            "--section: found RHS 60x40x3, which has two different sides.\nAccepted: --depth 60 mm or 40 mm.",
        ),
        (
            {"section": RHS, "depth": "50"},
            '--depth: found "50".\nAccepted: 60 mm or 40 mm, a side of RHS 60x40x3.',
        ),
    ],
)
def test_depth_is_said_or_asked_for(settings: dict[str, Any], expected: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        actions.brace("1000 x 800", **settings)
    assert str(found.value) == expected


def test_count_or_widest_gap() -> None:
    for settings in ({}, {"count": 3, "most": "100"}):
        with pytest.raises(ProblemsFound, match="both or neither of --count and --most"):
            actions.spacing("1000", **settings)  # type: ignore[arg-type]
    assert actions.spacing("1000", count=3) == actions.spacing("1000", most="250")


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_parts_of_a_frame_are_planned_as_worked_out(unit: str, tmp_path: Path) -> None:
    size = "1000 x 600" if unit == "mm" else "40 1/4 x 24"
    depth = "40 mm"
    answer = actions.frame(size, measured="outside", section=RHS, depth=depth, unit=unit)
    path = tmp_path / "list.csv"
    assert actions.append_parts(answer, path, section=RHS, mark="F", quantity=3, depth=depth, unit=unit) == 2
    parts = actions.read_job(path, stock=["6 m"]).parts
    assert [part.mark for part in parts] == ["F-1", "F-2"]
    assert [part.quantity for part in parts] == [6, 6]
    assert [part.length for part in parts] == [piece.length for piece in answer.pieces]
    assert {part.depth for part in parts} == {40_000_000}
    insides = [step.length for step in answer.steps if step.name.endswith("inside") and step.name != "diagonal inside"]
    assert [part.short_point for part in parts] == insides


def test_positions_alone_are_no_parts(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="no parts to add"):
        actions.append_parts(actions.spacing("1000", count=3), tmp_path / "list.csv", section="RD 12")


def test_a_brace_is_planned_with_parallel_ends(tmp_path: Path) -> None:
    answer = actions.brace("1000 x 800", section=SHS)
    actions.append_parts(answer, tmp_path / "list.csv", section=SHS, mark="D")
    (part,) = actions.read_job(tmp_path / "list.csv", stock=["6 m"]).parts
    assert part.lean is Lean.PARALLEL
    edge = next(step.length for step in answer.steps if step.name == "e, each long edge")
    assert edge is not None
    assert abs(part.length - mitre_run(part.depth, part.end_a.angle) - edge) <= 200_000  # both rounded up to 0.1 mm
