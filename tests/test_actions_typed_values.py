"""What is typed for a piece of the rack, and what is refused of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from cutplan.units import INCH, MM


def test_what_is_typed_is_read_as_in_the_lists(tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text('[workshop]\nunit = "in"\n[standards]\nSHS = "ASTM A500"\n')
    rack = actions.find_rack(near=tmp_path / "x")
    (mark,) = actions.rack_add(
        rack, "galv HSS 2x2x1/8", "47 1/4", end_a="Mill end", angle_b="22.5", grade=" a500 b ", wall="0.116", value="3"
    )
    (piece,) = actions.rack_show(rack, section="2x2x1/8 SHS", at_least="47")
    state = piece.state
    assert (piece.mark, piece.material.standard, piece.material.finish) == (mark, "ASTM A500", "galvanised")
    assert (state.length, state.grade, state.wall) == (47 * INCH + INCH // 4, "A500 B", 29464 * MM // 10_000)
    # The slanted end is end A, whichever was typed so.
    assert (state.end_a.value, state.angle_a) == ("sawn", 22_500_000)
    assert (state.end_b.value, state.angle_b, state.value) == ("mill", 0, 3_000_000)
    assert actions.rack_show(rack, at_least="48") == ()


def test_all_that_is_wrong_is_told_and_nothing_made(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    with pytest.raises(ProblemsFound) as refused:
        actions.rack_add(rack, "SHS 40", "1,240", end_a="cut off", wall="x", value="-1", place="\x07", grade="a\x07")
    where = [problem.where for problem in refused.value.problems]
    assert where == ["SECTION", "LENGTH", "--end-a", "--wall", "--value", "--place", "--grade"]
    assert not list(tmp_path.iterdir())
