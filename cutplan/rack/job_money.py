"""What a job has cost so far over all its plans: paid, bought again, taken from the rack and given back to it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass, field

from cutplan.model import Workshop
from cutplan.rack.entry import STATE_COLUMNS, state_of
from cutplan.rack.job_events import NOT_UNDONE, JobStory, PlanStory
from cutplan.rack.offering import offcut_of
from cutplan.rack.pieces import Kind, Material, Standing, State
from cutplan.rack.stages import Step
from cutplan.units import Length, Money, rounded_to_cents


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncut:
    """Lengths that were bought for a job and are not cut. ``each`` is what one cost to pay; None: not known. [nm]"""

    mark: str
    material: Material
    length: Length
    quantity: int
    each: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobMoney:
    """Money of a job over all its plans, in millionths of the currency; each amount is whole cents.

    Parameters
    ----------
    paid
        What the first plan of which anything was ordered, received or recorded came to, tax and all.
    bought_again
        What all later ones came to.
    to_pay
        What is planned and neither ordered, received nor recorded.
    unknown
        How many plans or sections have no price that is known; they are in none of the amounts.
    from_rack
        Book value of what was cut of pieces that lay on the rack before.
    returned
        Lengths bought for the job that lie on the rack uncut and are not held for it any more.
    in_hand
        The same of those that are held for it still: they are neither spent nor returned.
    kept
        What offcuts of the job that are not held for it count for.
    """

    paid: Money = 0
    bought_again: Money = 0
    to_pay: Money = 0
    unknown: int = 0
    from_rack: Money = 0
    returned: tuple[Uncut, ...] = ()
    in_hand: tuple[Uncut, ...] = ()
    kept: Money = 0

    @property
    def returned_value(self) -> Money:
        """What the returned lengths cost."""
        return sum((one.each or 0) * one.quantity for one in self.returned)

    @property
    def so_far(self) -> Money:
        """Paid, bought again and taken from the rack, less what went back to it."""
        return self.paid + self.bought_again + self.from_rack - self.returned_value - self.kept


def money_of(db: sqlite3.Connection, job: JobStory, workshop: Workshop) -> JobMoney:
    """What a job has cost so far.

    Parameters
    ----------
    workshop
        Gives the value of a piece that has none of its own.
    """
    bought = [amount for plan in job.plans if (amount := _bought(plan)) is not None]
    waiting = [plan for plan in job.plans if plan is job.plans[-1] and not _is_bought(plan) and not job.closed]
    moved = _moved(db, [plan.note.plan for plan in job.plans], workshop)
    returned, in_hand, kept = _what_is_left(db, moved, job.name)
    return JobMoney(
        paid=bought[0] if bought else 0,
        bought_again=sum(bought[1:]),
        to_pay=sum(plan.note.to_pay or 0 for plan in waiting),
        unknown=sum(_unknown(plan) for plan in job.plans if _is_bought(plan) or plan in waiting),
        from_rack=rounded_to_cents(moved.from_rack),
        returned=returned,
        in_hand=in_hand,
        kept=rounded_to_cents(kept),
    )


def _is_bought(plan: PlanStory) -> bool:
    return any(event.step in (Step.ORDERED, Step.RECEIVED, Step.RECORDED) for event in plan.events)


def _bought(plan: PlanStory) -> Money | None:
    """What a plan came to; None where nothing of it was ordered, received or recorded, or nothing is known of it."""
    received = plan.first(Step.RECEIVED)
    if received is not None and received.amount is not None:
        return received.amount
    if received is not None or plan.first(Step.RECORDED) is not None:
        return plan.note.to_pay
    ordered = [event.amount for event in plan.events if event.step is Step.ORDERED and event.amount is not None]
    return sum(ordered) if ordered else None


def _unknown(plan: PlanStory) -> int:
    received = plan.first(Step.RECEIVED)
    if received is not None and received.amount is not None:
        return received.unpriced
    return plan.note.unpriced if plan.note.to_pay is not None else 1


@dataclass(slots=True)
class _Moved:
    """What the actions of a job moved."""

    own: dict[int, int] = field(default_factory=dict)
    """Pieces that are lengths bought for the job, each with the one they came as: a length put right is that length."""
    left: dict[int, int] = field(default_factory=dict)
    """How many of those that came so are not cut."""
    each: dict[int, Money | None] = field(default_factory=dict)
    kept: dict[int, Money] = field(default_factory=dict)
    """Offcuts of the job that it did not cut again, with what they count for."""
    from_rack: Money = 0


def _moved(db: sqlite3.Connection, plans: list[str], workshop: Workshop) -> _Moved:
    moved = _Moved()
    marks = ", ".join("?" * len(plans))
    rows = db.execute(
        "SELECT kind, quantity, piece.id, parent, mark, designation, standard, finish, bar, to_pay, "
        f"{STATE_COLUMNS} FROM movement JOIN action ON action.id = movement.action "
        "JOIN piece ON piece.id = movement.piece JOIN state ON state.id = movement.state "
        f"LEFT JOIN price ON price.movement = movement.id WHERE action.plan IN ({marks}) AND {NOT_UNDONE} "
        "ORDER BY movement.id",
        plans,
    )
    for kind, quantity, piece, parent, mark, designation, standard, finish, bar, to_pay, *state in rows:
        if kind == Kind.BOUGHT.value:
            moved.own[piece] = piece
            moved.left[piece] = moved.left.get(piece, 0) + quantity
            moved.each[piece] = to_pay
        elif kind == Kind.CORRECTED.value and parent in moved.own and piece not in moved.own:
            moved.own[piece] = moved.own[parent]
        elif kind == Kind.CUT_FROM.value:
            material = Material(designation=designation, standard=standard, finish=finish)
            moved.kept[piece] = _value(mark, material, state_of(tuple(state)), workshop)
        elif kind == Kind.USED.value and bar is not None:
            if piece in moved.own:
                moved.left[moved.own[piece]] -= 1
            elif moved.kept.pop(piece, None) is None:
                material = Material(designation=designation, standard=standard, finish=finish)
                moved.from_rack += _value(mark, material, state_of(tuple(state)), workshop)
    return moved


def _value(mark: str, material: Material, state: State, workshop: Workshop) -> Money:
    if state.value is not None:
        return state.value
    return offcut_of(Standing(mark=mark, material=material, state=state, quantity=1), workshop, 1).book_value


def _what_is_left(
    db: sqlite3.Connection, moved: _Moved, job: str
) -> tuple[tuple[Uncut, ...], tuple[Uncut, ...], Money]:
    """Lengths returned, lengths in hand, and what the offcuts count for that are not held."""
    held = dict(db.execute("SELECT piece, quantity FROM hold WHERE job = ?", (job,)))
    families: dict[int, list[int]] = {}
    for piece, came_as in moved.own.items():
        families.setdefault(came_as, []).append(piece)
    returned: list[Uncut] = []
    in_hand: list[Uncut] = []
    for came_as, left in moved.left.items():
        kept_for_it = min(left, sum(held.get(piece, 0) for piece in families[came_as]))
        for found, count in ((returned, left - kept_for_it), (in_hand, kept_for_it)):
            if count > 0:
                found.append(_uncut(db, came_as, count, moved.each[came_as]))
    kept = sum(value for piece, value in moved.kept.items() if not held.get(piece))
    return tuple(returned), tuple(in_hand), kept


def _uncut(db: sqlite3.Connection, piece: int, count: int, each: Money | None) -> Uncut:
    mark, designation, standard, finish, length = db.execute(
        "SELECT mark, designation, standard, finish, length FROM piece JOIN movement ON movement.piece = piece.id "
        "JOIN state ON state.id = movement.state WHERE piece.id = ? AND kind = ? ORDER BY movement.id LIMIT 1",
        (piece, Kind.BOUGHT.value),
    ).fetchone()
    return Uncut(
        mark=mark,
        material=Material(designation=designation, standard=standard, finish=finish),
        length=length,
        quantity=count,
        each=each,
    )


def made_in(db: sqlite3.Connection, plans: Iterable[str]) -> dict[str, tuple[int, int]]:
    """How many good and how many spoiled ones of each part were recorded over some plans."""
    digests = list(plans)
    marks = ", ".join("?" * len(digests))
    rows = db.execute(
        "SELECT part, sum(good), sum(made.spoiled) FROM made JOIN movement ON movement.id = made.movement "
        f"JOIN action ON action.id = movement.action WHERE action.plan IN ({marks}) AND {NOT_UNDONE} GROUP BY part",
        digests,
    )
    return {part: (good, spoiled) for part, good, spoiled in rows}
