"""Lengths that a merchant really gave, put on the rack for the plan that ordered them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import entry
from cutplan.rack.pieces import Doing, Hold, Kind, Material, Standing, State
from cutplan.rack.store import Ledger


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """So many lengths alike that came for a line of the order (``offer``)."""

    offer: str
    material: Material
    state: State
    quantity: int


def received_before(ledger: Ledger, plan: str) -> Doing | None:
    """The action that received the lengths of a plan, unless it was undone."""
    with ledger.reading() as db:
        row = db.execute(
            "SELECT at, who, what, job, plan, reason FROM action WHERE plan = ? AND what = 'receive' "
            "AND id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL) ORDER BY id DESC LIMIT 1",
            (plan,),
        ).fetchone()
    return Doing(**dict(zip(("at", "who", "what", "job", "plan", "reason"), row, strict=True))) if row else None


def receive(ledger: Ledger, doing: Doing, lots: Sequence[Lot], until: str) -> tuple[Standing, ...]:
    """Put what was given on the rack, held for the job up to a day, and return it with its marks.

    Raises
    ------
    ProblemsFound
        When nothing was given.
    """
    given = [lot for lot in lots if lot.quantity]
    if not given:
        raise ProblemsFound(
            [
                Problem(
                    where=doing.job,
                    found="nothing that was given",
                    accepted="at least one length",
                    found_is_text=False,
                )
            ]
        )
    found = []
    with entry(ledger, doing) as writing:
        for lot in given:
            mark = writing.new_piece(Kind.BOUGHT, lot.material, lot.state, lot.quantity, note=lot.offer)
            writing.move(mark, Kind.HELD, hold=Hold(quantity=lot.quantity, job=doing.job, until=until))
            found.append(Standing(mark=mark, material=lot.material, state=lot.state, quantity=lot.quantity))
    return tuple(found)
