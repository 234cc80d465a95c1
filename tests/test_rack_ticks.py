"""Parts ticked one by one: each once, by two at a time too, and what the ticks say of the bars.

The small plan: bar 1 of 3000 mm holds A 1 and A 2 of 1200, bar 2 holds B 1 of 850 alone.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import ProblemsFound
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import entry
from cutplan.rack.job_events import PlanNote, stage
from cutplan.rack.replay import contradictions
from cutplan.rack.stages import Stage, Step
from cutplan.rack.store import Ledger, open_ledger
from cutplan.rack.ticks import Tick, Unchanged, contradicted, tick, ticked_facts, ticks_of
from tests import builders, racks
from tests.builders import mm

NOTE = PlanNote(plan="abc", parts=3)
A1, A2, B1 = Tick(bar=1, part="A", copy=1), Tick(bar=1, part="A", copy=2), Tick(bar=2, part="B", copy=1)
BAD = Tick(bar=1, part="A", copy=2, spoiled=True, measured=mm(1190))


@pytest.fixture(scope="module")
def cut() -> tuple[Job, Plan]:
    job = builders.job(
        [builders.part("A", 2, 1200), builders.part("B", 1, 850)],
        [builders.offer("P3", 3000, 20)],
        kerf="2.5",
        end_trim=10,
        keep=300,
    )
    plan = actions.plan(job)
    assert [[(cut.mark, cut.copy) for cut in bar.cuts] for bar in plan.bars] == [[("A", 1), ("A", 2)], [("B", 1)]]
    return job, plan


def say(ledger: Ledger, step: Step, *ticks: Tick, given_id: str = "") -> tuple[Tick, ...]:
    try:
        with entry(ledger, racks.doing(step.value, job="gate", plan="abc")) as writing:
            return tick(writing, NOTE, step, ticks, given_id)
    except Unchanged:
        return ()


def standing(ledger: Ledger) -> tuple[Tick, ...]:
    assert contradictions(ledger) == ()
    return ticks_of(ledger.db, "abc")


def actions_written(ledger: Ledger) -> int:
    return int(ledger.db.execute("SELECT count(*) FROM action").fetchone()[0])


def test_a_tick_stands_until_it_is_taken_back(ledger: Ledger) -> None:
    assert say(ledger, Step.CUT, A2, A1) == (A2, A1)
    assert say(ledger, Step.CUT, A1, B1) == (B1,), "A1 is ticked"
    assert standing(ledger) == (A1, A2, B1)
    assert stage(ledger.db, "abc") is Stage.BEING_CUT
    assert say(ledger, Step.UNCUT, A1, A2) == (A1, A2)
    say(ledger, Step.CUT, A1, A2)
    assert say(ledger, Step.SPOILED, BAD) == (BAD,)
    assert standing(ledger) == (A1, BAD, B1), "the last that was said of a part counts"
    for part in (A1, BAD, B1):
        say(ledger, Step.UNCUT, part)
    assert standing(ledger) == ()
    assert stage(ledger.db, "abc") is Stage.PLANNED
    written = actions_written(ledger)
    assert say(ledger, Step.UNCUT, A1) == (), "nothing is ticked"
    assert actions_written(ledger) == written, "what changes nothing is no action, which an undo would take back"


def test_an_undo_takes_back_all_that_was_said_at_once(ledger: Ledger) -> None:
    say(ledger, Step.CUT, A1)
    say(ledger, Step.CUT, A2, B1)
    handling.undo(ledger, racks.doing("undo"))
    assert standing(ledger) == (A1,)
    handling.undo(ledger, racks.doing("undo"))
    assert (standing(ledger), stage(ledger.db, "abc")) == ((), None)


def test_the_same_id_does_nothing_a_second_time(ledger: Ledger) -> None:
    """A message that comes again when its tick was taken back since, or undone, is the same message all the same."""
    assert say(ledger, Step.CUT, A1, given_id="saw-1") == (A1,)
    assert say(ledger, Step.CUT, A1, given_id="saw-1") == ()
    assert say(ledger, Step.CUT, A1, given_id="desk-1") == (), "ticked by another"
    say(ledger, Step.UNCUT, A1, given_id="saw-2")
    for late in ("saw-1", "desk-1"):
        assert say(ledger, Step.CUT, A1, given_id=late) == ()
    assert standing(ledger) == ()
    say(ledger, Step.CUT, B1, given_id="saw-3")
    handling.undo(ledger, racks.doing("undo"))
    assert say(ledger, Step.CUT, B1, given_id="saw-3") == ()
    with pytest.raises(ProblemsFound) as refused:
        say(ledger, Step.CUT, A2, given_id="saw-1")
    assert "--id: found saw-1, under which something else was ticked: A copy 1 cut." in str(refused.value)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="two processes of this program")
def test_two_at_once_tick_each_part_once(tmp_path: Path) -> None:
    """Both tick all parts, one after the other and under ids of their own; afterwards all are ticked, once each."""
    path = tmp_path / "rack.ledger"
    racks.new(path).__exit__()
    parts = [Tick(bar=1 + number // 5, part="A", copy=number + 1) for number in range(20)]
    children = []
    for who in ("saw", "desk"):
        child = os.fork()
        if child == 0:
            code = 1
            try:
                for part in parts if who == "saw" else reversed(parts):
                    with open_ledger(path) as ledger:
                        say(ledger, Step.CUT, part, given_id=f"{who}-{part.copy}")
                code = 0
            finally:
                os._exit(code)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0]
    with open_ledger(path) as ledger:
        assert standing(ledger) == tuple(parts)
        assert ledger.db.execute("SELECT count(*) FROM event WHERE step = 'planned'").fetchone() == (1,)


FACTS: dict[str, tuple[tuple[Tick, ...], dict[int, BarFact]]] = {
    "nothing": ((), {1: BarFact(cut=0), 2: BarFact(cut=0)}),
    "all": ((A1, A2, B1), {1: BarFact(), 2: BarFact()}),
    "from START on": ((A1,), {1: BarFact(cut=1), 2: BarFact(cut=0)}),
    "one spoiled and measured": (
        (A1, BAD, B1),
        {1: BarFact(spoiled=(Spoiled(mark="A", measured=mm(1190)),)), 2: BarFact()},
    ),
    "two spoiled, unlike": (
        (Tick(bar=1, part="A", copy=1, spoiled=True), BAD),
        {1: BarFact(spoiled=(Spoiled(mark="A"), Spoiled(mark="A", measured=mm(1190)))), 2: BarFact(cut=0)},
    ),
}


@pytest.mark.parametrize("case", FACTS)
def test_what_ticks_say_of_the_bars(case: str, cut: tuple[Job, Plan]) -> None:
    ticks, facts = FACTS[case]
    assert ticked_facts(cut[1], ticks) == facts


def test_spoiled_parts_that_differ_are_all_recorded(cut: tuple[Job, Plan], ledger: Ledger) -> None:
    """One is scrap, and the one that was measured lies on the rack: 1190 mm of it."""
    facts = ticked_facts(cut[1], FACTS["two spoiled, unlike"][0])
    done = cut_bars.record(ledger, racks.doing("record", job="gate", plan="abc"), *cut, facts)
    assert dict(done.spoiled) == {"A": 2}
    assert dict(done.missing) == {"A": 2, "B": 1}
    assert mm(1190) in [piece.length for piece in done.kept]
    assert contradictions(ledger) == ()


def test_a_part_before_a_ticked_one_that_is_not_is_refused(cut: tuple[Job, Plan]) -> None:
    with pytest.raises(ProblemsFound) as refused:
        ticked_facts(cut[1], [A2, B1])
    assert str(refused.value) == (
        "bar 1: found A copy 2 ticked, A copy 1 before it not.\n"
        "Accepted: parts ticked from START on.\n"
        "hint: cutplan job cut PLAN A --copy 1, or a cut record with --actual"
    )
    assert ticked_facts(cut[1], [A2, B1], gaps=True)[1].cut == 1


AGAINST: dict[str, tuple[dict[int, BarFact], list[str]]] = {
    "says the same": ({1: BarFact(spoiled=(Spoiled(mark="A"),)), 2: BarFact(cut=0)}, []),
    "says more": ({1: BarFact(spoiled=(Spoiled(mark="A"),))}, []),
    "not cut": ({1: BarFact(cut=0)}, ["0 parts cut, 0 of them spoiled, where 2 are ticked, 1 as spoiled"]),
    "none spoiled": ({}, ["2 parts cut, 0 of them spoiled, where 2 are ticked, 1 as spoiled"]),
}


@pytest.mark.parametrize("case", AGAINST)
def test_a_cut_record_that_goes_against_ticks(case: str, cut: tuple[Job, Plan]) -> None:
    facts, found = AGAINST[case]
    problems = contradicted(cut[1], (A1, BAD), facts)
    assert [problem.found for problem in problems] == found
    assert all(problem.where == "bar 1" for problem in problems)
