"""The rack's actions: where the ledger lies, what is typed, who does it."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound


@pytest.mark.parametrize(
    ("quantity", "end_a", "end_b", "accepted"),
    [
        (0, "", "", "1 to 1000 offcuts at once, each of which is given a mark"),
        (1001, "", "", "1 to 1000 offcuts at once, each of which is given a mark"),
        (1001, "mill", "", "1 to 1000 offcuts at once, each of which is given a mark"),
        (1_000_000, "mill", "mill", "1 to 100000 full lengths at once"),
    ],
)
def test_more_pieces_than_can_be_meant_are_refused_and_begin_no_ledger(
    tmp_path: Path, quantity: int, end_a: str, end_b: str, accepted: str
) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    with pytest.raises(ProblemsFound) as refused:
        actions.rack_add(rack, "FL 50x6", "600", quantity=quantity, end_a=end_a or None, end_b=end_b or None)
    (problem,) = refused.value.problems
    assert (problem.code, problem.found, problem.accepted) == ("rack.count", str(quantity), accepted)
    assert not rack.path.exists()


def test_full_lengths_share_a_mark_and_may_be_more(tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x")
    assert actions.rack_add(rack, "FL 50x6", "6 m", quantity=1001, end_a="mill", end_b="mill") == ("A1",)


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
