"""Lengths that a merchant really gave, put on the rack for the plan that ordered them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry
from cutplan.rack.once import RECEIVED, RECORDED, do_once, done_before
from cutplan.rack.pieces import Hold, Kind, Material, Standing, State
from cutplan.units import Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """So many lengths alike that came for a line of the order (``offer``).

    ``to_pay`` is what one costs to pay, tax and all; None where that is not known.
    """

    offer: str
    material: Material
    state: State
    quantity: int
    to_pay: Money | None = None


def receive(writing: Entry, lots: Sequence[Lot], until: str) -> tuple[Standing, ...]:
    """Put what was given on the rack, held for the job up to a day, and return it with its marks.

    Raises
    ------
    ProblemsFound
        When nothing was given, or the plan was recorded already, which brought its lengths onto the rack.
    DoneBefore
        When its lengths were received already and that is not undone.
    """
    doing = writing.doing
    given = [lot for lot in lots if lot.quantity]
    if not given:
        raise ProblemsFound(
            [
                Problem(
                    where=doing.job,
                    found="nothing that was given",
                    accepted="at least one length",
                    found_is_text=False,
                    code="delivery.nothing",
                )
            ]
        )
    do_once(writing, RECEIVED)
    recorded = done_before(writing.db, doing.plan, RECORDED)
    if recorded is not None:
        raise ProblemsFound([_recorded(doing.job, recorded.at)])
    found = []
    for lot in given:
        mark = writing.new_piece(Kind.BOUGHT, lot.material, lot.state, lot.quantity, note=lot.offer)
        if lot.to_pay is not None:
            writing.priced(lot.to_pay)
        writing.move(mark, Kind.HELD, hold=Hold(quantity=lot.quantity, job=doing.job, until=until))
        found.append(Standing(mark=mark, material=lot.material, state=lot.state, quantity=lot.quantity))
    return tuple(found)


def _recorded(job: str, at: str) -> Problem:
    return Problem(
        where=job,
        found=f"a plan that was recorded on {at[:10]}, when its lengths came onto the rack",
        accepted="a plan that is not cut yet",
        found_is_text=False,
        code="delivery.recorded",
    )
