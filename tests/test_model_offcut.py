"""A piece of the rack, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import EndState
from cutplan.units import DEGREE
from tests.builders import mm, offcut


def test_end_states_are_written_as_words() -> None:
    assert [state.value for state in EndState] == ["mill", "sawn"]


def test_a_slanted_end_is_squared_by_the_depth_it_runs_across() -> None:
    """At 45 degrees from square a cut takes as much along the piece as across it."""
    slanted = offcut("R", 700, angle_a=45 * DEGREE, depth=mm(40), side=3)
    assert (slanted.tip, offcut("R", 700).tip) == (mm(40), 0)


@pytest.mark.parametrize("wrong", [{"depth": 0}, {"side": 4}, {"length": mm(40)}, {"end_a": EndState.MILL}])
def test_a_slanted_end_checks_itself(wrong: dict[str, Any]) -> None:
    slanted = offcut("R", 700, angle_a=45 * DEGREE, depth=mm(40), side=3)
    with pytest.raises(ValueError, match="slanted end"):
        replace(slanted, **wrong)


def test_a_full_length_has_two_mill_ends() -> None:
    assert [offcut("R", 700, ends=ends).is_full for ends in ("mill mill", "sawn mill")] == [True, False]
