"""What the merchant really gave for a plan, and whether the plan still fits it."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.checked import read_plan
from cutplan.actions.deeds import Deed
from cutplan.actions.output_folder import fingerprint
from cutplan.actions.planning import TIME_LIMIT
from cutplan.actions.rack_plans import plan_note
from cutplan.actions.replanning import Replanned, next_folder, replan_text, replan_values, rest_planned
from cutplan.words.rack_values import standing_values
from cutplan.words.rack_words import rack_line
from cutplan.words.rest_words import BEYOND, NO_LONGER_FITS, STILL_FITS, from_another, misfit, received_before

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import CutBar, Job, PieceOf, Plan, StockLength
    from cutplan.rack.deliveries import Lot
    from cutplan.rack.entry import Entry
    from cutplan.rack.measuring import LengthDelivered
    from cutplan.rack.pieces import Doing, Standing
    from cutplan.reading.forms.stocktake import Given
    from cutplan.units import Length, Money


@dataclass(frozen=True, slots=True, kw_only=True)
class FromAnother:
    """A bar of the plan, the mark of the length it is cut from, which the plan does not count on, and what is left."""

    bar: int
    mark: str
    length: Length
    left: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """What came of receiving. ``before`` is the action that did it earlier; then nothing was done.

    ``differing`` are bars whose cuts fit what came, though it is of another length than ordered. ``beyond`` is what
    came and no bar of the plan is cut from. ``misfits`` say why the plan no longer fits; then ``again`` is the plan
    made in its place.
    """

    job: Job
    before: Doing | None = None
    pieces: tuple[Standing, ...] = ()
    differing: tuple[FromAnother, ...] = ()
    beyond: tuple[Standing, ...] = ()
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
    """Put the lengths to buy for a plan on the rack, held for the job; plan again where they do not fit it.

    Parameters
    ----------
    given
        The delivery sheet, filled in; everything came as it was ordered when not said.

    Raises
    ------
    ProblemsFound
        When the sheet cannot be understood, or the plan was recorded already.
    """
    from cutplan.rack import deliveries
    from cutplan.rack.fitting import assigned
    from cutplan.rack.job_events import note_step
    from cutplan.rack.measuring import note_delivered
    from cutplan.rack.once import DoneBefore
    from cutplan.rack.stages import Step
    from cutplan.rack.ticks import ticked_facts
    from cutplan.reading.forms.stocktake import read_delivery

    job, plan = read_plan(plan_file)
    ordered = [offer for offer in job.offers if _bought(plan)[offer.id]]
    rows = None
    if given is not None:
        rows = _at_exact_prices(job, read_delivery(Path(given), job.workshop, ordered))
    lots = _as_ordered(job, plan, place) if rows is None else _as_given(job, rows, place)

    note = plan_note(rack, job, plan, Path(plan_file).parent)
    amount, unpriced = (note.to_pay, note.unpriced) if rows is None else delivered(job, plan, rows)

    def came(writing: Entry) -> tuple[Standing, ...]:
        pieces = deliveries.receive(writing, lots, rack.hold_until(writing.doing.at))
        note_step(writing, note, Step.RECEIVED, amount=amount, unpriced=unpriced)
        note_delivered(writing, _lengths_said(job, plan, rows or ()))
        return pieces

    deed = Deed(
        job=job, plan=plan, folder=Path(plan_file).parent, rack=rack, what="receive", facts=None, wanted=job.parts,
        first=came,
    )  # fmt: skip
    try:
        after = deed.tried()
        cut_from = assigned(job, _bought_bars(plan), after.came)
        misfits = _misfits(job, plan, cut_from)
        if not misfits:
            deed.done(after)
            differing, beyond = _differing(job, plan, cut_from), _beyond(after.came, cut_from)
            return Received(job=job, pieces=after.came, differing=differing, beyond=beyond)
        # The plan is recorded as not cut but for what is ticked, and the rest is planned again, in the same deed.
        uncut = replace(deed, facts=ticked_facts(plan, after.ticks))
        folder = next_folder(Path(plan_file).parent)
        again = rest_planned(uncut, folder, shop=job.workshop, time_limit=time_limit, progress=progress)
    except DoneBefore as before:
        return Received(job=job, before=before.doing)
    return Received(job=job, pieces=again.came, misfits=misfits, again=again)


def _bought_bars(plan: Plan) -> list[CutBar]:
    from cutplan.model import SourceKind

    return [bar for bar in plan.bars if bar.kind is SourceKind.BOUGHT]


def _bought(plan: Plan) -> Counter[str]:
    return Counter(bar.source for bar in _bought_bars(plan))


def _as_ordered(job: Job, plan: Plan, place: str) -> list[Lot]:
    from cutplan.model import EndState
    from cutplan.model.carrying import ends_of
    from cutplan.rack.deliveries import Lot
    from cutplan.rack.pieces import Material, State

    lots = []
    for offer, bar, quantity in _kinds_bought(job, plan):
        piece, price = bar.piece_of, _price_of(offer, bar)
        end_a, end_b = EndState.MILL, EndState.MILL
        if piece is not None:
            end_a, end_b = ends_of(piece, job.workshop.merchant(offer.merchant))
        state = State(length=bar.length, end_a=end_a, end_b=end_b, grade=offer.grade, place=place, value=price)
        section = offer.section
        material = Material(designation=section.designation, standard=section.standard, finish=offer.finish)
        lots.append(
            Lot(
                offer=offer.id, material=material, state=state, quantity=quantity, to_pay=_to_pay(job, price),
            )
        )  # fmt: skip
    return lots


def _kinds_bought(job: Job, plan: Plan) -> list[tuple[StockLength, CutBar, int]]:
    """What is bought: whole lengths and pieces of the same offer and length, one of each, and how many there are."""
    bars: dict[tuple[str, PieceOf | None], list[CutBar]] = defaultdict(list)
    for bar in _bought_bars(plan):
        bars[bar.source, bar.piece_of].append(bar)
    return [
        (offer, alike[0], len(alike)) for offer in job.offers for (name, _), alike in bars.items() if name == offer.id
    ]


def _price_of(offer: StockLength, bar: CutBar) -> Money | None:
    """What a bought bar costs: of a piece for the carry its share of the length by what it is ordered by."""
    from cutplan.model.totals import shared_out
    from cutplan.units import rounded_to_cents

    if bar.piece_of is None or offer.bar_price is None:
        return offer.bar_price
    return shared_out(rounded_to_cents(offer.bar_price), bar.piece_of.ordered)[bar.piece_of.number - 1]


def _at_exact_prices(job: Job, rows: Sequence[Given]) -> tuple[Given, ...]:
    """Rows with the price of the order where that is what the sheet shows, which is to the cent."""
    from cutplan.units import rounded_to_cents

    exact = {offer.id: offer.bar_price for offer in job.offers}
    return tuple(
        replace(row, price=price)
        if (price := exact.get(row.offer)) is not None and row.price == rounded_to_cents(price)
        else row
        for row in rows
    )


def _to_pay(job: Job, price: Money | None) -> Money | None:
    """What a length of this price costs to pay, tax and all."""
    from cutplan.model.totals import net_and_tax
    from cutplan.units import rounded_to_cents

    return None if price is None else sum(net_and_tax(job.workshop, rounded_to_cents(price)))


def delivered(job: Job, plan: Plan, rows: Sequence[Given]) -> tuple[Money | None, int]:
    """What a plan comes to with the lengths that really came, tax and all, and how many lines have no price.

    Deliveries, cuts, minimum orders and what is not cut count as the plan has them. A line with no price of its own has
    that of the order.
    """
    from cutplan.model.totals import net_and_tax, totals_of
    from cutplan.units import rounded_to_cents

    money = totals_of(job, plan).money
    prices = {offer.id: offer.bar_price for offer in job.offers}
    lines = [(row.quantity, prices.get(row.offer) if row.price is None else row.price) for row in rows if row.quantity]
    bars = sum(rounded_to_cents(price * count) for count, price in lines if price is not None)
    unpriced = sum(1 for _, price in lines if price is None)
    if unpriced == len(lines) and not money.to_pay:
        return None, unpriced
    return sum(net_and_tax(job.workshop, money.subtotal - money.bars + bars)), unpriced


def _as_given(job: Job, rows: Sequence[Given], place: str) -> list[Lot]:
    prices = {offer.id: offer.bar_price for offer in job.offers}
    from cutplan.model import EndState
    from cutplan.rack.deliveries import Lot
    from cutplan.rack.pieces import Material, State

    return [
        Lot(
            offer=row.offer,
            material=Material(designation=row.designation, standard=row.standard, finish=row.finish),
            state=State(
                length=row.length, end_a=EndState.MILL, end_b=EndState.MILL, grade=row.grade, place=place,
                heat_number=row.heat_number, certificate=row.certificate, wall=row.wall, value=row.price,
            ),
            quantity=row.quantity,
            to_pay=_to_pay(job, prices.get(row.offer) if row.price is None else row.price),
        )
        for row in rows
    ]  # fmt: skip


def _lengths_said(job: Job, plan: Plan, rows: Sequence[Given]) -> list[LengthDelivered]:
    """How long the lengths are that came as whole ones of the section ordered, beside what was ordered."""
    from cutplan.rack.measuring import LengthDelivered

    carried = {bar.source for bar in plan.bars if bar.piece_of is not None}
    offers = {offer.id: offer for offer in job.offers if offer.id not in carried}
    return [
        LengthDelivered(
            family=offer.section.family.value, nominal=offer.length, counted=offer.counted, length=row.length,
            quantity=row.quantity,
        )
        for row in rows
        if row.quantity
        and (offer := offers.get(row.offer)) is not None
        and (row.designation, row.standard) == (offer.section.designation, offer.section.standard)
    ]  # fmt: skip


def _misfits(job: Job, plan: Plan, given: Mapping[int, Standing]) -> tuple[str, ...]:
    """Bars that no length is left for, those cut alike in one line."""
    offers = {offer.id: offer for offer in job.offers}
    need: dict[tuple[str, Length], list[int]] = defaultdict(list)
    for bar in _bought_bars(plan):
        if bar.number not in given:
            need[bar.source, bar.length - bar.slack].append(bar.number)
    return tuple(misfit(numbers, least, offers[name], job.workshop.printing) for (name, least), numbers in need.items())


def _differing(job: Job, plan: Plan, given: Mapping[int, Standing]) -> tuple[FromAnother, ...]:
    """Bars that are cut from a length other than the plan counts on, and what is then left of it."""
    from cutplan.model.cut_facts import left_after

    found = []
    for bar in _bought_bars(plan):
        piece = given[bar.number]
        if piece.state.length != bar.length:
            ends = tuple((cut.end, cut.kerf) for cut in bar.cuts)
            left = left_after(piece.state.length, ends, len(ends))
            found.append(FromAnother(bar=bar.number, mark=piece.mark, length=piece.state.length, left=left))
    return tuple(found)


def _beyond(came: Sequence[Standing], given: Mapping[int, Standing]) -> tuple[Standing, ...]:
    """What came and is given to no bar."""
    used = Counter(piece.mark for piece in given.values())
    return tuple(
        replace(piece, quantity=piece.quantity - used[piece.mark])
        for piece in came
        if piece.quantity > used[piece.mark]
    )


def delivery_sheet(plan_file: Path | str, path: Path | str) -> None:
    """Write the sheet on which is noted what a merchant really gave for a plan.

    Raises
    ------
    ProblemsFound
        When it cannot be written.
    """
    from cutplan.reading.forms.stocktake import DELIVERY
    from cutplan.reports.workbook.blank_forms import write_form, writing_to
    from cutplan.units import money_text, rounded_to_cents
    from cutplan.words.naming import shop_name

    job, plan = read_plan(plan_file)
    how = job.workshop.printing
    figures, number = job.workshop.figures, fingerprint(Path(plan_file))
    kinds = _kinds_bought(job, plan)
    lines = {offer_id: line for line, offer_id in enumerate(dict.fromkeys(offer.id for offer, _, _ in kinds), 1)}
    rows = [
        [
            str(lines[offer.id]), offer.merchant, shop_name(offer.section.designation, how),
            offer.section.standard, offer.grade, offer.finish, quantity, figures.typed_length(bar.length), None,
            None if (price := _price_of(offer, bar)) is None else figures.signed(money_text(rounded_to_cents(price))),
            None, None,
        ]
        for offer, bar, quantity in kinds
    ]  # fmt: skip
    hint = "Correct whatever came different from the order. Each heat number and each length needs a row of its own."
    heads = [heading.name for heading in DELIVERY]
    with writing_to(Path(path)):
        write_form(
            Path(path),
            "Delivery",
            f"Delivery for {job.name}, plan {number}",
            hint,
            heads,
            rows,
            paper=job.workshop.paper,
        )


def received_text(done: Received, *, width: int = 100, all_assumed: bool = False) -> str:
    """What came of receiving, in words."""
    if done.before is not None:
        return received_before(done.job.name, done.before.at)
    how = done.job.workshop.printing
    lines = [f"On the rack, held for {done.job.name}:"]
    lines += [f"  {rack_line(piece, how)}" for piece in done.pieces]
    if done.again is None:
        lines += ["Lengths that differ from the order, and what is left of each:"] * bool(done.differing)
        lines += [from_another(one.bar, one.mark, one.length, one.left, how) for one in done.differing]
        lines += [BEYOND] * bool(done.beyond)
        lines += [f"  {rack_line(piece, how)}" for piece in done.beyond]
        return "\n".join([*lines, STILL_FITS])
    lines += [NO_LONGER_FITS, *(f"  {text}" for text in done.misfits)]
    return "\n".join([*lines, replan_text(done.again, width=width, all_assumed=all_assumed)])


def received_values(done: Received) -> dict[str, Any]:
    """What came of receiving, as values for JSON."""
    from cutplan.units import mm_text

    return {
        "job": done.job.name,
        "received_before": done.before is not None,
        "on_the_rack": [standing_values(piece) for piece in done.pieces],
        "other_lengths": [
            {
                "bar": one.bar,
                "mark": one.mark,
                "length_mm": mm_text(one.length),
                "left_mm": mm_text(one.left),
            }
            for one in done.differing
        ],
        "beyond_the_plan": [standing_values(piece) for piece in done.beyond],
        "misfits": list(done.misfits),
        "planned_again": None if done.again is None else replan_values(done.again),
    }
