"""Any sequence of actions: length and book value are never lost, nothing falls below none, no mark is given twice."""

from __future__ import annotations

import tempfile
from collections import Counter
from contextlib import suppress
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from cutplan import actions
from cutplan.model import Job, Offcut, Plan
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import ProblemsFound
from cutplan.rack import counting, cut_bars, handling, holding, offering, ticks
from cutplan.rack.entry import entry
from cutplan.rack.job_events import note_of
from cutplan.rack.pieces import Kind
from cutplan.rack.replay import balance, contradictions, rebuild
from cutplan.rack.stages import Step
from cutplan.rack.standing import standing
from cutplan.rack.ticks import Tick, Unchanged, ticked_facts, ticks_of
from tests import builders, racks
from tests.builders import mm
from tests.effort import examples

TICKS = (Step.CUT, Step.SPOILED, Step.UNCUT)
LENGTHS = st.sampled_from([200, 450, 720, 1200, 1460, 2900]).map(mm)
VALUES = st.sampled_from([None, 0, 7_000_000, 10_000_001])
"""Book value of each piece, in millionths; the last is not divided evenly by any length."""
JOBS = ("gate", "shelf")


@cache
def cut(name: str, taken: tuple[Offcut, ...]) -> tuple[Job, Plan]:
    """A job of a few parts, cut from offcuts of these marks, lengths and slants and from new bars."""
    pieces = [
        replace(
            builders.offcut(each.mark, 1), length=each.length, angle_a=each.angle_a, depth=each.depth, side=each.side
        )
        for each in taken
    ]
    job = builders.job(
        [builders.part("A", 2, 700), builders.part("B", 1, 450, mitres=(45, 0))],
        [builders.offer("P1", 1500, 12), builders.offer("P3", 3000, 20)],
        pieces,
        kerf="2.5",
        end_trim=10,
        keep=300,
    )
    return job, actions.plan(job)


class RackMachine(RuleBasedStateMachine):
    """A ledger, and beside it nothing but the length that came in by word of the actions."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.ledger = racks.new(Path(self.folder.name) / "rack.ledger")
        self.plans = self.begun = 0
        self.out: list[str] = []
        self.marks: set[str] = set()

    def teardown(self) -> None:
        if hasattr(self, "ledger"):
            self.ledger.__exit__()
            self.folder.cleanup()

    def pieces(self) -> list[str]:
        return [piece.mark for piece in standing(self.ledger)]

    def pick(self, data: Any) -> str:
        return str(data.draw(st.sampled_from(self.pieces())))

    @rule(lengths=st.lists(LENGTHS, min_size=1, max_size=3), quantity=st.integers(1, 3), value=VALUES)
    def add(self, lengths: list[int], quantity: int, value: int | None) -> None:
        pieces = [
            handling.NewPiece(material=racks.TUBE, state=racks.State(length=length, value=value), quantity=quantity)
            for length in lengths
        ]
        given = handling.add(self.ledger, racks.doing(), pieces, Kind.FOUND if quantity == 2 else Kind.PUT)
        assert not self.marks & set(given)
        self.marks |= set(given)

    @precondition(lambda self: self.pieces())
    @rule(data=st.data(), length=LENGTHS, value=VALUES, some=st.sampled_from([None, 1, 2]))
    def correct(self, data: Any, length: int, value: int | None, some: int | None) -> None:
        to: dict[str, Any] = {"length": length} if value is None else {"value": value}
        with suppress(ProblemsFound):  # nothing that differs from what is known, or more than lie there
            _, after = handling.correct(self.ledger, racks.doing("correct"), self.pick(data), some, **to)
            self.marks.add(after.mark)

    @precondition(lambda self: self.pieces())
    @rule(data=st.data())
    def scrap(self, data: Any) -> None:
        handling.scrap(self.ledger, racks.doing("scrap"), [self.pick(data)])

    @precondition(lambda self: self.pieces())
    @rule(data=st.data(), less=st.integers(1, 150).map(mm))
    def take_and_bring_back(self, data: Any, less: int) -> None:
        taken = handling.take(self.ledger, racks.doing("take"), self.pick(data))
        handling.bring_back(self.ledger, racks.doing("return"), taken.mark, max(1, taken.state.length - less))

    @precondition(lambda self: self.pieces())
    @rule(data=st.data(), quantity=st.integers(1, 2))
    def take(self, data: Any, quantity: int) -> None:
        with suppress(ProblemsFound):  # fewer lie there
            self.out.append(handling.take(self.ledger, racks.doing("take"), self.pick(data), quantity).mark)

    @precondition(lambda self: self.out)
    @rule(data=st.data(), length=st.one_of(st.none(), LENGTHS))
    def bring_one_back(self, data: Any, length: int | None) -> None:
        mark = data.draw(st.sampled_from(self.out))
        with suppress(ProblemsFound):  # none is out any more, or it would have grown
            handling.bring_back(self.ledger, racks.doing("return"), mark, length)

    @precondition(lambda self: self.pieces())
    @rule(data=st.data(), found=st.integers(0, 3), less=st.integers(0, 3).map(mm))
    def count(self, data: Any, found: int, less: int) -> None:
        """A piece is found in another place than it was put, fewer or more of it, and shorter."""
        piece = data.draw(st.sampled_from(standing(self.ledger)))
        seen = counting.Seen(
            where="row 2", mark=piece.mark, found=found, length=max(1, piece.state.length - less),
            material=piece.material, state=piece.state,
        )  # fmt: skip
        with suppress(ProblemsFound):  # more than one of an offcut
            counting.count(self.ledger, racks.doing("count"), "C1", [seen])

    @precondition(lambda self: self.pieces())
    @rule(data=st.data(), job=st.sampled_from(JOBS))
    def hold(self, data: Any, job: str) -> None:
        mark = self.pick(data)
        if holding.free(self.ledger.db, mark, job, "2031-05-04"):
            with entry(self.ledger, racks.doing("hold")) as writing:
                holding.hold_for(writing, job, {mark: 1}, "2031-05-18")

    @rule(job=st.sampled_from(JOBS))
    def release(self, job: str) -> None:
        with suppress(ProblemsFound):  # nothing held
            holding.release(self.ledger, racks.doing("release"), job=job)

    @rule(data=st.data(), job=st.sampled_from(JOBS))
    def record(self, data: Any, job: str) -> None:
        """Plan from what is free and cut it: as planned, not at all, in part, with a measured left over or spoiled."""
        offered = offering.offered(self.ledger, builders.workshop(), job, [PART], "2031-05-04")
        whole = [piece for piece in offered if piece.quantity == 1][:1]
        subject = cut(job, tuple(whole))
        facts = {bar.number: data.draw(a_fact(bar)) for bar in subject[1].bars if data.draw(st.booleans())}
        self.plans += 1
        doing = racks.doing("record", job=job, plan=str(self.plans))
        cut_bars.record(self.ledger, doing, *subject, facts, uncut_until="2031-05-18")

    @rule(data=st.data(), step=st.sampled_from(TICKS), given=st.sampled_from(["", "saw-1", "saw-2"]))
    def tick(self, data: Any, step: Step, given: str) -> None:
        """A part is ticked, or its tick taken back, and said again: the second time changes nothing."""
        job, plan = cut("begun", ())
        bar = data.draw(st.sampled_from(list(plan.bars)))
        one = data.draw(st.sampled_from(bar.cuts))
        said = Tick(bar=bar.number, part=one.mark, copy=one.copy, spoiled=step is Step.SPOILED)
        note = note_of(job, plan, f"begun {self.begun}", "reports/begun")
        doing = racks.doing(step.value, job="begun", plan=note.plan)
        given = given and f"{given} of {self.begun}"
        for again in (False, True):
            before = ticks_of(self.ledger.db, note.plan)
            with suppress(Unchanged, ProblemsFound), entry(self.ledger, doing) as writing:
                ticks.tick(writing, note, step, [said], given)
            assert not again or ticks_of(self.ledger.db, note.plan) == before
        standing_ones = {(each.part, each.copy): each for each in ticks_of(self.ledger.db, note.plan)}
        if not given:
            there = standing_ones.get((said.part, said.copy))
            assert there == (None if step is Step.UNCUT else said)

    @rule(all_of_it=st.booleans())
    def record_begun(self, all_of_it: bool) -> None:
        """The plan that was begun is recorded as it is ticked, or all of it as cut; never less than was ticked."""
        job, plan = cut("begun", ())
        digest = f"begun {self.begun}"
        ticked = ticks_of(self.ledger.db, digest)
        try:
            facts = {} if all_of_it else ticked_facts(plan, ticked)
        except ProblemsFound:
            return  # a part is ticked behind one that is not
        with suppress(ProblemsFound):  # all of it as good, where some are ticked as spoiled
            done = cut_bars.record(self.ledger, racks.doing("record", job="begun", plan=digest), job, plan, facts)
            made = dict(done.made)
            for mark in {one.part for one in ticked}:
                assert made.get(mark, 0) >= sum(one.part == mark and not one.spoiled for one in ticked)
            self.begun += 1

    @rule()
    def undo(self) -> None:
        with suppress(ProblemsFound):  # nothing left to undo
            handling.undo(self.ledger, racks.doing("undo"))

    @invariant()
    def nothing_is_lost(self) -> None:
        if not hasattr(self, "ledger"):
            return
        assert contradictions(self.ledger) == ()
        sums = balance(self.ledger)
        assert sums.came_in == sums.on_hand + sums.parts + sums.kerf_and_trim + sums.scrap
        assert min(sums.on_hand, sums.parts, sums.kerf_and_trim, sums.scrap) >= 0
        marks = [row[0] for row in self.ledger.db.execute("SELECT mark FROM piece")]
        assert len(set(marks)) == len(marks)
        assert rebuild(self.ledger) == 0

    @invariant()
    def book_value_adds_up(self) -> None:
        """No action makes the rack worth more than what came with it; an undo takes back just what an action did."""
        if not hasattr(self, "ledger"):
            return
        grew: Counter[int] = Counter()
        lay: dict[int, tuple[int, int]] = {}
        out: Counter[int] = Counter()
        actions_done = self.ledger.db.execute("SELECT id, what, undoes FROM action ORDER BY id").fetchall()
        for action, what, undoes in actions_done:
            came = gone = 0
            for piece, parent, kind, quantity, value in self.ledger.db.execute(
                "SELECT piece, parent, kind, quantity, coalesce(value, 0) FROM movement JOIN piece "
                "ON piece.id = movement.piece JOIN state ON state.id = movement.state WHERE action = ? "
                "ORDER BY movement.id", (action,),
            ):  # fmt: skip
                had, was = lay.get(piece, (0, 0))
                lay[piece] = had + quantity, value
                grew[action] += (had + quantity) * value - had * was
                came += quantity * value if kind in ("bought", "put on the rack", "found", "counted") else 0
                if what == "take":
                    out[piece] += -quantity * was
                elif what == "return":
                    gone = out[parent if parent in out else piece]
            if undoes is not None:
                assert grew[action] == -grew[undoes], (action, what)
            elif what == "return":
                assert 0 <= grew[action] <= gone
            elif what != "correct":
                assert grew[action] <= max(0, came), (action, what)


PART = builders.part("A", 1, 700, section=offering.offcut_of(
    racks.Standing(mark="A1", material=racks.TUBE, state=racks.state(), quantity=1), builders.workshop(), 1
).section)  # fmt: skip


def a_fact(bar: Any) -> st.SearchStrategy[BarFact]:
    """Something that may have happened to a bar."""
    last = bar.cuts[-1].mark
    left = max(0, bar.length - bar.cuts[-1].end - bar.cuts[-1].kerf)
    return st.one_of(
        st.integers(0, len(bar.cuts)).map(lambda count: BarFact(cut=count)),
        st.integers(-5, 30).map(lambda more: BarFact(left=max(0, left + mm(more)))),
        st.integers(1, 400).map(lambda short: BarFact(spoiled=(Spoiled(mark=last, measured=mm(short)),))),
        st.just(BarFact(spoiled=(Spoiled(mark=last),))),
        st.just(BarFact(cut=0, scrapped=True)),
    )


RackMachine.TestCase.settings = settings(
    max_examples=examples(8, 2), stateful_step_count=10, deadline=None, suppress_health_check=list(HealthCheck)
)
test_any_sequence_of_actions = RackMachine.TestCase
