"""Pieces with a slanted end, put on the rack by hand: what squaring takes is known, and told at the saw."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.model import EndState
from cutplan.problems import ProblemsFound
from cutplan.rack.pieces import State
from cutplan.units import DEGREE
from tests.builders import mm


def added(folder: Path, section: str, **typed: Any) -> State:
    rack = actions.find_rack(near=folder / "x")
    actions.rack_add(rack, section, "2000", **typed)
    (piece,) = actions.rack_show(rack)
    return piece.state


@pytest.mark.parametrize(
    ("section", "across", "depth", "longest"),
    [
        # To the short point 2000; the long one lies depth x tan further.
        ("SHS 40x40x3", None, 40, "2040"),
        ("RD 20", None, 20, "2020"),
        ("RHS 60x40x3", "60", 60, "2060"),
        ("RHS 60x40x3", "40 mm", 40, "2040"),
        ("FL 50x6", "6", 6, "2006"),
    ],
)
def test_a_slant_runs_across_a_side_that_is_known(
    section: str, across: str | None, depth: int, longest: str, tmp_path: Path
) -> None:
    state = added(tmp_path, section, angle_a="45", **({"across": across} if across else {}))
    assert (state.length, state.depth, state.longest) == (mm(2000), mm(depth), mm(longest))


def test_a_slanted_end_is_end_a_however_it_was_typed(tmp_path: Path) -> None:
    state = added(tmp_path, "SHS 40x40x3", end_a="mill", angle_b="30")
    assert (state.angle_a, state.angle_b) == (30 * DEGREE, 0)
    assert (state.end_a, state.end_b) == (EndState.SAWN, EndState.MILL)


@pytest.mark.parametrize(
    ("section", "typed", "told"),
    [
        ("RHS 60x40x3", {"angle_a": "45"}, '--angle-a: found a slant, and not which side .*also --across "60 mm"'),
        ("RHS 60x40x3", {"angle_a": "45", "across": "50"}, "--across: found .50.*60 mm or 40 mm"),
        ("RHS 60x40x3", {"angle_a": "45", "across": "x"}, "--across: found"),
        ("RHS 60x40x3", {"across": "60"}, "--across: found no end that is slanted"),
        ("EA 50x50x5", {"angle_a": "45"}, "--angle-a: found a slanted end of EA 50x50x5.*sawn square"),
        ("SHS 40x40x3", {"angle_a": "45", "end_a": "mill"}, "--angle-a: found a slant of a mill end"),
    ],
)
def test_what_cannot_be_known_of_a_slant_is_refused(
    section: str, typed: dict[str, str], told: str, tmp_path: Path
) -> None:
    with pytest.raises(ProblemsFound, match=f"(?s){told}"):
        added(tmp_path, section, **typed)


def test_a_correction_of_ends_knows_what_a_slant_runs_across_and_any_other_leaves_it(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    added(tmp_path, "SHS 40x40x3")
    _, slanted = actions.rack_correct(rack, "A1", angle_a="45")
    assert slanted.state.longest == mm(2040)
    _, shorter = actions.rack_correct(rack, "A1", length="1990")
    assert shorter.state.longest == mm(2030)
    _, square = actions.rack_correct(rack, "A1", angle_a="0")
    assert (square.state.longest, square.state.depth) == (mm(1990), 0)


def test_a_plan_says_that_it_is_squared_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 2040 to the long point 40 are sawn off, then 1000: against the slanted end it would be short on one side."""
    monkeypatch.chdir(tmp_path)
    Path("g.csv").write_text("Mark,Quantity,Section,Length\nS,1,SHS 40x40x3,1000\n")
    rack = actions.find_rack(near=tmp_path / "x")
    actions.rack_add(rack, "SHS 40x40x3", "2000", angle_a="45")
    job = actions.read_job("g.csv", rack=rack.path)
    plan = actions.plan(job)
    (bar,) = plan.bars
    assert (bar.length, bar.start_trim, bar.cuts[0].end, bar.strokes) == (mm(2040), mm(40), mm(1040), 2)
    told = " ".join(actions.summary(job, plan).split())
    assert "one end at 45 degrees, 2000 mm when that is squared" in told
