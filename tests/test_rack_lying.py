"""Which bars of a plan that was begun lie there uncut, and under which marks.

One bar of 3000 mm takes A of 1200 twice, a second one B of 850; kerf 2.5, trims of 10: bar 1 needs 2422.5, bar 2 870.
"""

from __future__ import annotations

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.model.cut_facts import BarFact
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import entry
from cutplan.rack.lying import came_for, uncut
from cutplan.rack.pieces import Kind
from cutplan.rack.store import Ledger
from tests import builders, racks
from tests.builders import mm

pytestmark = pytest.mark.usefixtures("no_paper")

DOING = racks.doing("replan", job="tiny", plan="abc")


@pytest.fixture(scope="module")
def subject() -> tuple[Job, Plan]:
    job = builders.job(
        [builders.part("A", 2, 1200), builders.part("B", 1, 850)],
        [builders.offer("P3", 3000, 20)],
        kerf="2.5",
        end_trim=10,
    )
    return job, actions.plan(job)


def found(ledger: Ledger, subject: tuple[Job, Plan]) -> dict[str, list[int]]:
    there = uncut(ledger.db, "abc", *subject)
    return {mark: [bar.number for bar in bars] for mark, bars in there.items()}


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({1: BarFact(cut=0), 2: BarFact(cut=0)}, {"A1": [1, 2]}),
        ({2: BarFact(cut=0)}, {"A1": [2]}),
        ({1: BarFact(cut=1), 2: BarFact(cut=0)}, {"A1": [2]}),
        ({1: BarFact(cut=0, scrapped=True), 2: BarFact(cut=0)}, {"A1": [2]}),
        # Measured short, on a mark of its own: a bar has the length it was planned with where there is one, and
        # whatever serves it otherwise.
        ({1: BarFact(cut=0, left=mm(2500)), 2: BarFact(cut=0)}, {"C1": [1], "A1": [2]}),
        ({1: BarFact(cut=0, left=mm(2400)), 2: BarFact(cut=0)}, {"C1": [1], "A1": [2]}),
        ({1: BarFact(cut=0, left=mm(860)), 2: BarFact(cut=0)}, {"C1": [1]}),
    ],
)
def test_bars_that_were_bought(
    ledger: Ledger, subject: tuple[Job, Plan], facts: dict[int, BarFact], expected: dict[str, list[int]]
) -> None:
    cut_bars.record(ledger, DOING, *subject, facts)
    assert found(ledger, subject) == expected


def test_lengths_that_were_received(ledger: Ledger, subject: tuple[Job, Plan]) -> None:
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        for length in (900, 2960):
            writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(length), 1, note="P3")
    cut_bars.record(ledger, DOING, *subject, {1: BarFact(cut=0), 2: BarFact(cut=0)})
    assert found(ledger, subject) == {"C1": [1], "A1": [2]}
    assert [piece.mark for piece in came_for(ledger.db, "abc")] == ["A1", "C1"]
    assert came_for(ledger.db, "another") == []


def test_a_piece_of_the_rack(ledger: Ledger) -> None:
    racks.put(ledger, 1240)
    job = builders.job([builders.part("A", 1, 1200)], [], [builders.offcut("A1", 1240)], safe_hold=30)
    plan = actions.plan(job)
    cut_bars.record(ledger, DOING, job, plan, {1: BarFact(cut=0)})
    assert found(ledger, (job, plan)) == {"A1": [1]}
    handling.scrap(ledger, racks.doing("scrap"), ["A1"])
    assert found(ledger, (job, plan)) == {}
