"""Was everything that was done to a plan what might be done to it then, and is no less recorded than was ticked?"""

from __future__ import annotations

import sqlite3
from collections import Counter, defaultdict

from cutplan.problems import ProblemsFound
from cutplan.rack.seals import Written
from cutplan.rack.stages import Stage, Step, next_stage, stage_of


class JobsFollowed:
    """Goes through the actions in order and holds each to the table of legal steps; ``found`` says what is amiss.

    Actions that were undone are left out: what an undo takes back is the last thing done, so that nothing rests on it.
    """

    def __init__(self, db: sqlite3.Connection) -> None:
        self.found: list[str] = []
        self.undone = {row[0] for row in db.execute("SELECT undoes FROM action WHERE undoes IS NOT NULL")}
        self.job_of: dict[str, str] = {}
        self.closed: set[str] = set()
        self.steps: dict[str, set[Step]] = defaultdict(set)
        self.ticks: dict[str, dict[tuple[str, int], Step]] = defaultdict(dict)

    def see(self, written: Written) -> None:
        """The next action."""
        if not written.events and not written.ticks:
            return
        number, name = written.action[0], written.action[4]
        if number in self.undone:
            return
        planned = [row for row in written.events if row[4] == Step.PLANNED.value]
        for _, _, job, plan, *_ in planned:
            self._do(number, name, plan, Step.PLANNED, job)
        for _, _, plan, step, _, part, copy, *_ in written.ticks:
            self._do(number, name, plan, Step(step), self.job_of.get(plan, ""))
            if step == Step.UNCUT.value:
                self.ticks[plan].pop((part, copy), None)
            else:
                self.ticks[plan][part, copy] = Step(step)
        for _, _, job, plan, step, *_ in written.events:
            if step == Step.RECORDED.value:
                self._as_ticked(number, name, plan, written)
            if step != Step.PLANNED.value:
                self._do(number, name, plan, Step(step), job)

    def _do(self, number: int, name: str, plan: str, step: Step, job: str) -> None:
        stage = stage_of(self.steps[plan], ticked=bool(self.ticks[plan]))
        if job in self.closed:
            stage = Stage.CLOSED
        try:
            if step is not Step.UNCUT or stage is Stage.CLOSED or self.ticks[plan]:
                next_stage(stage, step, name)
        except ProblemsFound as refused:
            self.found.append(f"action {number}, {name}: {refused.problems[0].found}")
        if self.job_of.setdefault(plan, job) != job:
            self.found.append(f"action {number}, {name}: a plan of another job")
        if step not in (Step.CUT, Step.SPOILED, Step.UNCUT):
            self.steps[plan].add(step)
        if step is Step.CLOSED:
            self.closed.add(job)

    def _as_ticked(self, number: int, name: str, plan: str, written: Written) -> None:
        """What is recorded of each part is no less than what was ticked of it."""
        made: Counter[tuple[str, Step]] = Counter()
        for _, _, part, good, spoiled in written.made:
            made[part, Step.CUT] += good
            made[part, Step.SPOILED] += spoiled
        ticked = Counter((part, step) for (part, _), step in self.ticks[plan].items())
        for (part, step), count in ticked.items():
            if made[part, step] < count:
                what = "good" if step is Step.CUT else "spoiled"
                self.found.append(
                    f"action {number}, {name}: {made[part, step]} {what} {part} recorded, {count} were ticked"
                )
