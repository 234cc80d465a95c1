"""A workshop that works day after day, with books of its own.

It plans, orders, receives, cuts, ticks what it cuts and takes ticks back, spoils, bends, measures, counts, takes,
returns, replans, closes and undoes at random through :mod:`cutplan.actions`. Its books are whole numbers kept by rules
written from the manual (the rack; jobs; receiving, recording, replanning) and never from the package: of that it asks
what a plan says and which mark it gave a piece.

    python -m tests.workshop_days --first 1000 --seeds 200 --days 300 [--processes 2]

works in so many workshops, prints what was done in all of them, and of each that fails its seed, its folder and the
last things done. Ends with 1 where any failed.
"""

from __future__ import annotations

import argparse
import copy
import random
import re
import shutil
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from multiprocessing import Pool
from pathlib import Path
from typing import Any
from unittest import mock

from cutplan import actions
from cutplan.actions.checked import read_plan
from cutplan.actions.ticking import Parts
from cutplan.model import CutBar, Job, Plan, SourceKind
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import ProblemsFound
from cutplan.rack.history import life
from cutplan.rack.pieces import Kind, Standing
from cutplan.rack.replay import balances
from cutplan.rack.stages import Stage, Step
from tests.builders import mm
from tests.sheets import PRINTING

SECTIONS = ("SHS 40x40x3", "FL 40x5")
KEEP = mm(300)
WORKSHOP = """[files]
prices = "prices.csv"
[saw]
kerf = "2.5 mm"
end_trim = "10 mm"
[keep]
SHS = "300 mm"
FL = "300 mm"
"""
PRICES = "Merchant,Section,Length,Price,Per\n" + "".join(
    f"Yard,{section},{length},{price},each\n" for section in SECTIONS for length, price in ((6000, 36), (3000, 20))
)

_NOT_AS_PLANNED = re.compile(
    "not on the rack any more$|^[A-Z]+[0-9]+ with .* on the rack$|another job holds$|no length left of those received|"
    "^[0-9]+ wanted, [0-9]+ free$"
)
_TICKED_BEHIND_A_GAP = re.compile("^.* copy [0-9]+ ticked, .* copy [0-9]+ before it not$")


@dataclass
class Books:
    """Per section: what came in less what was taken away, and where it went; what lies there by mark; what is made."""

    came: Counter[str] = field(default_factory=Counter)
    parts: Counter[str] = field(default_factory=Counter)
    kerf: Counter[str] = field(default_factory=Counter)
    scrap: Counter[str] = field(default_factory=Counter)
    lying: dict[str, tuple[str, int, int]] = field(default_factory=dict)
    """Section, length and how many, by mark."""
    out: dict[str, tuple[str, int]] = field(default_factory=dict)
    """Taken whole and not brought back: section and length, by mark."""
    jobs: dict[str, Work] = field(default_factory=dict)

    def put(self, section: str, mark: str, length: int, quantity: int = 1) -> None:
        _, _, there = self.lying.get(mark, ("", 0, 0))
        self.lying[mark] = section, length, there + quantity

    def away(self, mark: str, quantity: int = 1) -> tuple[str, int]:
        section, length, there = self.lying.pop(mark)
        assert there >= quantity, f"{quantity} of {mark} leave, {there} lie there"
        if there > quantity:
            self.lying[mark] = section, length, there - quantity
        return section, length


@dataclass
class Work:
    """A job: how many of each part are wanted and made, and the plan of what is left; blank when all is cut."""

    wanted: dict[str, int]
    made: Counter[str] = field(default_factory=Counter)
    spoiled: Counter[str] = field(default_factory=Counter)
    plan_file: str = ""
    newest: str = ""
    """The last plan there was, recorded or not."""
    received: set[str] | None = None
    recorded: bool = False
    """Is the plan recorded, and what is left not planned yet?"""
    ticks: dict[tuple[str, int], Ticked] = field(default_factory=dict)
    """Parts of the plan said to be cut, by mark and copy."""
    ordered: bool = False
    closed: bool = False


@dataclass(frozen=True)
class Ticked:
    """A part that is cut; a spoiled one that was not measured is scrap."""

    bar: int
    spoiled: bool = False
    measured: int | None = None


class Workshop:
    """Works in a folder that it has for itself."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.random = folder, random.Random(seed)
        (folder / "workshop.toml").write_text(WORKSHOP)
        (folder / "prices.csv").write_text(PRICES)
        self.rack = actions.find_rack(near=folder / "parts.csv", who="Ines")
        self.books, self.before = Books(), list[Books]()
        self.day, self.names = date(2031, 1, 6), 0
        self.done: Counter[str] = Counter()
        self.log: list[str] = []

    def work(self, days: int) -> None:
        """Work so many days, one thing a day, and judge the rack every evening."""
        with self._no_paper(), mock.patch("cutplan.actions.rack_found.now") as now:
            for _ in range(days):
                now.return_value = f"{self.day}T09:30:00Z"
                self._one_thing()
                self._judge()
                self.day += timedelta(days=1)

    @contextmanager
    def _no_paper(self) -> Iterator[None]:
        """Plans are written without sheets and labels, which nobody reads here and which take most of the time."""
        patches = [mock.patch(name, lambda job, plan, path, *_, **__: path.touch()) for name in PRINTING]
        for patch in patches:
            patch.start()
        try:
            yield
        finally:
            for patch in patches:
                patch.stop()

    def _one_thing(self) -> None:
        open_jobs = [name for name, work in self.books.jobs.items() if work.plan_file]
        things: list[tuple[int, Callable[[], None]]] = [(2, self.add), (1, self.read_count)]
        if len(open_jobs) < 2:
            things.append((6, self.new_job))
        if open_jobs:
            name = self.random.choice(open_jobs)
            if self.books.jobs[name].recorded:
                things.append((9, lambda: self.plan_rest(name)))
            else:
                things += [(5, lambda: self.record(name)), (4, lambda: self.replan(name)), (7, lambda: self.tick(name))]
                if not self.books.jobs[name].ordered:
                    things.append((2, lambda: self.order(name)))
            if self.books.jobs[name].received is None and not self.books.jobs[name].recorded:
                things.append((4, lambda: self.receive(name)))
        finished = [name for name, work in self.books.jobs.items() if not (work.plan_file or work.closed)]
        if finished:
            things.append((1, lambda: self.close(self.random.choice(finished))))
        if self.books.lying:
            things += [(1, self.scrap), (2, self.take), (1, self.correct), (1, self.move)]
        if self.books.out:
            things.append((3, self.bring_back))
        if self.before:
            things.append((3, self.undo))
        weights, choices = zip(*things, strict=True)
        choice = self.random.choices(choices, weights)[0]
        choice()

    def _begin(self, what: str) -> None:
        self.before.append(copy.deepcopy(self.books))
        self.done[what] += 1
        self.log.append(f"{self.day} {what}")

    # what is done to the rack

    def add(self) -> None:
        self._begin("add")
        section, length = self.random.choice(SECTIONS), self.random.randrange(350, 2500)
        full = self.random.random() < 0.3
        quantity = self.random.randrange(1, 4) if full else 1
        ends: dict[str, Any] = {"end_a": "mill", "end_b": "mill"} if full else {}
        value = self.random.choice([None, "0", "4"])
        given = actions.rack_add(
            self.rack, section, str(length), quantity=quantity, place=self._place(), value=value, **ends
        )  # fmt: skip
        (mark,) = given
        self.books.put(section, mark, mm(length), quantity)
        self.books.came[section] += mm(length) * quantity

    def scrap(self) -> None:
        self._begin("scrap")
        mark = self._mark()
        quantity = self.random.randrange(1, self.books.lying[mark][2] + 1)
        actions.rack_scrap(self.rack, [mark], quantity=quantity)
        section, length = self.books.away(mark, quantity)
        self.books.scrap[section] += length * quantity

    def take(self) -> None:
        single = [mark for mark, (_, _, there) in self.books.lying.items() if there == 1]
        if not single:
            return
        self._begin("take")
        mark = self.random.choice(single)
        actions.rack_take(self.rack, mark)
        section, length = self.books.away(mark)
        self.books.parts[section] += length
        self.books.out[mark] = section, length

    def bring_back(self) -> None:
        self._begin("return")
        mark = self.random.choice(list(self.books.out))
        section, length = self.books.out.pop(mark)
        left = self.random.choice([length, self.random.randrange(1, length + 1)])
        back = actions.rack_return(self.rack, mark, length="whole" if left == length else f"{left / 1e6:.6f} mm")
        assert back.mark == mark
        self.books.put(section, mark, left)
        self.books.parts[section] -= left

    def correct(self) -> None:
        self._begin("correct")
        mark = self._mark()
        _, length, there = self.books.lying[mark]
        now = length + mm(self.random.choice([-3, -1, 2]))
        if now <= 0:
            self.before.pop()
            return
        some = self.random.randrange(1, there + 1)
        typed = f"{now / 1e6:.6f} mm"
        _, after = actions.rack_correct(self.rack, mark, quantity=some, length=typed, reason="measured")
        assert (after.mark == mark) == (some == there), "some of a lot have a mark of their own"
        section, _ = self.books.away(mark, some)
        self.books.put(section, after.mark, now, some)
        self.books.came[section] += (now - length) * some

    def move(self) -> None:
        self._begin("move")
        actions.rack_move(self.rack, [self._mark()], self._place())

    def read_count(self) -> None:
        """One place is counted: some lie there, some do not, some were measured, and one bears no mark."""
        place = self._place()
        there = actions.rack_show(self.rack, place=place) if self.rack.path.exists() else ()
        if not there:
            return
        self._begin("count")
        rows = ["Mark,Section,Found,Length as measured"]
        for piece in there:
            section, length, quantity = self.books.lying[piece.mark]
            found = self.random.choice([quantity, quantity, quantity, self.random.randrange(quantity + 1)])
            measured = max(1, length + mm(self.random.choice([0, 0, -2, 1]))) if found else length
            rows.append(f"{piece.mark},{section},{found},{measured / 1e6:.6f} mm")
            self.books.away(piece.mark, quantity)
            if found:
                self.books.put(section, piece.mark, measured, found)
            self.books.came[section] += measured * found - length * quantity
        extra = self.random.random() < 0.3
        if extra:
            rows.append(f",{SECTIONS[0]},1,777 mm")
        (self.folder / "count.csv").write_text("\n".join(rows) + "\n")
        differences = actions.rack_count(self.rack, place, self.folder / "count.csv")
        if extra:
            self.books.put(SECTIONS[0], differences[-1].mark, mm(777))
            self.books.came[SECTIONS[0]] += mm(777)

    def undo(self) -> None:
        """The books go back to where they were before the last thing; an undone thing is done no more."""
        books = self.before.pop()
        self.done["undo"] += 1
        self.log.append(f"{self.day} undo")
        actions.undo(self.rack)
        self.books = books

    # what is done for a job

    def new_job(self) -> None:
        self.names += 1
        name = f"job{self.names}"
        wanted, lines = {}, ["Mark,Quantity,Section,Length"]
        for number in range(self.random.randrange(1, 4)):
            mark, quantity = f"P{number + 1}", self.random.randrange(1, 5)
            lines.append(f"{mark},{quantity},{self.random.choice(SECTIONS)},{self.random.randrange(200, 2600)}")
            wanted[mark] = quantity
        parts = self.folder / f"{name}.csv"
        parts.write_text("\n".join(lines) + "\n")
        job = actions.read_job(parts, rack=self.rack.path if self.rack.path.exists() else None)
        _, files = actions.plan_into(job, self.folder / name, rack=self.rack)
        # To plan is no movement; a plan that an undo goes back beyond is still there.
        for books in (*self.before, self.books):
            books.jobs[name] = Work(wanted=wanted, plan_file=str(files[0]), newest=str(files[0]))
        self.done["plan"] += 1
        self.log.append(f"{self.day} plan {name}")

    def order(self, name: str) -> None:
        work = self.books.jobs[name]
        _, plan = read_plan(work.plan_file)
        if all(bar.kind is SourceKind.OFFCUT for bar in plan.bars):
            return
        self._begin("order")
        actions.job_ordered(work.plan_file, self.rack, number="7")
        work.ordered = True

    def tick(self, name: str) -> None:
        """Parts leave the saw, mostly in the order in which they lie: good, spoiled, or not cut after all."""
        work = self.books.jobs[name]
        job, plan = read_plan(work.plan_file)
        bar = self.random.choice(list(plan.bars))
        left = [cut for cut in bar.cuts if (cut.mark, cut.copy) not in work.ticks]
        there = [cut for cut in bar.cuts if (cut.mark, cut.copy) in work.ticks]
        kind = self.random.choice(["cut", "cut", "cut", "all", "any", "spoiled", "spoiled", "bad after all", "uncut"])
        some = there if kind in ("bad after all", "uncut") else left
        if not some:
            return
        cut = {"uncut": some[-1], "any": self.random.choice(some), "bad after all": self.random.choice(some)}.get(
            kind, some[0]
        )
        step = {"uncut": Step.UNCUT, "spoiled": Step.SPOILED, "bad after all": Step.SPOILED}.get(kind, Step.CUT)
        meant = [(each.mark, each.copy) for each in (left if kind == "all" else [cut])]
        measured, typed = None, ""
        if step is Step.SPOILED:
            length = next(part.length for part in job.parts if part.mark == cut.mark)
            measured = self.random.choice([None, length - mm(self.random.randrange(1, 150))])
            typed = "0" if measured is None else f"{measured / 1e6:.6f} mm"
        parts = Parts(bar=bar.number)
        if kind != "all":
            parts = Parts(marks=(cut.mark,), bar=bar.number, copy=cut.copy, measured=typed)
        now = Ticked(bar.number, step is Step.SPOILED, measured)
        if step is not Step.UNCUT and all(work.ticks.get(part) == now for part in meant):
            return  # said twice, it does nothing, and is not to be undone
        self._begin({Step.CUT: "tick", Step.SPOILED: "tick as spoiled", Step.UNCUT: "untick"}[step])
        done = actions.tick_parts(work.plan_file, self.rack, step, parts)
        assert [(one.part, one.copy) for one in done.changed] == meant
        for part in meant:
            work.ticks.pop(part, None)
            if step is not Step.UNCUT:
                work.ticks[part] = now
        assert done.there == len(work.ticks)

    def _untick(self, name: str) -> None:
        """All ticks of a plan are taken back, bar by bar."""
        work = self.books.jobs[name]
        for number in sorted({one.bar for one in work.ticks.values()}):
            self._begin("untick")
            actions.tick_parts(work.plan_file, self.rack, Step.UNCUT, Parts(bar=number))
            work = self.books.jobs[name]
            work.ticks = {part: one for part, one in work.ticks.items() if one.bar != number}

    def close(self, name: str) -> None:
        self._begin("close")
        shown, _ = actions.job_close(self.rack, self.books.jobs[name].newest)
        assert shown.story.stage is Stage.CLOSED
        self.books.jobs[name].closed = True

    def receive(self, name: str) -> None:
        work = self.books.jobs[name]
        job, plan = read_plan(work.plan_file)
        ordered = Counter(bar.source for bar in plan.bars if bar.kind is SourceKind.BOUGHT)
        if not ordered:
            return
        offers = {offer.id: offer for offer in job.offers}
        rows = []
        for offer, quantity in ordered.items():
            section, length = offers[offer].section.designation, offers[offer].length
            for _ in range(quantity):
                kind = self.random.random()
                if kind < 0.1:
                    continue  # too few came
                if kind < 0.15:
                    section = self.random.choice(SECTIONS)
                if kind < 0.4:
                    rows.append((offer, section, length + mm(self.random.choice([-900, -40, -5, 8, 500]))))
                else:
                    rows.append((offer, section, length))
        if not rows:
            return
        self._begin("receive")
        sheet = self.folder / "delivery.csv"
        lines = [f"{offer},{section},1,{length / 1e6:.6f} mm,31" for offer, section, length in rows]
        sheet.write_text("\n".join(["Line,Section,Quantity,Length,Price", *lines]) + "\n")
        known = set(self._marks())
        ticked = self._as_ticked(plan, work)
        done = self._tried(
            lambda: actions.receive(
                work.plan_file, self.rack, given=sheet, place=self._place()
            ),
            behind_a_gap=ticked is None,
        )  # fmt: skip
        if done is None:
            return
        for piece in done.pieces:
            assert piece.mark not in known
            section = piece.material.designation
            self.books.put(section, piece.mark, piece.state.length, piece.quantity)
            self.books.came[section] += piece.state.length * piece.quantity
        came = Counter((p.material.designation, p.state.length) for p in done.pieces for _ in range(p.quantity))
        assert came == Counter((section, length) for _, section, length in rows)
        work = self.books.jobs[name]
        work.received = {piece.mark for piece in done.pieces}
        if done.again is not None:
            assert ticked is not None
            self._cut(name, job, plan, ticked)
            self._goes_on(name, done.again)

    def record(self, name: str) -> None:
        """As planned, by a cut record, or by the ticks, the others being cut too or not."""
        work = self.books.jobs[name]
        job, plan = read_plan(work.plan_file)
        how = self.random.choice(["all", "record", "record"])
        if work.ticks:
            how = self.random.choice(["all", "ticked", "ticked", "record", "fewer"])
        facts, said = {}, None
        became: dict[int, BarFact] | None
        if how == "all":
            became = {number: BarFact(spoiled=bad) for number, bad in self._spoiled(work).items()}
        elif how == "ticked":
            became = self._as_ticked(plan, work)
        else:
            became = said = facts = self._facts(job, plan, work)
            if how == "fewer":  # a cut record that goes against the ticks
                number = self.random.choice(list(work.ticks.values())).bar
                said, became = {**facts, number: BarFact(cut=0)}, None
        self._begin("record")
        done = self._tried(
            lambda: actions.record(
                work.plan_file, self.rack, facts=said, place=self._place(),
                all_cut={"all": True, "ticked": False}.get(how) if work.ticks else None,
            ),
            behind_a_gap=became is None, against_ticks=became is None,
        )  # fmt: skip
        if done is None:
            return
        assert became is not None, "a tick behind a gap, or against the record"
        facts = became
        assert done.before is None
        self._cut(name, job, plan, facts)
        work = self.books.jobs[name]
        work.ticks, work.recorded = {}, bool(self._left(name))
        if not work.recorded:
            work.plan_file = ""

    def plan_rest(self, name: str) -> None:
        """What a record left to cut is planned, with nothing more to say of it."""
        self._begin("replan")
        self._goes_on(name, actions.replan(self.books.jobs[name].plan_file, self.rack, out=self._folder(name)))

    def replan(self, name: str, *, uncut: bool = False) -> None:
        """What went wrong is recorded and the rest planned; where the rack no longer serves a plan, nothing was cut."""
        work = self.books.jobs[name]
        job, plan = read_plan(work.plan_file)
        by_ticks = bool(work.ticks) and not uncut and self.random.random() < 0.7
        facts: dict[int, BarFact] | None
        if uncut:
            facts = {bar.number: BarFact(cut=0) for bar in plan.bars}
        else:
            facts = self._as_ticked(plan, work) if by_ticks else self._facts(job, plan, work)
        self._begin("replan")
        done = self._tried(
            lambda: actions.replan(
                work.plan_file, self.rack, facts=None if by_ticks else facts, out=self._folder(name)
            ),
            behind_a_gap=facts is None,
        )  # fmt: skip
        if done is None:
            assert not uncut
            self._untick(name)
            self.replan(name, uncut=True)
            return
        assert facts is not None, "a tick behind a gap"
        self._cut(name, job, plan, facts)
        self._goes_on(name, done)

    def _goes_on(self, name: str, again: Any) -> None:
        work = self.books.jobs[name]
        left = self._left(name)
        assert (again.plan is None) == (not left)
        work.received, work.recorded, work.ordered, work.ticks = None, False, False, {}
        work.plan_file = str(again.files[0]) if again.files else ""
        work.newest = work.plan_file or work.newest
        if again.job is not None:
            assert {part.mark: part.quantity for part in again.job.parts} == left

    def _tried(self, call: Callable[[], Any], *, behind_a_gap: bool = False, against_ticks: bool = False) -> Any:
        """Do it; None where it is refused because of the rack or its ticks, which changes nothing."""
        refusals = [_NOT_AS_PLANNED]
        refusals += [_TICKED_BEHIND_A_GAP] * behind_a_gap
        refusals += [re.compile("where [0-9]+ are ticked, [0-9]+ as spoiled$")] * against_ticks
        try:
            return call()
        except ProblemsFound as refused:
            self.before.pop()
            self.done["refused"] += 1
            self.log.append(f"{self.day} refused: {refused.problems[0].found}")
            if not all(any(known.search(problem.found) for known in refusals) for problem in refused.problems):
                raise
            return None

    def _left(self, name: str) -> dict[str, int]:
        work = self.books.jobs[name]
        return {mark: n - work.made[mark] for mark, n in work.wanted.items() if n > work.made[mark]}

    def _spoiled(self, work: Work) -> dict[int, tuple[Spoiled, ...]]:
        """What is ticked as spoiled, bar by bar."""
        bad: dict[int, Counter[tuple[str, int | None]]] = {}
        for (mark, _), one in sorted(work.ticks.items()):
            if one.spoiled:
                bad.setdefault(one.bar, Counter())[mark, one.measured] += 1
        return {
            bar: tuple(Spoiled(mark=mark, quantity=n, measured=long) for (mark, long), n in parts.items())
            for bar, parts in bad.items()
        }

    def _as_ticked(self, plan: Plan, work: Work) -> dict[int, BarFact] | None:
        """What the ticks say of every bar; None where one is ticked and one nearer to START is not."""
        bad, facts = self._spoiled(work), {}
        for bar in plan.bars:
            ticked = [(cut.mark, cut.copy) in work.ticks for cut in bar.cuts]
            if ticked != sorted(ticked, reverse=True):
                return None
            facts[bar.number] = BarFact(cut=sum(ticked), spoiled=bad.get(bar.number, ()))
        return facts

    def _facts(self, job: Job, plan: Plan, work: Work) -> dict[int, BarFact]:
        """What happens to each bar: nothing, not cut, cut in part, bent, a part spoiled, its left over measured.

        A bar with ticks is cut whole, and of its parts those are spoiled that are ticked so.
        """
        facts = {}
        bad = self._spoiled(work)
        for bar in plan.bars:
            if any(one.bar == bar.number for one in work.ticks.values()):
                facts[bar.number] = BarFact(spoiled=bad.get(bar.number, ()))
                continue
            kind = self.random.choice(["fine", "fine", "not", "part", "bent", "spoiled", "measured"])
            last = bar.cuts[-1]
            left = max(0, bar.length - last.end - last.kerf)
            if kind == "not":
                facts[bar.number] = BarFact(cut=0)
            elif kind == "part":
                facts[bar.number] = BarFact(cut=self.random.randrange(len(bar.cuts) + 1))
            elif kind == "bent":
                usable = self.random.choice([None, min(bar.length - 1, mm(self.random.randrange(100, 1500)))])
                facts[bar.number] = BarFact(cut=0, scrapped=True, left=usable)
            elif kind == "spoiled":
                part = next(part for part in job.parts if part.mark == last.mark)
                short = self.random.choice([None, part.length - mm(self.random.randrange(1, 150))])
                facts[bar.number] = BarFact(spoiled=(Spoiled(mark=last.mark, measured=short),))
            elif kind == "measured" and left:
                facts[bar.number] = BarFact(left=max(0, left + mm(self.random.choice([-6, -1, 3, 9]))))
        return facts

    # the books

    def _cut(self, name: str, job: Job, plan: Plan, facts: dict[int, BarFact]) -> None:
        """Enter what was cut: each bar by the manual, the marks of what came of it from the pieces themselves."""
        work, books = self.books.jobs[name], self.books
        used, came = self._written()
        for bar in plan.bars:
            fact = facts.get(bar.number, BarFact())
            section = next(part for part in job.parts if part.mark == bar.cuts[0].mark).section.designation
            count = len(bar.cuts) if fact.cut is None else fact.cut
            bought = bar.kind is SourceKind.BOUGHT and work.received is None
            if not count and not fact.scrapped:
                if bought:  # it lies whole, under the mark of its offer
                    (mark,) = {mark for number, mark, length in came["bought"] if number == 0 and length == bar.length
                               and mark in self._offer_marks(bar)}  # fmt: skip
                    books.put(section, mark, bar.length)
                    books.came[section] += bar.length
                continue
            mark, length = used.get(bar.number, ("", 0))
            if not mark:  # bent, and all of it usable: it lies there as if nothing were
                assert fact.scrapped
                assert (fact.left or 0) >= bar.length
                continue
            if bought:
                books.came[section] += bar.length
                counted = bar.length
            else:
                if bar.kind is SourceKind.OFFCUT:
                    assert mark == bar.source or length != bar.length
                else:
                    assert work.received
                at = bar.source if bar.kind is SourceKind.OFFCUT else self._lot_of(mark)
                there, counted = books.away(at)
                assert there == section
            kept = self._one_bar(name, job, bar, fact, count, section, counted)
            got = sorted(length for number, _, length in came["cut from"] if number == bar.number)
            assert got == sorted(kept), f"bar {bar.number}: {got} kept, {sorted(kept)} expected"
            for number, new, length in came["cut from"]:
                if number == bar.number:
                    books.put(section, new, length)

    def _one_bar(
        self, name: str, job: Job, bar: CutBar, fact: BarFact, count: int, section: str, length: int
    ) -> list[int]:
        """What is kept of a bar of a length; parts, kerf and scrap are entered, and what it was longer than counted."""
        books, made = self.books, self.books.jobs[name].made
        wanted = {part.mark: part.length for part in job.parts}
        cuts, rest = bar.cuts[:count], bar.cuts[count:]
        good = Counter(cut.mark for cut in cuts)
        saved, lost, short = [], 0, 0
        for one in fact.spoiled:
            good[one.mark] -= one.quantity
            self.books.jobs[name].spoiled[one.mark] += one.quantity
            if one.measured is None:
                lost += wanted[one.mark] * one.quantity
            else:
                saved += [one.measured] * one.quantity
                short += (wanted[one.mark] - one.measured) * one.quantity
        parts = sum(wanted[mark] * number for mark, number in good.items())
        if not count:
            left = min(fact.left or 0, length)
        elif fact.left is not None:
            left = fact.left
        else:
            left = max(0, max(0, length - cuts[-1].end - cuts[-1].kerf) + short)
        least = min([KEEP, *(wanted[cut.mark] for cut in rest)])
        keeps = left >= least and left > 0 and (not count or not fact.scrapped)
        scrap = lost + (0 if keeps else left)
        if not count:
            scrap = length - (left if keeps else 0)
        kept = saved + ([left] if keeps else [])
        kerf = length - parts - scrap - sum(kept)
        if count:
            # The saw took what the plan says at least, or all there was; if less is left for it the bar was longer.
            lengths = sum(cut.end - cut.start for cut in cuts)
            took = min(cuts[-1].end + cuts[-1].kerf - lengths, length - lengths)
            if kerf < took:
                books.came[section] += took - kerf
                kerf = took
        books.parts[section] += parts
        books.scrap[section] += scrap
        books.kerf[section] += kerf
        made.update(good)
        return kept

    def _written(self) -> tuple[dict[int, tuple[str, int]], dict[str, list[tuple[int, str, int]]]]:
        """Which mark each bar was cut from, and what came by which movement, in the last action."""
        with self.rack.open(read_only=True) as ledger:
            rows = ledger.db.execute(
                "SELECT mark, kind, bar, length FROM movement JOIN piece ON piece.id = movement.piece JOIN state "
                "ON state.id = movement.state WHERE action = (SELECT max(id) FROM action) AND quantity <> 0"
            ).fetchall()
        used = {bar: (mark, length) for mark, kind, bar, length in rows if kind == Kind.USED.value}
        came: dict[str, list[tuple[int, str, int]]] = {"bought": [], "cut from": []}
        for mark, kind, bar, length in rows:
            if kind in came:
                came[kind].append((bar or 0, mark, length))
        return used, came

    def _offer_marks(self, bar: CutBar) -> set[str]:
        with self.rack.open(read_only=True) as ledger:
            rows = ledger.db.execute(
                "SELECT mark FROM movement JOIN piece ON piece.id = movement.piece WHERE kind = 'bought' AND note = ? "
                "AND action = (SELECT max(id) FROM action)", (bar.source,)
            ).fetchall()  # fmt: skip
        return {mark for (mark,) in rows}

    def _lot_of(self, mark: str) -> str:
        """The lot that a piece was one of, where it was measured and has a mark of its own since."""
        if mark in self.books.lying:
            return mark
        with self.rack.open(read_only=True) as ledger:
            return life(ledger, mark).parent

    def _judge(self) -> None:
        """The rack is what the books say, section by section and mark by mark, and the ledger holds."""
        if not self.rack.path.exists():
            return
        faults, _ = actions.rack_verify(self.rack)
        assert faults == (), (faults, self.log[-6:])
        books = self.books
        lying = {
            piece.mark: (piece.material.designation, piece.state.length, piece.quantity) for piece in self._pieces()
        }
        assert lying == books.lying, self.log[-6:]
        with self.rack.open(read_only=True) as ledger:
            each = {material.designation: one for material, one in balances(ledger).items()}
        for section, one in each.items():
            said = (one.came_in, one.parts, one.kerf_and_trim, one.scrap)
            kept = (books.came[section], books.parts[section], books.kerf[section], books.scrap[section])
            assert said == kept, (section, self.log[-6:])
            there = sum(length * number for what, length, number in books.lying.values() if what == section)
            assert books.came[section] == there + sum(kept[1:])

    def delivered(self) -> None:
        """Of every job, what was made and what its plan still cuts is what was wanted, and so the job is shown."""
        for name, work in self.books.jobs.items():
            good = Counter(mark for (mark, _), one in work.ticks.items() if not one.spoiled)
            bad = Counter(mark for (mark, _), one in work.ticks.items() if one.spoiled)
            to_come: Counter[str] = Counter()
            if work.recorded:
                to_come.update(self._left(name))
            elif work.plan_file:
                _, plan = read_plan(work.plan_file)
                to_come.update(cut.mark for bar in plan.bars for cut in bar.cuts)
            assert work.made + to_come == Counter(work.wanted), name
            if not self.rack.path.exists():
                continue
            shown = actions.job_show(self.rack, work.newest)
            assert Counter(dict(shown.made)) == +(work.made + good), name
            assert Counter(dict(shown.spoiled)) == +(work.spoiled + bad), name
            cut = Counter(mark for _, parts in shown.to_come for mark, _ in parts) + Counter(dict(shown.missing))
            assert cut == to_come - good - bad, name
            assert (shown.story.stage is Stage.CLOSED) == work.closed, name

    def _pieces(self) -> tuple[Standing, ...]:
        return actions.rack_show(self.rack)

    def _marks(self) -> list[str]:
        return [piece.mark for piece in self._pieces()] if self.rack.path.exists() else []

    def _actions(self) -> list[str]:
        with self.rack.open(read_only=True) as ledger:
            return [row[0] for row in ledger.db.execute("SELECT what FROM action ORDER BY id")]

    def _mark(self) -> str:
        return self.random.choice(list(self.books.lying))

    def _place(self) -> str:
        return self.random.choice(["B1", "B2", "C1"])

    def _folder(self, name: str) -> Path:
        self.names += 1
        return self.folder / f"{name}-rest{self.names}"


def worked(folder: Path, seed: int, days: int) -> Workshop:
    """A workshop after so many days, in which every part wanted is made or still to come."""
    shop = Workshop(folder, seed)
    shop.work(days)
    shop.delivered()
    return shop


def _attempt(task: tuple[int, int]) -> tuple[int, Counter[str], str]:
    """The seed, how often each thing was done, and what went wrong."""
    seed, days = task
    folder = Path(tempfile.mkdtemp(prefix=f"workshop-{seed}-"))
    shop = Workshop(folder, seed)
    try:
        shop.work(days)
        shop.delivered()
    except Exception:
        last = "\n".join(shop.log[-8:])
        return seed, shop.done, f"seed {seed}, day {shop.day}, in {folder}:\n{last}\n{traceback.format_exc(limit=-3)}"
    shutil.rmtree(folder)
    return seed, shop.done, ""


def main() -> int:
    """Work in the workshops that the command line says."""
    parser = argparse.ArgumentParser(prog="python -m tests.workshop_days")
    parser.add_argument("--first", type=int, default=1000, help="the first seed")
    parser.add_argument("--seeds", type=int, default=200, help="how many")
    parser.add_argument("--days", type=int, default=300)
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    tasks = [(seed, given.days) for seed in range(given.first, given.first + given.seeds)]
    done: Counter[str] = Counter()
    failed = 0
    with Pool(given.processes) as pool:
        for seed, things, fault in pool.imap(_attempt, tasks):
            done += things
            failed += bool(fault)
            print(fault or f"seed {seed}: {things.total()} things done", flush=True)
    print(f"{given.seeds} workshops of {given.days} days, {failed} failed: {dict(sorted(done.items()))}")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
