"""The rack as values for JSON: exact, and with what is not known left open."""

from __future__ import annotations

from cutplan.rack import handling
from cutplan.rack.history import life
from cutplan.rack.pieces import Standing
from cutplan.rack.store import Ledger
from cutplan.words.rack_values import life_values, standing_values
from tests import racks


def test_a_piece() -> None:
    piece = Standing(
        mark="C1", material=racks.TUBE, state=racks.full("6000.125", value=1_500_000), quantity=4, since="t"
    )
    values = standing_values(piece)
    assert (values["length_mm"], values["end_a"], values["book_value"], values["wall_mm"]) == (
        "6000.125", "mill", "1.5", None,
    )  # fmt: skip
    assert (values["mark"], values["quantity"], values["standard"], values["since"]) == ("C1", 4, "EN 10219-2", "t")


def test_a_history(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    handling.scrap(ledger, racks.doing("scrap", reason="bent"), ["A1"])
    values = life_values(life(ledger, "A1"))
    assert (values["mark"], values["on_hand"], values["cut_from"], values["cut_into"]) == ("A1", 0, "", [])
    came, went = values["movements"]
    assert (came["kind"], came["quantity"], came["scrap_mm"]) == ("put on the rack", 1, "0")
    assert (went["kind"], went["quantity"], went["scrap_mm"], went["reason"]) == ("scrapped", -1, "500", "bent")
