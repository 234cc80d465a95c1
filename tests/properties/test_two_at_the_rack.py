"""Two processes at one rack, by any sequence of actions, with clocks that disagree, and killed at any write.

What they do together is what they would have done one after the other, a killed command has done all of it or nothing,
an undo brings back what lay there before, a copy that is put back what lay there when it was made, and whatever was
done the ledger holds. What is lost by putting a copy back is told, and no mark is given a second time, whatever was put
back.
"""

from __future__ import annotations

import json
import os
import select
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from cutplan import actions
from cutplan.actions.checked import read_plan
from cutplan.model import CutBar, SourceKind
from cutplan.rack.store import open_ledger
from tests.builders import mm
from tests.effort import THOROUGH, examples
from tests.rack_look import Look, look

SECTION = "SHS 40x40x3"
PRICES = f"Merchant,Section,Length,Price,Per\nYard,{SECTION},6000,36,each\nYard,{SECTION},3000,20,each\n"
ZONES = {"Ines": "UTC", "Bo": "Pacific/Auckland"}
PLACES = ("B1", "C1")
LENGTHS = (340, 720, 1180, 1500, 2410)
MOST_WRITES = 70
"""A replan writes about so often."""
FEW_WRITES = 16
"""A copy is made or put back with fewer."""

SEEDS = st.integers(0, 2**32)
"""What is ordered is drawn by chance from a seed: what lies there then decides what can be, and that is not the same
whenever two processes meet."""

Order = dict[str, Any]


@dataclass
class Worker:
    """One of the two; started anew where it was killed."""

    who: str
    process: subprocess.Popen[str] | None = field(default=None)

    def send(self, folder: Path, order: Order, at: str, *, stop: int = 0, how: str = "") -> None:
        """Give an order, of which the answer is still to come."""
        if self.process is None:
            environment = {**os.environ, "TZ": ZONES[self.who], "PYTHONPATH": os.pathsep.join(sys.path)}
            self.process = subprocess.Popen(
                [sys.executable, "-m", "tests.rack_worker"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL, text=True, env=environment,
            )  # fmt: skip
            assert "ready" in self.answer()
        line = {"folder": str(folder), "who": self.who, "at": at, "stop": stop, "how": how, **order}
        self.go_on(json.dumps(line))

    def go_on(self, line: str = "") -> None:
        """A line to a worker that waits."""
        assert self.process is not None
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def answer(self) -> dict[str, Any]:
        """What came of an order; ``killed`` where the process is gone."""
        assert self.process is not None
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        if not line:
            self.process.wait()
            self.process = None
            return {"killed": True}
        found: dict[str, Any] = json.loads(line)
        assert "failed" not in found, found["failed"]
        # Nobody stops for long with the ledger in hand: two who wait in vain wait for one another.
        assert "has held for" not in found.get("refused", ""), found
        return found

    def is_done_within(self, seconds: float) -> bool:
        """Has it answered, or does it wait for the other?"""
        assert self.process is not None
        assert self.process.stdout is not None
        return bool(select.select([self.process.stdout.fileno()], [], [], seconds)[0])


@cache
def workers() -> dict[str, Worker]:
    """Both, for all examples of a run: to start one takes longer than most of what it does."""
    return {who: Worker(who) for who in ZONES}


def last_at_work(folder: Path) -> str:
    """Who did the last thing in the ledger."""
    rack = actions.find_rack(near=folder / "parts.csv", who="")
    if not rack.path.exists():
        return ""
    with rack.open(read_only=True) as ledger:
        row = ledger.db.execute("SELECT who FROM action ORDER BY id DESC LIMIT 1").fetchone()
    return str(row[0]) if row else ""


@dataclass(frozen=True)
class Moment:
    """What the ledger is at a time: how it looks, what lay there before each thing done, and numbers for those."""

    now: Look
    before: tuple[tuple[tuple[Any, ...], ...], ...] = ()
    done: tuple[int, ...] = ()


def last_seal(folder: Path, order: Order | None = None) -> str:
    """What binds all that was done in a ledger, or in the copy that an order puts back."""
    rack = actions.find_rack(near=folder / "parts.csv", who="")
    path = folder / order["with"]["copy"] if order else rack.path
    with open_ledger(path, read_only=True) as ledger:
        return str(ledger.db.execute("SELECT digest FROM seal ORDER BY action DESC LIMIT 1").fetchone())


class TwoAtTheRack(RuleBasedStateMachine):
    """A folder with a workshop and its jobs, and beside it what the ledger is, and was when copies of it were made."""

    @initialize(worth=st.sampled_from([0, 2]), copied=st.booleans())
    def begin(self, worth: int, copied: bool) -> None:
        self.temporary = tempfile.TemporaryDirectory()
        self.folder = Path(self.temporary.name) / "shop"
        self.folder.mkdir()
        value = f"[offcut_value_per_m]\nSHS = {worth}\n" if worth else ""
        shop = '[files]\nprices = "prices.csv"\n[saw]\nkerf = "2.5 mm"\nend_trim = "10 mm"\n[keep]\nSHS = "300 mm"\n'
        (self.folder / "workshop.toml").write_text(shop + value)
        (self.folder / "prices.csv").write_text(PRICES)
        self.number = 0
        self.is_at = Moment(look(self.folder))
        self.copies: dict[str, Moment] = {}
        self.given: set[str] = set()
        self.pieces: set[str] = set()
        self.plan_marks: dict[str, set[str]] = {}
        for what in ("add", "backup") if copied else ():
            self._alone({"do": what, "with": getattr(self, f"_to_{what}")(Random(0))}, "Ines", 1)

    def teardown(self) -> None:
        if hasattr(self, "temporary"):
            self.temporary.cleanup()

    # what can be ordered

    def marks(self) -> list[str]:
        return [piece[0] for piece in self.is_at.now.lying]

    def plans(self) -> list[str]:
        found = self.folder.glob("*/plan.json")
        return sorted(str(path.relative_to(self.folder)) for path in found if path.parent.name[0] != ".")

    def an_order(self, chance: Random) -> Order:
        """Something that can be done, or that is refused because it was done or cannot be."""
        kinds = ["add", "add", "read", "plan"]
        kinds += ["scrap", "take", "correct", "move", "count", "count"] if self.marks() else []
        kinds += (
            ["receive", "record", "record", "replan", "replan", "release", "order", "tick", "close"]
            if self.plans()
            else []
        )
        kinds += ["return"] if self.is_at.now.actions else []
        kinds += ["undo"] if self.is_at.before else []
        kinds += ["backup"] if self.is_at.done else []
        kinds += ["restore"] * 4 if self.copies else []
        what = chance.choice(kinds)
        return {"do": what, "with": getattr(self, f"_to_{what}")(chance)}

    def _to_add(self, chance: Random) -> Order:
        full = chance.choice((True, False))
        ends = {"end_a": "mill", "end_b": "mill"} if full else {}
        length = "3 m" if full else str(chance.choice(LENGTHS))
        quantity, value = chance.randint(1, 3), chance.choice([None, "4"])
        return {"section": SECTION, "length": length, "quantity": quantity, "place": chance.choice(PLACES),
                "value": value, **ends}  # fmt: skip

    def _to_read(self, chance: Random) -> Order:
        """A list of pieces with marks that they bear already, some of which may be those of others."""
        marks = chance.sample(["R1", "R2", "A1", "C1", "X7", "Z12"], chance.randint(1, 3))
        rows = [f"{mark},{SECTION},{chance.choice(LENGTHS)},{chance.choice(PLACES)}" for mark in marks]
        return {"sheet": "\n".join(["Mark,Section,Length,Place", *rows]) + "\n"}

    def _a_mark(self, chance: Random) -> str:
        return str(chance.choice(self.marks()))

    def _to_scrap(self, chance: Random) -> Order:
        return {"marks": [self._a_mark(chance)], "quantity": chance.choice([None, 1, 2])}

    def _to_take(self, chance: Random) -> Order:
        return {"mark": self._a_mark(chance), "quantity": chance.choice([None, 1, 2])}

    def _to_return(self, chance: Random) -> Order:
        """One of those that were taken, some of them, or a piece that was never taken."""
        gone = sorted({piece[0] for lying in self.is_at.before for piece in lying} | set(self.marks())) or ["A1"]
        length = chance.choice([None, "whole", "whole", "200", "1100"])
        return {"mark": chance.choice(gone), "length": length}

    def _to_correct(self, chance: Random) -> Order:
        what = chance.choice(["length", "value"])
        said = str(chance.choice(LENGTHS)) if what == "length" else "3"
        return {"mark": self._a_mark(chance), "quantity": chance.choice([None, 1, 2]), what: said}

    def _to_move(self, chance: Random) -> Order:
        return {"marks": [self._a_mark(chance)], "place": chance.choice(PLACES)}

    def _to_count(self, chance: Random) -> Order:
        """A place is counted, of which one piece may lie elsewhere, fewer or more of it, and shorter."""
        place, elsewhere = chance.choice(PLACES), self._a_mark(chance)
        rows = ["Mark,Section,Found,Length as measured"]
        for mark, section, length, quantity, at, *_ in self.is_at.now.lying:
            if at == place or mark == elsewhere:
                found = max(0, quantity + chance.choice([0, 0, -1, 1]))
                rows.append(f"{mark},{section},{found},{max(1, length - chance.randint(0, 2) * mm(1)) / 1e6} mm")
        return {"place": place, "sheet": "\n".join(rows) + "\n"}

    def _to_plan(self, chance: Random) -> Order:
        self.number += 1
        rows = [
            f"{mark},{chance.randint(1, 4)},{SECTION},{chance.choice([310, 700, 1480, 2900])}" for mark in ("P", "Q")
        ]
        return {"name": f"job{self.number}", "list": "\n".join(["Mark,Quantity,Section,Length", *rows]) + "\n",
                "hold": chance.choice((True, False))}  # fmt: skip

    def _a_plan(self, chance: Random) -> str:
        return str(chance.choice(self.plans()))

    def _to_receive(self, chance: Random) -> Order:
        """As ordered, shorter, longer, too few, too many, or another section."""
        name = self._a_plan(chance)
        job, plan = read_plan(self.folder / name)
        lengths = {offer.id: offer.length for offer in job.offers}
        rows = ["Line,Section,Quantity,Length,Price"]
        for bar in plan.bars:
            if bar.kind is SourceKind.BOUGHT:
                many = chance.choice([1, 1, 1, 0, 2])
                length = lengths[bar.source] + mm(chance.choice([0, 0, -900, -40, 500]))
                rows += [f"{bar.source},{SECTION},{many},{length / 1e6} mm,31"] if many else []
        return {"plan": name, "sheet": "\n".join(rows) + "\n"}

    def _to_record(self, chance: Random) -> Order:
        name = self._a_plan(chance)
        return {"plan": name, "facts": self._facts(chance, name)}

    def _to_replan(self, chance: Random) -> Order:
        self.number += 1
        name = self._a_plan(chance)
        facts = chance.choice([self._facts(chance, name), None])
        return {"plan": name, "facts": facts, "out": f"rest{self.number}"}

    def _facts(self, chance: Random, name: str) -> Mapping[str, Order]:
        _, plan = read_plan(self.folder / name)
        return {str(bar.number): a_fact(chance, bar) for bar in plan.bars if chance.choice((True, False))}

    def _to_release(self, chance: Random) -> Order:
        return {"job": self._a_plan(chance).split("/")[0]}

    def _to_order(self, chance: Random) -> Order:
        return {"plan": self._a_plan(chance)}

    def _to_close(self, chance: Random) -> Order:
        return {"plan": self._a_plan(chance)}

    def _to_tick(self, chance: Random) -> Order:
        """All of a bar, or one part, which may be spoiled or not cut after all."""
        plan, bar = self._a_plan(chance), {"bar": chance.randint(1, 3)}
        one = {"marks": [chance.choice(["P", "Q"])], "copy": chance.randint(1, 4)}
        bad = {**one, "measured": chance.choice(["0", "250"])}
        step, parts = chance.choice(
            [("cut", bar), ("cut", bar), ("cut", one), ("spoiled", bad), ("uncut", bar), ("uncut", one)]
        )
        return {"plan": plan, "step": step, "parts": parts}

    def _to_undo(self, chance: Random) -> Order:
        return {}

    def _to_backup(self, chance: Random) -> Order:
        self.number += 1
        return {"copy": f"copy{self.number}"}

    def _to_restore(self, chance: Random) -> Order:
        return {"copy": chance.choice(list(self.copies))}

    # what is done with orders

    def _done(self, who: str, order: Order, at: str, **stop: Any) -> dict[str, Any]:
        worker = workers()[who]
        worker.send(self.folder, order, at, **stop)
        return worker.answer()

    @contextmanager
    def _tried(self) -> Iterator[None]:
        """All that is done in the block is taken back, file by file."""
        kept = self.folder.with_name("kept")
        shutil.copytree(self.folder, kept)
        try:
            yield
        finally:
            shutil.rmtree(self.folder)
            kept.rename(self.folder)

    def _done_after(self, is_at: Moment, order: Order, after: Look) -> tuple[int, ...]:
        """Numbers of what is in the ledger once an order is done."""
        if order["do"] == "restore":
            return self.copies[order["with"]["copy"]].done
        first = self.number * 1000 + len(is_at.done)
        return (*is_at.done, *range(first, first + after.actions - is_at.now.actions))

    def _lost(self, is_at: Moment, order: Order) -> int:
        """How much a copy that is put back does not know."""
        return len(set(is_at.done) - set(self.copies[order["with"]["copy"]].done))

    def _entered(self, order: Order, after: Look, came: Mapping[str, Any]) -> None:
        """Note what a thing done came to; an undo brings back what lay there before the last one."""
        is_at, what = self.is_at, order["do"]
        before = is_at.before
        if what == "restore" and "refused" not in came:
            copy = self.copies[order["with"]["copy"]]
            assert seen(after) == seen(copy.now)
            assert came.get("came", self._lost(is_at, order)) == self._lost(is_at, order)
            before = copy.before
        elif after.actions > is_at.now.actions:
            if what == "undo":
                assert after.lying == before[-1]
                before = before[:-1]
            else:
                before = (*before, is_at.now.lying)
        else:
            assert after.lying == is_at.now.lying
        done = is_at.done if "refused" in came and what == "restore" else self._done_after(is_at, order, after)
        self.number += 1
        self.is_at = Moment(after, before, done)

    def _marks_given(self, *orders: Order) -> None:
        """A mark that was ever given, whatever copy was put back since, is not given to another piece."""
        rack = actions.find_rack(near=self.folder / "parts.csv", who="")
        pieces: set[str] = set()
        if self.is_at.done:
            with rack.open(read_only=True) as ledger:
                pieces = {row[0] for row in ledger.db.execute("SELECT mark FROM piece")}
        planned = set().union(*self.plan_marks.values()) if self.plan_marks else set()
        new = {name: self._marks_of_plan(name) for name in self.plans() if name not in self.plan_marks}
        typed = {line.split(",")[0] for order in orders for line in order["with"].get("sheet", "").splitlines()}
        put_back = any(order["do"] == "restore" for order in orders)
        if not put_back:
            again = (pieces - self.pieces) & self.given - planned - typed
            assert not again, (orders, again)
        again = set().union(*new.values()) & self.given - planned if new else set()
        assert not again, (orders, again)
        self.plan_marks |= new
        self.pieces = pieces
        self.given |= pieces.union(*new.values())

    def _marks_of_plan(self, name: str) -> set[str]:
        _, plan = read_plan(self.folder / name)
        return {bar.drop.mark for bar in plan.bars if bar.drop.mark}

    @rule(seed=SEEDS, who=st.sampled_from(list(ZONES)), day=st.integers(1, 28))
    def alone(self, seed: int, who: str, day: int) -> None:
        self._alone(self.an_order(Random(seed)), who, day)

    def _alone(self, order: Order, who: str, day: int) -> None:
        came = self._done(who, order, at(day))
        after = look(self.folder)
        if "refused" in came and order["do"] not in (
            "replan",
            "receive",
        ):  # where the rest cannot be planned, it is recorded
            assert after.lying == self.is_at.now.lying
        self._entered(order, after, came)
        self._copied(order)
        self._marks_given(order)

    def _copied(self, order: Order) -> None:
        """A copy that is there is whole, and is of the ledger as it is."""
        if order["do"] == "backup" and (self.folder / order["with"]["copy"]).exists():
            self.copies[order["with"]["copy"]] = self.is_at

    @rule(seed=SEEDS, who=st.sampled_from(list(ZONES)), day=st.integers(1, 28), write=st.integers(1, MOST_WRITES))
    def killed(self, seed: int, who: str, day: int, write: int) -> None:
        """All of it is done, or nothing of it."""
        chance = Random(seed)
        order = self.an_order(chance)
        how = "alarm" if order["do"] in ("backup", "restore") and chance.choice((True, False)) else "kill"
        if how == "kill" and order["do"] in ("backup", "restore"):
            write = 1 + write % FEW_WRITES
        with self._tried():
            whole = self._done(who, order, at(day))
            after = look(self.folder)
        came = self._done(who, order, at(day), stop=write * 3 if how == "alarm" else write, how=how)
        found = look(self.folder)
        if order["do"] == "plan":  # that marks were set aside for a plan which was not written is seen by nobody
            assert found.lying in (self.is_at.now.lying, after.lying), order
        else:
            assert found in ((after,) if "killed" not in came else (self.is_at.now, after)), order
        files = [whole["came"]] if order["do"] == "replan" and whole.get("came") else []
        if found == after and found != self.is_at.now:
            for name in files:
                read_plan(self.folder / name)
        if order["do"] == "restore" and "killed" in came and last_seal(self.folder) != last_seal(self.folder, order):
            came = {"refused": "killed before it was done"}
        self._entered(order, found, came)
        self._copied(order)
        self._marks_given(order)

    @rule(seed=SEEDS, days=st.tuples(*[st.integers(1, 28)] * 2), write=st.integers(1, MOST_WRITES))
    def together(self, seed: int, days: tuple[int, int], write: int) -> None:
        """The first waits at one of its writes until the second is done, or waits for it."""
        if not self.is_at.now.actions:
            return
        chance = Random(seed)
        first, second = self.an_order(chance), self.an_order(chance)
        if first["do"] in ("backup", "restore"):
            write = 1 + write % FEW_WRITES
        orders = (("Ines", first, at(days[0])), ("Bo", second, at(days[1])))
        ends = []
        for order in (orders, orders[::-1]):
            with self._tried():
                middles = []
                for who, what, when in order:
                    self._done(who, what, when)
                    middles.append(look(self.folder))
                ends.append((order, middles))
        workers()["Ines"].send(self.folder, first, at(days[0]), stop=write, how="wait")
        one = workers()["Ines"].answer()
        workers()["Bo"].send(self.folder, second, at(days[1]))
        if "waits" in one:
            workers()["Bo"].is_done_within(0.3)
            workers()["Ines"].go_on()
            one = workers()["Ines"].answer()
        other = workers()["Bo"].answer()
        found = look(self.folder)
        came = {"Ines": one, "Bo": other}
        fitting = [
            (order, middle)
            for order, (middle, end) in ends
            if seen(found) == seen(end) and self._told_lost(order, middle, came)
        ]
        if fitting:
            # Both orders may come to the same: then whoever did the last thing was second.
            last = last_at_work(self.folder)
            order, middle = next((each for each in fitting if each[0][1][0] == last), fitting[0])
            self._entered(order[0][1], middle, came[order[0][0]])
            if order[1][1]["do"] == "restore":
                self.given |= set(self.marks())
            self._entered(order[1][1], found, came[order[1][0]])
            self._marks_given(first, second)
            return
        # One may be refused because the other is at it.
        alone = {"first": ends[0][1][0], "second": ends[1][1][0]}
        assert "refused" in other or "refused" in one, (first, second, one, other)
        done = alone["first"] if "refused" in other else alone["second"]
        refused = second if "refused" in other else first
        # A plan is drawn with its marks before its pieces are held: one refused in between keeps them set aside, and
        # what comes then is given later ones.
        of_old = set(self.marks()) if refused["do"] == "plan" and refused["with"]["hold"] else None
        assert seen(found, of_old) == seen(done, of_old), (first, second, one, other)
        self._entered(*((first, found, one) if "refused" in other else (second, found, other)))
        self._marks_given(first, second)

    def _told_lost(self, order: tuple[tuple[str, Order, str], ...], middle: Look, came: Mapping[str, Any]) -> bool:
        """Would that order of events lose what was told to be lost?"""
        is_at = self.is_at
        for who, what, _ in order:
            if what["do"] == "restore" and came[who].get("came") not in (None, self._lost(is_at, what)):
                return False
            is_at = Moment(middle, done=self._done_after(is_at, what, middle))
        return True

    @invariant()
    def no_mark_is_given_twice(self) -> None:
        if hasattr(self, "folder") and self.is_at.now.actions:
            rack = actions.find_rack(near=self.folder / "parts.csv", who="")
            with rack.open(read_only=True) as ledger:
                marks = [row[0] for row in ledger.db.execute("SELECT mark FROM piece")]
            assert len(set(marks)) == len(marks)


def seen(found: Look, of_old: set[str] | None = None) -> tuple[Any, ...]:
    """What two orders of events can be told apart by: which marks were set aside for plans is left out.

    Where the marks ``of_old`` are given, a piece of any other mark is seen without it.
    """
    lying = found.lying
    if of_old is not None:
        unnamed = ((piece[0] if piece[0] in of_old else "", *piece[1:]) for piece in lying)
        lying = tuple(sorted(unnamed, key=repr))
    return lying, found.balances, found.actions


def at(day: int) -> str:
    """A time of day in a month, which may be before the last one."""
    return f"2031-05-{day:02}T{(day * 7) % 24:02}:30:00Z"


def a_fact(chance: Random, bar: CutBar) -> Order:
    """Something that may have happened to a bar."""
    last = bar.cuts[-1]
    left = max(0, bar.length - last.end - last.kerf)
    short = last.end - last.start
    return chance.choice(
        (
            {"cut": chance.randint(0, len(bar.cuts))},
            {"left": max(0, left + mm(chance.randint(-5, 30)))},
            {"spoiled": [{"mark": last.mark, "measured": short - mm(chance.randint(1, 150))}]},
            {"spoiled": [{"mark": last.mark}]},
            {"cut": 0, "scrapped": True, "left": min(mm(chance.randint(0, 1500)), bar.length - 1)},
        )
    )


TwoAtTheRack.TestCase.settings = settings(
    max_examples=examples(300, 1), stateful_step_count=8 if THOROUGH else 5, deadline=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
test_two_at_the_rack = TwoAtTheRack.TestCase
