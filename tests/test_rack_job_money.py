"""What a job has cost so far over all its plans, worked by hand.

A shop that pays a tax of 19 % on its prices. The first plan buys four lengths of 3 m at 20.00: 80.00 and tax 15.20,
95.20 to pay, and one length costs 23.80 of it. The plan of the rest buys one more at 20.00: 23.80.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Workshop
from cutplan.rack import handling
from cutplan.rack.deliveries import Lot, receive
from cutplan.rack.entry import Entry, entry
from cutplan.rack.holding import hold_for, release
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import PlanNote, note_planned, note_step, stories
from cutplan.rack.job_money import JobMoney, made_in, money_of
from cutplan.rack.pieces import Kind, Split
from cutplan.rack.replay import contradictions
from cutplan.rack.stages import Step
from cutplan.rack.store import Ledger
from tests import builders, racks
from tests.builders import mm

pytestmark = pytest.mark.usefixtures("no_paper")

CENT = 10_000
FIRST = PlanNote(plan="one", folder="gate", parts=8, to_pay=9520 * CENT)
REST = PlanNote(plan="two", rest_of="one", folder="gate/rest-1", parts=1, to_pay=2380 * CENT)
SHOP: Workshop = builders.workshop(offcut_value_per_mm=0)
LOT = Lot(
    offer="P3", material=racks.TUBE, state=racks.full(3000, value=2000 * CENT), quantity=4, to_pay=2380 * CENT
)  # fmt: skip


def money(ledger: Ledger, shop: Workshop = SHOP) -> JobMoney:
    assert contradictions(ledger) == ()
    return money_of(ledger.db, stories(ledger.db)[0], shop)


def amounts(found: JobMoney) -> tuple[int, ...]:
    """Paid, bought again, to pay, from the rack, returned, so far; in cents."""
    each = (found.paid, found.bought_again, found.to_pay, found.from_rack, found.returned_value, found.so_far)
    return tuple(amount // CENT for amount in each)


def received(ledger: Ledger) -> None:
    """The four lengths come under one mark, A1, and are held for the job."""
    with entry(ledger, racks.doing("receive", job="gate", plan="one")) as writing:
        receive(writing, [LOT], "2031-06-01")
        note_step(writing, FIRST, Step.RECEIVED, amount=9520 * CENT)


def cut(writing: Entry, mark: str, bar: int, parts: int, left: int = 0) -> None:
    """One of a piece is cut into parts of so many mm, kerf and trim, and what is left over."""
    (length,) = writing.db.execute(
        "SELECT length FROM on_hand JOIN piece ON piece.id = piece JOIN state ON state.id = state WHERE mark = ?",
        (mark,),
    ).fetchone()
    split = Split(parts=mm(parts), kerf_and_trim=length - mm(parts) - mm(left))
    movement = writing.move(mark, Kind.USED, -1, split=split, bar=bar)
    insert(writing.db, "made", movement=movement, part="A", good=2, spoiled=0)
    if left:
        writing.new_piece(Kind.CUT_FROM, racks.TUBE, racks.state(left), parent=mark, bar=bar)


def recorded(ledger: Ledger, note: PlanNote, *bars: tuple[str, int]) -> None:
    with entry(ledger, racks.doing("record", job="gate", plan=note.plan)) as writing:
        for number, (mark, left) in enumerate(bars, 1):
            cut(writing, mark, number, 2400, left)
        note_step(writing, note, Step.RECORDED)


def test_planned_ordered_and_received(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("hold", job="gate", plan="one")) as writing:
        note_planned(writing, FIRST)
    assert amounts(money(ledger)) == (0, 0, 9520, 0, 0, 0), "nothing is spent yet"
    with entry(ledger, racks.doing("ordered", job="gate", plan="one")) as writing:
        note_step(writing, FIRST, Step.ORDERED, merchant="Yard", amount=9000 * CENT)
    assert amounts(money(ledger)) == (9000, 0, 0, 0, 0, 9000), "what was ordered so far"
    received(ledger)
    found = money(ledger)
    assert amounts(found) == (9520, 0, 0, 0, 0, 9520)
    assert [(one.mark, one.quantity, one.each) for one in found.in_hand] == [("A1", 4, 2380 * CENT)]


def test_bought_again_after_a_spoiled_part_and_returned(ledger: Ledger) -> None:
    """95.20 paid; three of four lengths cut; one more length of 23.80 for a spoiled part; the fourth goes back."""
    received(ledger)
    recorded(ledger, FIRST, ("A1", 0), ("A1", 0), ("A1", 0))
    with entry(ledger, racks.doing("replan", job="gate", plan="one")) as writing:
        note_planned(writing, REST)
    assert amounts(money(ledger)) == (9520, 0, 2380, 0, 0, 9520), "the rest is to pay, the fourth length in hand"
    with entry(ledger, racks.doing("receive", job="gate", plan="two")) as writing:
        receive(writing, [replace(LOT, quantity=1)], "2031-06-01")
        note_step(writing, REST, Step.RECEIVED, amount=2380 * CENT)
    recorded(ledger, REST, ("C1", 0))
    assert amounts(money(ledger)) == (9520, 2380, 0, 0, 0, 11900), "held still, it is not returned"
    release(ledger, racks.doing("release"), job="gate")
    found = money(ledger)
    assert amounts(found) == (9520, 2380, 0, 0, 2380, 9520)
    assert [(one.mark, one.quantity, one.length) for one in found.returned] == [("A1", 1, mm(3000))]
    assert made_in(ledger.db, ["one", "two"]) == {"A": (8, 0)}


def test_what_another_job_does_with_it_later_is_not_this_jobs_money(ledger: Ledger) -> None:
    received(ledger)
    recorded(ledger, FIRST, ("A1", 0), ("A1", 0), ("A1", 0))
    release(ledger, racks.doing("release"), job="gate")
    before = amounts(money(ledger))
    with entry(ledger, racks.doing("record", job="shelf", plan="other")) as writing:
        cut(writing, "A1", 1, 2400)
    assert amounts(money(ledger)) == before == (9520, 0, 0, 0, 2380, 7140)


def test_a_length_put_right_is_the_length_that_was_bought(ledger: Ledger) -> None:
    """One of the four measures 2990 mm: a piece of its own from then on, and cut as one of them."""
    received(ledger)
    with entry(ledger, racks.doing("record", job="gate", plan="one")) as writing:
        writing.move("A1", Kind.CORRECTED, -1)
        mark = writing.new_piece(Kind.CORRECTED, racks.TUBE, racks.full(2990, value=2000 * CENT), parent="A1")
        cut(writing, mark, 1, 2400)
        note_step(writing, FIRST, Step.RECORDED)
    release(ledger, racks.doing("release"), job="gate")
    assert [(one.mark, one.quantity) for one in money(ledger).returned] == [("A1", 3)]


def test_offcuts_used_count_and_offcuts_kept_count_back(ledger: Ledger) -> None:
    """An offcut of book value 4.00 is used, and one of 500 mm kept, at 0.002 a mm worth 1.00; cut again it is not."""
    shop = builders.workshop(offcut_value_per_mm=2000)
    racks.put(ledger, 2500, value=400 * CENT)
    recorded(ledger, replace(FIRST, to_pay=0), ("A1", 50))
    found = money(ledger, shop)
    assert (found.from_rack // CENT, found.kept // CENT, found.so_far // CENT) == (400, 10, 390)
    recorded(ledger, replace(REST, to_pay=0))
    with entry(ledger, racks.doing("record", job="gate", plan="two")) as writing:
        cut(writing, "C1", 1, 20)
    assert (money(ledger, shop).kept, money(ledger, shop).from_rack // CENT) == (0, 400)


UNKNOWN = {
    "no price at all": (replace(FIRST, to_pay=None, unpriced=1), 1, 0),
    "one section without": (replace(FIRST, unpriced=1), 1, 9520),
    "all priced": (FIRST, 0, 9520),
}


@pytest.mark.parametrize("case", UNKNOWN)
def test_what_has_no_price_is_counted(case: str, ledger: Ledger) -> None:
    note, unknown, paid = UNKNOWN[case]
    recorded(ledger, note)
    found = money(ledger)
    assert (found.unknown, found.paid // CENT) == (unknown, paid)


def test_an_undone_recording_costs_nothing(ledger: Ledger) -> None:
    received(ledger)
    recorded(ledger, FIRST, ("A1", 0))
    handling.undo(ledger, racks.doing("undo"))
    assert amounts(money(ledger)) == (9520, 0, 0, 0, 0, 9520)
    with entry(ledger, racks.doing("hold", job="gate")) as writing:
        hold_for(writing, "gate", {"A1": 3}, "2031-06-01")
    assert money(ledger).returned[0].quantity == 1, "one of the four is held no more"
