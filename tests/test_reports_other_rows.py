"""Rows of what is not cut."""

from __future__ import annotations

from cutplan.model import OtherLine
from cutplan.reports.other_rows import no_price, other_row
from cutplan.units import CURRENCY


def test_words_of_a_line() -> None:
    line = OtherLine(name="hinge", quantity=2, assembly="gate", merchant="Ironmonger", note="left")
    assert other_row(line).text == "2 x hinge for gate, from Ironmonger, left"
    assert other_row(OtherLine(name="paint", quantity=1)).text == "1 x paint"


def test_which_have_no_price() -> None:
    free = other_row(OtherLine(name="gift", quantity=1, price_each=0))
    paid = other_row(OtherLine(name="hinge", quantity=1, price_each=CURRENCY))
    assert no_price([free, other_row(OtherLine(name="paint", quantity=1)), paid]) == ("paint",)
