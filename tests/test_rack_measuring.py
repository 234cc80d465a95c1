"""What is kept of a bar whose left over was measured, and of which bars the length before the cuts is known.

Kerf 2 mm as planned. A of 400 twice from an offcut of 1200 end at 802 and leave 396 behind their second cut; where
START is a mill end, 10 mm are trimmed first.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan import actions
from cutplan.model import EndState, Job, Offcut, Part, Plan
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import entry
from cutplan.rack.measuring import BarMeasured, LengthDelivered, bars_measured, lengths_delivered, note_delivered
from cutplan.rack.pieces import Kind
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import builders, racks
from tests.builders import mm

OFFER = builders.offer("P9", 6000, 90)


def job_of(offcut: Offcut, length: int = 400, quantity: int = 2, parts: list[Part] | None = None) -> tuple[Job, Plan]:
    wanted = parts or [builders.part("A", quantity, length)]
    job = builders.job(wanted, [OFFER], [offcut], kerf=2, end_trim=10, keep=100)
    return job, actions.plan(job)


def record(ledger: Ledger, subject: tuple[Job, Plan], fact: BarFact, plan: str = "abc") -> None:
    cut_bars.record(ledger, racks.doing("record", job="tiny", plan=plan), *subject, {1: fact})


def test_a_bar_measured_before_and_after_tells_its_kerf(ledger: Ledger) -> None:
    racks.put(ledger, 1200)
    record(ledger, job_of(builders.offcut("A1", 1200)), BarFact(left=mm(395)))
    expected = BarMeasured(saw="", strokes=2, kerf=mm(2), expected=mm(396), found=mm(395))
    assert bars_measured(ledger.db) == ((expected,), 0)
    handling.undo(ledger, racks.doing("undo"))
    assert bars_measured(ledger.db) == ((), 0)


def test_cuts_up_to_the_one_that_was_made_count(ledger: Ledger) -> None:
    racks.put(ledger, 1200)
    record(ledger, job_of(builders.offcut("A1", 1200)), BarFact(cut=1, left=mm(797)))
    ((bar,), _) = bars_measured(ledger.db)
    assert (bar.strokes, bar.expected, bar.found) == (1, mm(798), mm(797))


def test_what_is_left_counts_for_the_next_only_where_it_was_measured(ledger: Ledger) -> None:
    racks.put(ledger, 1200, 1300)
    record(ledger, job_of(builders.offcut("A1", 1200)), BarFact(left=mm(395)), "one")
    record(ledger, job_of(builders.offcut("C1", 1300)), BarFact(), "two")
    assert len(bars_measured(ledger.db)[0]) == 1, "taken as planned, nothing is told"
    marks = {piece.state.length: piece.mark for piece in standing(ledger)}
    rest = job_of(builders.offcut(marks[mm(395)], 395), 100, 1)
    record(ledger, rest, BarFact(left=mm(292)), "three")
    told, others = bars_measured(ledger.db)
    assert (told[1].expected, told[1].found, others) == (mm(293), mm(292), 0)
    rest = job_of(builders.offcut(marks[mm(496)], 496), 100, 1)
    record(ledger, rest, BarFact(left=mm(390)), "four")
    assert bars_measured(ledger.db) == (told, 1)


@pytest.mark.parametrize(
    ("ends", "whole"), [("sawn sawn", 1), ("sawn mill", 1), ("mill mill", 0)]
)  # fmt: skip
def test_an_end_that_is_trimmed_first_hides_the_kerf(ledger: Ledger, ends: str, whole: int) -> None:
    end_a, end_b = map(EndState, ends.split())
    racks.put(ledger, 1200, end_a=end_a, end_b=end_b)
    record(ledger, job_of(builders.offcut("A1", 1200, ends=ends)), BarFact(left=mm(380)))
    told, others = bars_measured(ledger.db)
    assert (len(told), others) == (whole, 1 - whole)


@pytest.mark.parametrize(
    "fact",
    [
        BarFact(),
        BarFact(left=0),
        BarFact(cut=0, left=mm(1190)),
        BarFact(left=mm(100), scrapped=True),
        BarFact(left=mm(390), spoiled=(Spoiled(mark="A", measured=mm(398)),)),
    ],
)
def test_what_tells_nothing_of_a_saw_is_not_kept(ledger: Ledger, fact: BarFact) -> None:
    racks.put(ledger, 1200)
    record(ledger, job_of(builders.offcut("A1", 1200)), fact)
    assert bars_measured(ledger.db) == ((), 0)


def test_mitres_are_not_kept(ledger: Ledger) -> None:
    """What is left then has a slanted end, and may be measured to either point."""
    racks.put(ledger, 1200)
    part = builders.part("A", 2, 400, mitres=(0, 45))
    subject = job_of(builders.offcut("A1", 1200), parts=[part])
    record(ledger, subject, BarFact(left=mm(300)))
    assert bars_measured(ledger.db) == ((), 0)


def test_a_length_put_right_was_measured_for_it_and_a_full_one_by_its_name_was_not(ledger: Ledger) -> None:
    """Where mill ends are cut from as they are, a 6 m length put on the rack may be of any length."""
    untrimmed = builders.workshop(kerf=2, keep=100)
    untrimmed = replace(untrimmed, saw=replace(untrimmed.saw, mill_ends_accepted=True))
    racks.put(ledger, 1200, 1190, end_a=EndState.MILL, end_b=EndState.MILL)
    (_, piece) = sorted(standing(ledger), key=lambda piece: -piece.state.length)
    with entry(ledger, racks.doing("correct")) as writing:
        writing.move(piece.mark, Kind.CORRECTED, state=replace(piece.state, length=mm(1185)))
    for mark, length in (("A1", 1200), (piece.mark, 1185)):
        offcut = builders.offcut(mark, length, ends="mill mill")
        job = builders.job([builders.part("A", 2, 400)], [OFFER], [offcut], at=untrimmed)
        record(ledger, (job, actions.plan(job)), BarFact(left=mm(length - 805)), mark)
    told, others = bars_measured(ledger.db)
    assert ([bar.found for bar in told], others) == ([mm(380)], 1)


def test_lengths_of_deliveries_are_kept_until_they_are_undone(ledger: Ledger) -> None:
    came = LengthDelivered(family="SHS", nominal=mm(6000), counted=mm(5990), length=mm(6012), quantity=3)
    with entry(ledger, racks.doing("receive", job="gate", plan="abc")) as writing:
        note_delivered(writing, [came])
    assert lengths_delivered(ledger.db) == (came,)
    handling.undo(ledger, racks.doing("undo"))
    assert lengths_delivered(ledger.db) == ()
