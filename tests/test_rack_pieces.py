"""What a state of a piece may be."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.rack.pieces import State


@pytest.mark.parametrize("wrong", [{"length": 0}, {"length": -1}, {"length": 1, "value": -1}, {"length": 1, "wall": 0}])
def test_a_state_checks_itself(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="more than 0"):
        State(**wrong)
