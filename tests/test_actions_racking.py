"""The rack's actions: where the ledger lies, what is typed, who does it."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound


def test_one_mark_for_one_piece(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    with pytest.raises(ProblemsFound, match="one mark for 3 offcuts"):
        actions.rack_add(rack, "FL 50x6", "600", quantity=3, mark="R1")
    assert actions.rack_add(rack, "FL 50x6", "600", quantity=3) == ("A1", "C1", "E1")
    assert actions.rack_add(rack, "FL 50x6", "6 m", quantity=3, mark="r1", end_a="mill", end_b="mill") == ("R1",)


def test_a_list_is_brought_in_whole_or_not_at_all(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    path = tmp_path / "old list.csv"
    path.write_text(
        "Mark,Section,Length,End A,End B,Quantity,Book value,Place\n"
        "R1,SHS 40x40x3,1240,,mill,,2.50,=1+1\nF9,SHS 40x40x3,6000,mill,mill,4,,B1\n"
    )
    assert actions.rack_read(rack, path) == ("R1", "F9")
    long, short = actions.rack_show(rack)
    assert (long.quantity, long.state.value, short.state.value, short.state.place) == (4, None, 2_500_000, "=1+1")
    with pytest.raises(ProblemsFound, match=r"old list.csv, row 2: found .R1"):
        actions.rack_read(rack, path)
    path.write_text("Mark,Section,Length\nR3,SHS 40,1240\nR4,SHS 40x40x3,x\n")
    with pytest.raises(ProblemsFound) as refused:
        actions.rack_read(rack, path)
    assert len(refused.value.problems) == 2
    assert len(actions.rack_show(rack)) == 2
