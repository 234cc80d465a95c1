"""What came of recording, as a value."""

from __future__ import annotations

from cutplan.rack.outcome import NowThere
from tests import racks


def test_a_piece_that_is_there_is_one_unless_said() -> None:
    assert NowThere(bar=1, mark="A1", printed="", material=racks.TUBE, length=1).quantity == 1
