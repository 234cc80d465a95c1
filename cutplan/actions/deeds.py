"""A deed: all that one command does to the ledger, tried out before the rest is planned and done when that is written.

Planning takes long, and the ledger is not kept from others meanwhile. So a deed is first written into a transaction
that is taken back, which shows what the rack would then offer; later it is written again, and must lead to the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.digests import plan_digest
from cutplan.actions.outcomes import note_outcome
from cutplan.actions.rack_plans import folder_text, plan_note, rack_changed, used_by
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import CutBar, Job, Offcut, Part, Plan
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.entry import Entry
    from cutplan.rack.outcome import Recorded
    from cutplan.rack.pieces import Doing, Standing
    from cutplan.rack.store import Ledger
    from cutplan.rack.ticks import Tick


@dataclass(frozen=True, kw_only=True)
class After:
    """What a deed leads to: what was recorded and came, how many of each part are made, what is left to cut, what
    the rack then offers for it, which bars of the plan are not cut, by the marks they lie there under, and what is
    ticked.
    """

    recorded: Recorded | None
    came: tuple[Standing, ...]
    made: Mapping[str, int]
    rest: tuple[Part, ...]
    offcuts: tuple[Offcut, ...]
    uncut: Mapping[str, tuple[CutBar, ...]]
    ticks: tuple[Tick, ...]


@dataclass(frozen=True, kw_only=True)
class Deed:
    """What a command does to the ledger for a plan.

    Parameters
    ----------
    folder
        Where the files of the plan lie.
    what
        The word of the action: ``replan``, ``receive``.
    facts
        What was cut, by bar number; None where that was recorded before.
    wanted
        The parts that are wanted, made ones among them.
    first
        What is written before that in the same action, such as what came from the merchant.
    """

    job: Job
    plan: Plan
    folder: Path
    rack: Rack
    what: str
    facts: Mapping[int, BarFact] | None
    wanted: Sequence[Part]
    first: Callable[[Entry], tuple[Standing, ...]] | None = None
    doing: Doing = field(init=False)

    def __post_init__(self) -> None:

        digest = plan_digest(self.job, self.plan)
        # One time for all of it, however long planning takes: what is tried out is what is done.
        object.__setattr__(self, "doing", self.rack.doing(self.what, job=self.job.name, plan=digest))

    def tried(self) -> After:
        """What the deed leads to; nothing is kept of it.

        Raises
        ------
        ProblemsFound
            What stands against it, that it was recorded before among it.
        """
        with self._written(keep=False) as (_, after):
            return after

    def tried_marks(self, after: After, folder: Path, count: int) -> tuple[str, ...]:
        """The marks that so many left overs of the plan in a folder will have once the deed is done."""
        with self._written(keep=False, expected=after) as (writing, _):
            return self._reserved(writing, folder, count)

    def done(self, after: After) -> None:
        """Do it, where no plan follows."""
        if self.facts is None and self.first is None:
            return
        with self._written(keep=True, expected=after):
            pass

    @contextmanager
    def doing_all(self, after: After, folder: Path, job: Job, answer: Plan) -> Iterator[None]:
        """Do it, and hold what the plan of the rest uses, together with what is done in the block, or nothing of it."""
        from cutplan.rack import holding, job_events

        note = plan_note(self.rack, job, answer, folder)
        had = {bar.drop.mark for bar in self.plan.bars}
        marks = tuple(bar.drop.mark for bar in answer.bars if bar.drop.mark and bar.drop.mark not in had)
        with self._written(keep=True, expected=after) as (writing, _):
            if self._reserved(writing, folder, len(marks)) != marks:
                raise ProblemsFound([rack_changed(self.rack, ["other marks were given"])])
            job_events.note_planned(writing, note)
            holding.hold_for(writing, self.job.name, used_by(answer), self.rack.hold_until(self.doing.at))
            yield

    @staticmethod
    def _reserved(writing: Entry, folder: Path, count: int) -> tuple[str, ...]:
        from cutplan.rack import issuing

        return issuing.reserve(writing.db, str(folder.resolve()), count)

    @contextmanager
    def _written(self, *, keep: bool, expected: After | None = None) -> Iterator[tuple[Entry, After]]:
        """The deed in a transaction, its action still open; refused where it does not lead to what it led to before."""
        from cutplan.rack.entry import action

        with (
            self.rack.open(create=True) as ledger,
            ledger.changing() if keep else ledger.rehearsed() as db,
            action(db, self.doing) as writing,
        ):
            after = self._after(ledger, writing)
            if expected is not None and after != expected:
                what = "pieces of these sections" if after.ticks == expected.ticks else "parts were ticked"
                raise ProblemsFound([rack_changed(self.rack, [what])])
            yield writing, after

    def _after(self, ledger: Ledger, writing: Entry) -> After:
        from cutplan.rack import cut_bars, holding, lying, offering, ticks
        from cutplan.rack.once import DoneBefore

        came = self.first(writing) if self.first is not None else ()
        recorded = None
        if self.facts is not None:
            until = self.rack.hold_until(self.doing.at)
            where = folder_text(self.rack, self.folder)
            try:
                recorded = cut_bars.record_in(writing, self.job, self.plan, self.facts, uncut_until=until, folder=where)
            except DoneBefore as before:
                raise ProblemsFound([_recorded(self.job, before.doing.at)]) from None
            note_outcome(writing, self.job, self.plan, self.rack)
        made = cut_bars.made_of(ledger, self.doing.plan)
        left = ((part, part.quantity - made.get(part.mark, 0)) for part in self.wanted)
        rest = tuple(replace(part, quantity=number) for part, number in left if number > 0)
        today = holding.day_of(self.doing.at)
        offcuts = offering.offered(ledger, self.job.workshop, self.job.name, rest, today) if rest else ()
        return After(
            recorded=recorded,
            came=came,
            made=made,
            rest=rest,
            offcuts=self._paid_for(ledger, offcuts),
            uncut=lying.uncut(writing.db, self.doing.plan, self.job, self.plan) if rest else {},
            ticks=ticks.ticks_of(writing.db, self.doing.plan),
        )

    def _paid_for(self, ledger: Ledger, offcuts: Sequence[Offcut]) -> tuple[Offcut, ...]:
        """What is held for the job was bought or set aside for it: to use it costs no more than what it would leave.

        That is its length at the workshop's offcut value. At less, cutting into a bar would earn money, because a left
        over is worth something and the bar it was part of would not be.
        """
        from cutplan.rack.standing import standing

        pieces = standing(ledger)
        held = {piece.mark for piece in pieces if any(hold.job == self.job.name for hold in piece.holds)}
        value = self.rack.workshop.book_value
        return tuple(
            replace(offcut, book_value=value(offcut.section.family, offcut.length)) if offcut.mark in held else offcut
            for offcut in offcuts
        )


def _recorded(job: Job, at: str) -> Problem:
    return Problem(
        where=job.name,
        found=f"a plan that was recorded on {at[:10]} already",
        accepted="replan with nothing said of what was cut, which plans what is still to cut",
        hint="cutplan undo takes the recording back, if it was the last thing done",
        found_is_text=False,
        code="plan.recorded",
    )
