"""A plan that has been cut, as movements: what left the rack, what came onto it, and what became of every bar."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from cutplan.model import Cut, CutBar, EndState, Fate, Job, Offcut, Plan, SourceKind, StockLength, nested_in
from cutplan.model.cut_facts import BarFact, Spoiled, came_short, left_after
from cutplan.model.placing import across, placed_ends, ways_of
from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry, entry, on_hand
from cutplan.rack.holding import day_of, free, held
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import note_of, note_step
from cutplan.rack.lots import Lots
from cutplan.rack.measuring import note_bar
from cutplan.rack.once import RECORDED, do_once
from cutplan.rack.outcome import NowThere, Recorded
from cutplan.rack.pieces import Doing, Hold, Kind, Material, Split, Standing, State
from cutplan.rack.stages import Step
from cutplan.rack.store import Ledger
from cutplan.rack.ticks import contradicted, ticks_of
from cutplan.sections.section import Section
from cutplan.units import MM, Length, Money, mm_text

_AS_PLANNED = BarFact()


def made_of(ledger: Ledger, plan: str) -> dict[str, int]:
    """How many good ones of each part were made of a plan with this digest."""
    with ledger.reading() as db:
        rows = db.execute(
            "SELECT part, sum(good) FROM made JOIN movement ON movement.id = made.movement "
            "JOIN action ON action.id = movement.action WHERE action.plan = ? "
            "AND action.id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL) GROUP BY part",
            (plan,),
        ).fetchall()
    return dict(rows)


def marks_given(ledger: Ledger, plan: str) -> dict[int, str]:
    """The marks that left overs of a plan with this digest went onto the rack under, by the bar they were cut from."""
    with ledger.reading() as db:
        rows = db.execute(
            "SELECT movement.bar, piece.mark FROM movement JOIN action ON action.id = movement.action "
            "JOIN piece ON piece.id = movement.piece WHERE action.plan = ? AND movement.kind = ? AND movement.bar > 0 "
            "AND action.id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)",
            (plan, Kind.CUT_FROM.value),
        ).fetchall()
    return dict(rows)


def record(
    ledger: Ledger,
    doing: Doing,
    job: Job,
    plan: Plan,
    facts: Mapping[int, BarFact],
    *,
    place: str = "",
    uncut_until: str = "",
) -> Recorded:
    """Write down that a plan was cut, in one action.

    Parameters
    ----------
    doing
        Its ``plan`` is the plan's digest, its ``job`` the name that holds are kept under.
    facts
        By bar number, what differs from the plan.
    place
        Where what is left over is put.
    uncut_until
        Bars that were not cut, or not to their end, are held for the job up to this day; blank: not held.

    Raises
    ------
    ProblemsFound
        Every bar that is not on the rack as the plan has it, or of which more is ticked as cut than the facts say;
        nothing is then written.
    DoneBefore
        When the plan was recorded already and that is not undone.
    """
    with entry(ledger, doing) as writing:
        return record_in(writing, job, plan, facts, place=place, uncut_until=uncut_until)


def record_in(
    writing: Entry,
    job: Job,
    plan: Plan,
    facts: Mapping[int, BarFact],
    *,
    place: str = "",
    uncut_until: str = "",
    folder: str = "",
) -> Recorded:
    """:func:`record` as a part of an action that does more; ``folder`` is that of the plan's files."""
    do_once(writing, RECORDED)
    against = contradicted(plan, ticks_of(writing.db, writing.doing.plan), facts)
    if against:
        raise ProblemsFound(against)
    note_step(writing, note_of(job, plan, writing.doing.plan, folder), Step.RECORDED)
    cutter = _Cutter(writing, job, plan, facts, place, uncut_until)
    for bar in plan.bars:
        cutter.cut(bar)
    if cutter.problems:
        raise ProblemsFound(cutter.problems)
    return cutter.result()


class _Cutter:
    """Goes through the bars of a plan and writes what became of each."""

    def __init__(
        self, writing: Entry, job: Job, plan: Plan, facts: Mapping[int, BarFact], place: str, uncut_until: str
    ) -> None:
        self.writing, self.job, self.facts, self.place, self.until = writing, job, facts, place, uncut_until
        self.parts = {part.mark: part for part in job.parts}
        self.offers = {offer.id: offer for offer in job.offers}
        self.offcuts = {offcut.mark: offcut for offcut in job.offcuts}
        bought = [bar for bar in plan.bars if bar.kind is SourceKind.BOUGHT]
        lies_there = {number for number, fact in facts.items() if _lies_there(fact)}
        self.lots = Lots(writing, job, bought, {bar.number for bar in bought} - lies_there)
        self.problems: list[Problem] = []
        self.made: Counter[str] = Counter()
        self.spoiled: Counter[str] = Counter()
        self.kept: list[NowThere] = []
        self.uncut: list[NowThere] = []
        self.used: list[str] = []
        self.to_hold: Counter[str] = Counter()
        self.scrap = self.scrap_mass = self.kerf_and_trim = 0

    def cut(self, bar: CutBar) -> None:
        """One bar: as the plan has it, or as the facts say."""
        fact = self.facts.get(bar.number, _AS_PLANNED)
        count = len(bar.cuts) if fact.cut is None else fact.cut
        if bar.kind is SourceKind.BOUGHT and self.lots.received and _lies_there(fact):
            return  # since it was received
        if bar.kind is SourceKind.OFFCUT and _lies_there(fact):
            self.to_hold[bar.source] += 1
            return
        piece = self._bought(bar) if bar.kind is SourceKind.BOUGHT else self._from_rack(bar)
        if piece is None:
            return
        if not bar.cuts and not fact.scrapped:
            self._left_whole(bar, piece, fact)
            return
        if count == 0:
            (self._bent if fact.scrapped else self._not_cut)(bar, piece, fact)
            return
        self._cut_up(bar, piece, count, fact)

    def _bought(self, bar: CutBar) -> Standing | None:
        offer = self.offers[bar.source]
        mark = self.lots.one(offer, bar)
        if mark is None:
            self._problem(
                bar,
                "no length left of those received that its cuts fit",
                f"a length of {_material(offer).title} of at least {mm_text(bar.length - bar.slack)} mm for it",
                "cutplan replan plans what is left from what is in hand",
                code="rack.no_length",
            )
            return None
        return on_hand(self.writing.db, mark, "mark")

    def _from_rack(self, bar: CutBar) -> Standing | None:
        offcut, job = self.offcuts[bar.source], self.writing.doing.job
        try:
            piece = on_hand(self.writing.db, offcut.mark, f"bar {bar.number}")
        except ProblemsFound as found:
            self.problems += found.problems
            return None
        # Planned by a list that knows of no slant, a piece is as long as it is when squared.
        known = piece.state.length + offcut.tip
        if known != bar.length or piece.material != _material(offcut):
            now = f"{mm_text(known)} mm of {piece.material.title}"
            then = f"{mm_text(bar.length)} mm of {_material(offcut).title}"
            self._problem(
                bar,
                f"{piece.mark} with {now} on the rack",
                f"{piece.mark} with {then}, as planned",
                _AGAIN,
                code="rack.changed",
            )
            return None
        if not free(self.writing.db, piece.mark, job, day_of(self.writing.doing.at)):
            self._problem(
                bar,
                f"{piece.mark}, which another job holds",
                "a piece that no other job holds",
                _AGAIN,
                code="rack.held",
            )
            return None
        return piece

    def _problem(self, bar: CutBar, found: str, accepted: str, hint: str, *, code: str) -> None:
        self.problems.append(
            Problem(
                where=f"bar {bar.number}", found=found, accepted=accepted, hint=hint, found_is_text=False, code=code
            )
        )

    def _not_cut(self, bar: CutBar, piece: Standing, fact: BarFact) -> None:
        if fact.left is not None and fact.left not in (piece.state.length, piece.state.longest):
            piece = self._measured(piece, fact.left, "as measured, not cut")
        self.to_hold[piece.mark] += 1
        if bar.kind is SourceKind.BOUGHT:
            self.uncut.append(_there(bar, piece.mark, piece.material, piece.state.length))

    def _left_whole(self, bar: CutBar, piece: Standing, fact: BarFact) -> None:
        """A piece for the carry from which nothing is cut stays on the rack, held no more, or is scrap."""
        if fact.left is not None and fact.left != piece.state.length:
            piece = self._measured(piece, fact.left, "as measured, not cut")
        if bar.drop.fate is not Fate.KEEP:
            self._use(bar, piece, Split(scrap=piece.state.length), fact.note)
            return
        if held(self.writing.db, piece.mark, self.writing.doing.job):
            hold = Hold(quantity=-1, job=self.writing.doing.job, until="")
            self.writing.move(piece.mark, Kind.RELEASED, hold=hold)
        self.kept.append(_there(bar, piece.mark, piece.material, piece.state.length))

    def _bent(self, bar: CutBar, piece: Standing, fact: BarFact) -> None:
        """Of a bent bar that was not cut, what is usable stays, sawn off at one end; the rest is scrap."""
        usable = min(fact.left or 0, piece.state.length)
        if usable == piece.state.length:
            self._not_cut(bar, piece, fact)
            return
        if not self._keeps(bar, 0, usable):
            usable = 0
        scrap = piece.state.length - usable
        self._use(bar, piece, Split(scrap=scrap), fact.note)
        if usable:
            self._put_away(bar, piece, self._rest(bar, piece.state, usable), "", hold=True, note="usable of a bent bar")

    def _cut_up(self, bar: CutBar, piece: Standing, count: int, fact: BarFact) -> None:
        state = piece.state
        cuts = bar.cuts[:count]
        gone = cuts[-1].end + cuts[-1].kerf if cuts else 0
        # The long point of a slanted end, from where the bar is counted, goes with the first cut.
        tip = self.offcuts[bar.source].tip if bar.kind is SourceKind.OFFCUT else 0
        expected = left_after(state.length + tip, tuple((cut.end, cut.kerf) for cut in cuts), count)
        expected -= 0 if cuts else tip
        expected += came_short({mark: part.length for mark, part in self.parts.items()}, fact.spoiled) - fact.more_kerf
        left = max(0, expected) if fact.left is None else fact.left
        if not (tip or fact.spoiled or fact.scrapped):
            note_bar(self.writing, bar, piece, count, fact.left, self.parts[bar.cuts[0].mark].saw)
        spoiled: Counter[str] = Counter()
        for one in fact.spoiled:
            spoiled[one.mark] += one.quantity
        lengths = sum(cut.end - cut.start for cut in cuts) - nested_in(cuts)
        # The tip that the first part reaches into went with what was cut from the other side of it.
        lengths -= tip if bar.starts_on_slant and cuts else 0
        bad = sum(self.parts[one.mark].length * one.quantity for one in fact.spoiled)
        saved = sum(self._squared(one) * one.quantity for one in fact.spoiled)
        lost = sum(self._lost(one) * one.quantity for one in fact.spoiled)
        tips = sum((one.measured or 0) * one.quantity for one in fact.spoiled if self._squared(one)) - saved
        keeps = self._keeps(bar, count, left) and not fact.scrapped
        # Where good parts are fewer than what they reach into, what is spoiled reaches into that too.
        into = max(0, bad - lengths)
        lost, tips = max(0, lost - into), max(0, tips - max(0, into - lost))
        parts, scrap = max(0, lengths - bad), lost + (0 if keeps else left)
        kerf_and_trim = state.length - parts - scrap - saved - (left if keeps else 0)
        planned = max(0, gone - tip) - lengths
        least = min(planned, state.length - lengths) + tips
        if kerf_and_trim < least:
            length = state.length + least - kerf_and_trim
            piece = self._measured(piece, length, "longer than counted on, by what was measured of it")
            state = piece.state
            kerf_and_trim = least
        movement = self._use(bar, piece, Split(parts=parts, kerf_and_trim=kerf_and_trim, scrap=scrap), fact.note)
        self._count(movement, [cut.mark for cut in cuts], spoiled)
        self.kerf_and_trim += kerf_and_trim
        if keeps and left:
            rest = self._sawn(bar, state, left, cuts[-1] if cuts else None)
            self._put_away(bar, piece, rest, bar.drop.mark, hold=count < len(bar.cuts))
        for one in fact.spoiled:
            squared = self._squared(one)
            for _ in range(one.quantity if squared else 0):
                near, far = placed_ends(part := self.parts[one.mark], ways_of(part)[0])
                short = State(
                    length=squared, angle_a=near.angle, angle_b=far.angle, grade=state.grade,
                    heat_number=state.heat_number, certificate=state.certificate, wall=state.wall, place=self.place,
                    value=self._booked(bar, state, squared), depth=part.depth if near.angle else 0, side=near.side,
                )  # fmt: skip
                self._put_away(bar, piece, short, "", hold=True, note=f"spoiled {one.mark}")

    def _squared(self, one: Spoiled) -> Length:
        """What a square part gets out of a spoiled one: from short point to short point; 0 where that is scrap. [nm]"""
        return max(0, one.measured - sum(self.parts[one.mark].runs)) if one.measured is not None else 0

    def _lost(self, one: Spoiled) -> Length:
        """How much of a spoiled part is scrap. [nm]"""
        if one.measured is None:
            return self.parts[one.mark].length
        return 0 if self._squared(one) else one.measured

    def _use(self, bar: CutBar, piece: Standing, split: Split, note: str) -> int:
        """One of a piece leaves the rack, with its hold; returns the number of the movement."""
        job = self.writing.doing.job
        was_held = held(self.writing.db, piece.mark, job)
        hold = Hold(quantity=-1, job=job, until=self._until(piece.mark)) if was_held else None
        movement = self.writing.move(piece.mark, Kind.USED, -1, split=split, hold=hold, bar=bar.number, note=note)
        if bar.kind is SourceKind.OFFCUT or self.lots.received:
            self.used.append(piece.mark)
        self.scrap += split.scrap
        self.scrap_mass += self._section(bar).mass_of(split.scrap)
        return movement

    def _section(self, bar: CutBar) -> Section:
        """What a bar is of."""
        source = self.offers[bar.source] if bar.kind is SourceKind.BOUGHT else self.offcuts[bar.source]
        return source.section

    def _rest(self, bar: CutBar, state: State, length: Length) -> State:
        """What is left of a bar: sawn square at its near end, at the other as it was."""
        return self._sawn(bar, state, length, None)

    def _sawn(self, bar: CutBar, state: State, length: Length, last: Cut | None) -> State:
        """What is left behind the last cut, slanted as that is; its long point lies across from that of the part."""
        value = self._booked(bar, state, length)
        rest = replace(_far(state), length=length, end_a=EndState.SAWN, place=self.place, photo="", value=value)
        if last is None or not last.angle_b:
            return replace(rest, angle_a=0, depth=0, side=0)
        part = self.parts[last.mark]
        side = across(placed_ends(part, last.way)[1].side)
        return replace(rest, angle_a=last.angle_b, depth=part.depth, side=side)

    def _keeps(self, bar: CutBar, count: int, left: Length) -> bool:
        """Does what is left go on the rack: from the keep length on, or where a part that is still to cut fits?"""
        family = self._section(bar).family
        least = self.job.workshop.keep_length(family)
        to_come = [self.parts[cut.mark].length for cut in bar.cuts[count:]]
        if not to_come and bar.drop.fate is Fate.SCRAP and bar.drop.length >= least:
            return False  # the rack has as many as it may hold
        return left >= min([least, *to_come])

    def _booked(self, bar: CutBar, state: State, left: Length) -> Money | None:
        """What is left of a piece with a book value of its own has its share of that, the workshop's value at most."""
        if state.value is None:
            return None
        share = state.value * left // state.length
        usual = self.job.workshop.offcut_value(self._section(bar).family)
        return share if share * MM < usual * left else None

    def _measured(self, piece: Standing, length: Length, note: str) -> Standing:
        """A bar is not as long as it was counted on; one of several is a piece of its own from then on."""
        state = replace(piece.state, length=length)
        if piece.quantity == 1:
            self.writing.move(piece.mark, Kind.CORRECTED, state=state, note=note)
            return replace(piece, state=state)
        self.writing.move(piece.mark, Kind.CORRECTED, -1, note=note)
        mark = self.writing.new_piece(Kind.CORRECTED, piece.material, state, parent=piece.mark, note=note)
        return replace(piece, mark=mark, state=state, quantity=1)

    def _until(self, mark: str) -> str:
        (until,) = self.writing.db.execute(
            "SELECT until FROM hold JOIN piece ON piece.id = hold.piece WHERE mark = ? AND job = ?",
            (mark, self.writing.doing.job),
        ).fetchone()
        return str(until)

    def _count(self, movement: int, marks: list[str], spoiled: Counter[str]) -> None:
        for mark, number in Counter(marks).items():
            bad = spoiled[mark]
            insert(self.writing.db, "made", movement=movement, part=mark, good=number - bad, spoiled=bad)
            self.made[mark] += number - bad
            self.spoiled[mark] += bad

    def _put_away(
        self, bar: CutBar, piece: Standing, state: State, printed: str, *, hold: bool, note: str = ""
    ) -> None:
        mark = self.lots.reserved(printed) if printed else ""
        mark = self.writing.new_piece(
            Kind.CUT_FROM, piece.material, state, mark=mark, parent=piece.mark, bar=bar.number, note=note
        )
        if hold:
            self.to_hold[mark] += 1
        self.kept.append(replace(_there(bar, mark, piece.material, state.length), printed=printed))

    def result(self) -> Recorded:
        """What came of it, when every bar was gone through; what is still to be cut is then held."""
        job, today = self.writing.doing.job, day_of(self.writing.doing.at)
        for mark, number in self.to_hold.items() if self.until else ():
            # What was not cut is whatever the rack says, and held as far as it is there and no other job holds it.
            more = min(number, free(self.writing.db, mark, job, today)) - held(self.writing.db, mark, job)
            if more > 0:
                self.writing.move(mark, Kind.HELD, hold=Hold(quantity=more, job=job, until=self.until))
        missing = [(part.mark, max(0, part.quantity - self.made[part.mark])) for part in self.job.parts]
        return Recorded(
            made=tuple((mark, number) for mark, number in self.made.items() if number),
            spoiled=tuple((mark, number) for mark, number in self.spoiled.items() if number),
            missing=tuple((mark, number) for mark, number in missing if number),
            kept=tuple(self.kept),
            uncut=tuple(self.uncut),
            received=self.lots.received,
            used=tuple(self.used),
            scrap=self.scrap,
            scrap_mass=self.scrap_mass,
            kerf_and_trim=self.kerf_and_trim,
        )


def _lies_there(fact: BarFact) -> bool:
    """Was the bar not touched, and nothing said of it?"""
    return fact.cut == 0 and not fact.scrapped and not fact.left


_AGAIN = "plan again with the rack as it is, or put right what the rack says"


def _there(bar: CutBar, mark: str, material: Material, length: Length) -> NowThere:
    return NowThere(bar=bar.number, mark=mark, printed="", material=material, length=length)


def _material(source: Offcut | StockLength) -> Material:
    return Material(designation=source.section.designation, standard=source.section.standard, finish=source.finish)


def _far(state: State) -> State:
    """The state with its far end as end B: START is a sawn end where there is one, end A where both are alike."""
    if state.end_a is EndState.MILL and state.end_b is EndState.SAWN:
        return replace(state, end_b=state.end_a, angle_b=state.angle_a)
    return state
