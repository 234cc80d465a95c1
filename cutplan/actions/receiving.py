"""What the merchant really gave for a plan, and whether the plan still fits it."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.checked import read_plan
from cutplan.actions.planning import TIME_LIMIT
from cutplan.actions.rackvalues import standing_values
from cutplan.actions.rackwords import rack_line
from cutplan.actions.replanning import Replanned, replan, replan_text, replan_values

if TYPE_CHECKING:
    from cutplan.actions.racking import Rack
    from cutplan.model import Job, Plan
    from cutplan.rack.pieces import Doing, Standing
    from cutplan.rack.receiving import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """What came of receiving. ``before`` is the action that did it earlier; then nothing was done.

    ``misfits`` say why the plan no longer fits; then ``again`` is the plan made in its place.
    """

    job: Job
    before: Doing | None = None
    pieces: tuple[Standing, ...] = ()
    misfits: tuple[str, ...] = ()
    again: Replanned | None = None


def receive(
    plan_file: Path | str,
    rack: Rack,
    *,
    given: Path | str | None = None,
    place: str = "",
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> Received:
    """Put the lengths bought for a plan on the rack, held for the job; plan again where they do not fit it.

    Parameters
    ----------
    given
        The delivery sheet, filled in; everything came as it was ordered when not said.

    Raises
    ------
    ProblemsFound
        When the sheet cannot be understood, or the plan was recorded already.
    """
    from cutplan import planfile
    from cutplan.model.facts import BarFact
    from cutplan.rack import receiving
    from cutplan.rack.once import DoneBefore
    from cutplan.reading.stocktake import read_delivery

    job, plan = read_plan(plan_file)
    digest = planfile.plan_digest(job, plan)
    ordered = [offer for offer in job.offers if _bought(plan)[offer.id]]
    rows = read_delivery(Path(given), job.workshop, ordered) if given is not None else None
    lots = _as_ordered(job, plan, place) if rows is None else _as_given(rows, place)
    with rack.open(create=True) as ledger:
        doing = rack.doing("receive", job=job.name, plan=digest)
        try:
            pieces = receiving.receive(ledger, doing, lots, rack.hold_until(doing.at))
        except DoneBefore as before:
            return Received(job=job, before=before.doing)
    misfits = _misfits(job, plan, lots)
    again = None
    if misfits:
        uncut = {bar.number: BarFact(cut=0) for bar in plan.bars}
        again = replan(plan_file, rack, facts=uncut, time_limit=time_limit, progress=progress)
    return Received(job=job, pieces=pieces, misfits=misfits, again=again)


def _bought(plan: Plan) -> Counter[str]:
    from cutplan.model import SourceKind

    return Counter(bar.source for bar in plan.bars if bar.kind is SourceKind.BOUGHT)


def _as_ordered(job: Job, plan: Plan, place: str) -> list[Lot]:
    from cutplan.model import EndState
    from cutplan.rack.pieces import Material, State
    from cutplan.rack.receiving import Lot

    bought = _bought(plan)
    lots = []
    for offer in job.offers:
        state = State(
            length=offer.counted, end_a=EndState.MILL, end_b=EndState.MILL, grade=offer.grade, place=place,
            value=offer.bar_price,
        )  # fmt: skip
        section = offer.section
        material = Material(designation=section.designation, standard=section.standard, finish=offer.finish)
        lots.append(Lot(offer=offer.id, material=material, state=state, quantity=bought[offer.id]))
    return lots


def _as_given(rows: Sequence[Any], place: str) -> list[Lot]:
    from cutplan.model import EndState
    from cutplan.rack.pieces import Material, State
    from cutplan.rack.receiving import Lot

    return [
        Lot(
            offer=row.offer,
            material=Material(designation=row.designation, standard=row.standard, finish=row.finish),
            state=State(
                length=row.length, end_a=EndState.MILL, end_b=EndState.MILL, grade=row.grade, place=place,
                heat_number=row.heat_number, certificate=row.certificate, wall=row.wall, value=row.price,
            ),
            quantity=row.quantity,
        )
        for row in rows
    ]  # fmt: skip


def _misfits(job: Job, plan: Plan, lots: Sequence[Lot]) -> tuple[str, ...]:
    """Lines of which too few came that are long enough and of the section ordered."""
    from cutplan.units import length_text

    offers = {offer.id: offer for offer in job.offers}
    fitting: dict[str, int] = defaultdict(int)
    for lot in lots:
        offer = offers[lot.offer]
        same = (lot.material.designation, lot.material.standard, lot.material.finish, lot.state.grade)
        wanted = (offer.section.designation, offer.section.standard, offer.finish, offer.grade)
        if same == wanted and lot.state.length >= offer.counted:
            fitting[lot.offer] += lot.quantity
    how = job.workshop.printing
    return tuple(
        f"{name}, {offers[name].section.designation}: {fitting[name]} of {count} lengths are as ordered and "
        f"at least {length_text(offers[name].counted, how)} long"
        for name, count in _bought(plan).items()
        if fitting[name] < count
    )


def delivery_sheet(plan_file: Path | str, path: Path | str) -> None:
    """Write the sheet on which is noted what a merchant really gave for a plan.

    Raises
    ------
    ProblemsFound
        When it cannot be written.
    """
    from cutplan.reading.stocktake import DELIVERY
    from cutplan.reports.forms import write_form, writing_to

    job, plan = read_plan(plan_file)
    bought, figures = _bought(plan), job.workshop.figures
    rows = [
        [
            offer.id, offer.section.designation, offer.section.standard, offer.grade, offer.finish, bought[offer.id],
            figures.typed_length(offer.counted), None,
            None if offer.bar_price is None else figures.typed_money(offer.bar_price), None, None,
        ]
        for offer in job.offers
        if bought[offer.id]
    ]  # fmt: skip
    hint = "Put right what came otherwise. A line whose heats or lengths differ takes a row for each."
    heads = [heading.name for heading in DELIVERY]
    with writing_to(Path(path)):
        write_form(Path(path), "Delivery", f"Delivery for {job.name}", hint, heads, rows, paper=job.workshop.paper)


def received_text(done: Received, *, width: int = 100) -> str:
    """What came of receiving, in words."""
    if done.before is not None:
        return f"{done.job.name}: received already, {done.before.at}. Nothing was changed."
    how = done.job.workshop.printing
    lines = [f"On the rack, held for {done.job.name}:"]
    lines += [f"  {rack_line(piece, how)}" for piece in done.pieces]
    if done.again is None:
        return "\n".join([*lines, "The plan still fits what came."])
    lines += ["The plan no longer fits:", *(f"  {text}" for text in done.misfits)]
    return "\n".join([*lines, replan_text(done.again, width=width)])


def received_values(done: Received) -> dict[str, Any]:
    """What came of receiving, as values for JSON."""
    return {
        "job": done.job.name,
        "received_before": done.before is not None,
        "on_the_rack": [standing_values(piece) for piece in done.pieces],
        "misfits": list(done.misfits),
        "planned_again": None if done.again is None else replan_values(done.again),
    }
