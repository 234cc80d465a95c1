"""The rack in words."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model import EndState
from cutplan.rack import handling
from cutplan.rack.history import life
from cutplan.rack.pieces import Hold, Standing
from cutplan.rack.store import Ledger
from cutplan.units import INCHES, MILLIMETRES
from cutplan.words.rack_values import standing_values
from cutplan.words.rack_words import corrected_text, done_text, rack_life, rack_line, rack_list
from tests import racks
from tests.builders import mm

FULL = Standing(mark="C1", material=racks.TUBE, state=racks.full(6000, grade="S235JRH"), quantity=4)


def test_a_list_is_headed_by_section() -> None:
    known = racks.state(1240, angle_a=45_000_000, depth=mm(40))
    piece = Standing(mark="A1", material=racks.TUBE, state=known, quantity=1)
    assert "ends sawn 45 deg and sawn, 1280 mm to its long point" in rack_line(piece, MILLIMETRES)
    assert "ends sawn 45 deg and sawn, ~50 25/64 in to its long point" in rack_line(piece, INCHES)
    slanted = racks.state(1240, end_b=EndState.SAWN, angle_b=45_000_000, place="B2", heat_number="H1", wall=mm("2.9"))
    one = Standing(mark="A1", material=racks.TUBE, state=slanted, quantity=1)
    assert rack_list([FULL, one], MILLIMETRES).splitlines() == [
        "SHS 40x40x3, black",
        "  C1       4 x 6000 mm  no place, S235JRH, ends mill and mill",
        "  A1           1240 mm  place B2, grade unknown, ends sawn and sawn 45 deg, heat H1, wall 2.9 mm",
        "5 pieces, 25.24 m in total.",
    ]
    assert rack_list([], MILLIMETRES) == "Nothing like that is on the rack."


def test_a_piece_in_one_line() -> None:
    assert rack_line(FULL, INCHES) == "C1, SHS 40x40x3, black, 4 x ~236 7/32 in, S235JRH, ends mill and mill"


def test_a_history_in_words(ledger: Ledger) -> None:
    racks.put(ledger, 500, place="B2", photo="k7.jpg", certificate="3.1-88")
    handling.scrap(ledger, racks.doing("scrap", reason="bent"), ["A1"])
    assert rack_life(life(ledger, "A1"), MILLIMETRES).splitlines() == [
        "A1: SHS 40x40x3, black",
        "  2031-05-04 09:30 UTC, Ines: put on the rack +1, 500 mm, place B2",
        "  2031-05-04 09:30 UTC, Ines: scrapped -1, 500 mm, scrap 500 mm, place B2, reason: bent",
        "  now: not on the rack",
    ]


def test_what_is_held_is_told() -> None:
    held = Standing(
        mark="C1",
        material=racks.TUBE,
        state=racks.full(6000),
        quantity=4,
        holds=(Hold(quantity=3, job="gate", until="2031-05-18"),),
    )
    assert rack_line(held, MILLIMETRES).endswith(", 3 held for gate up to 2031-05-18")
    assert "3 held for gate up to 2031-05-18" in rack_list([held], MILLIMETRES)
    assert standing_values(held)["holds"] == [{"job": "gate", "quantity": 3, "until": "2031-05-18"}]


def test_jobs_that_lose_a_piece_or_find_it_shorter_are_told() -> None:
    hold = Hold(quantity=1, job="gate", until="2031-05-18")
    was = Standing(mark="A1", material=racks.TUBE, state=racks.state(500), quantity=1)
    assert done_text("Taken", replace(was, holds=(hold,)), MILLIMETRES).splitlines() == [
        "Taken: A1, SHS 40x40x3, black, 500 mm, grade unknown",
        "A1: 1 held for gate no longer; plan gate again",
    ]
    now = replace(was, state=racks.state(480), holds=(hold,))
    assert corrected_text(was, now, MILLIMETRES).splitlines()[1:] == [
        "Now: A1, SHS 40x40x3, black, 480 mm, grade unknown",
        "A1: held for gate, whose plan counts on 500 mm; plan it again",
    ]
    some = replace(now, mark="C1")
    assert corrected_text(was, some, MILLIMETRES).splitlines()[2:] == ["A1: 1 held for gate no longer; plan gate again"]
