"""Giving marks: in order, each once, and the same again for a plan that is made again."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.rack.issuing import new_mark, reserve, take_mark
from cutplan.rack.store import Ledger
from tests import racks


def test_marks_are_given_in_order_past_those_that_were_taken(ledger: Ledger) -> None:
    assert take_mark(ledger.db, "c i") == "CI", "looks like C1, which is the second mark given"
    assert [new_mark(ledger.db) for _ in range(3)] == ["A1", "E1", "F1"]
    with pytest.raises(Refused, match="a mark that no piece has or had, which it could be taken for"):
        take_mark(ledger.db, "al")
    with pytest.raises(Refused, match=r"a mark that no piece has or had$"):
        take_mark(ledger.db, "ci")


def test_a_plan_made_again_keeps_its_marks(ledger: Ledger) -> None:
    assert reserve(ledger.db, "/reports/gate", 2) == ("A1", "C1")
    assert reserve(ledger.db, "/reports/shelf", 1) == ("E1",)
    assert reserve(ledger.db, "/reports/gate", 3) == ("A1", "C1", "F1")
    assert reserve(ledger.db, "/reports/gate", 1) == ("A1",)
    assert racks.put(ledger, 500) == ("H1",), "a reserved mark goes to nobody else"


def test_a_mark_that_a_piece_bears_is_reserved_no_more(ledger: Ledger) -> None:
    from cutplan.rack.entry import entry
    from cutplan.rack.pieces import Kind

    reserve(ledger.db, "/reports/gate", 2)
    with entry(ledger, racks.doing("record")) as writing:
        writing.new_piece(Kind.PUT, racks.TUBE, racks.state(), mark="A1")
    assert reserve(ledger.db, "/reports/gate", 2) == ("E1", "C1")


@pytest.mark.parametrize(("painted", "given"), [("A01", "C1"), ("A001", "C1"), ("A010", "A1"), ("AA1", "A1")])
def test_no_mark_is_given_that_is_another_without_its_zeros(painted: str, given: str, ledger: Ledger) -> None:
    take_mark(ledger.db, painted)
    assert new_mark(ledger.db) == given
