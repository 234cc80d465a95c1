"""What lies on the rack, chosen and in order."""

from __future__ import annotations

from cutplan.rack import handling
from cutplan.rack.pieces import Doing, Material
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm


def test_by_section_longest_first_then_oldest(ledger: Ledger) -> None:
    racks.put(ledger, 500, 900, 500)
    flat = Material(designation="FL 50x6", standard="EN 10058", finish="black")
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=flat, state=racks.state(700, place="B2"))])
    assert [piece.mark for piece in standing(ledger)] == ["F1", "C1", "A1", "E1"]
    assert [piece.mark for piece in standing(ledger, designations=["SHS 40x40x3"])] == ["C1", "A1", "E1"]
    assert [piece.mark for piece in standing(ledger, at_least=mm(700))] == ["F1", "C1"]
    assert [piece.mark for piece in standing(ledger, place="b2")] == ["F1"]
    assert standing(ledger, designations=[]) == ()


def test_by_age(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    later = Doing(at="2032-01-01T00:00:00Z", who="", what="move")
    handling.move(ledger, later, ["A1"], "C1")
    assert [piece.since for piece in standing(ledger)] == [racks.doing().at], "moving makes nothing younger"
    assert standing(ledger, since_before=racks.doing().at) == ()
    assert len(standing(ledger, since_before="2031-06-01T00:00:00Z")) == 1


def test_more_sections_than_one_query_asks_for(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    names = [f"SHS {size}x{size}x3" for size in range(10, 1000)]
    assert len(standing(ledger, designations=names)) == 1
