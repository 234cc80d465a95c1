"""What is done at the saw for one bar, step by step: runs of equal parts, and what is changed between them.

A run is one line of paper however many parts it has. Whatever else a person does between two cuts, such as turning the
bar, is a step of its own with the figure to set, so that nobody has to find out by comparing lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

from cutplan.model import Held, Swings
from cutplan.reports.cut_blocks import CutRow
from cutplan.units import Angle, Length, Printing, length_text
from cutplan.words.cutting import end_text


class When(Enum):
    """Before which parts of the run that follows a change is made; ``OWN`` before each, with figures of its own."""

    FIRST = "first"
    EACH = "each"
    BETWEEN = "between"
    OWN = "own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Something done between two cuts: what, in capitals, and how, with the figure to set; ``strokes`` are its own.

    On paper a run is one line and a change stands above it; whoever is shown one cut at a time asks ``when``.
    """

    what: str
    how: str
    strokes: int = 0
    when: When = field(default=When.FIRST, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Equal parts cut one after another.

    ``set_stop`` and ``set_saw`` say whether the stop is set anew, and the saw for their far ends; ``set_each`` that it
    is set for either end of every part. ``no_stop`` is true of a part that is not cut to the stop.
    """

    cuts: tuple[CutRow, ...]
    set_stop: bool
    set_saw: bool
    set_each: bool = False
    no_stop: bool = False

    @property
    def first(self) -> CutRow:
        """What holds of every part of the run but its running dimension."""
        return self.cuts[0]

    @property
    def running(self) -> tuple[Length, ...]:
        """From START to the far end of each part. [nm]"""
        return tuple(cut.running for cut in self.cuts)


Step = Change | Run


def steps_of(cuts: Sequence[CutRow], how: Printing, swings: Swings = Swings.ONE_WAY) -> tuple[Step, ...]:
    """The steps of one bar in their order.

    Parameters
    ----------
    cuts
        The parts of the bar, START first.
    how
        How figures are printed.
    swings
        Which way the saw swings.
    """
    steps: list[Step] = []
    stop: Length | None = None
    bench = _Bench(swings)
    for before, run in _runs(cuts):
        first = run[0]
        free = first.clamped is Held.BAR
        steps += bench.free_end(before, first)
        set_saw = bench.angle != first.angle_b
        steps += bench.far_ends(run)
        set_each = len(run) > 1 and not first.shared and first.angle_a != first.angle_b
        steps += _changes(first, how)
        steps.append(
            Run(
                cuts=run,
                set_stop=free and first.length != stop,
                set_saw=set_saw or set_each,
                set_each=set_each,
                no_stop=not free,
            )
        )
        stop = first.length
    return tuple(steps)


def _runs(cuts: Sequence[CutRow]) -> Iterable[tuple[CutRow | None, tuple[CutRow, ...]]]:
    """Runs of equal parts that are parted alike, each with the part before it."""
    before: CutRow | None = None
    run: list[CutRow] = []
    for cut in cuts:
        if run and (_alike(cut) != _alike(run[0]) or (len(run) > 1 and run[-1].shared != run[0].shared)):
            yield before, tuple(run)
            before, run = run[-1], []
        run.append(cut)
    if run:
        yield before, tuple(run)


_OTHER_LEG = "on its other leg: the next mitre is cut in that one"
_EACH = "each cut ends one part and begins the next"


@dataclass(slots=True)
class _Bench:
    """How the bar lies and the saw is swung, by the slant that was cut last, blank before the first; and its angle.

    ``laid`` is on which leg or face it lies, None before the first mitre.
    """

    swings: Swings
    slant: str = ""
    angle: Angle = 0
    laid: tuple[bool, str] | None = None

    def free_end(self, before: CutRow | None, cut: CutRow) -> Iterable[Change]:
        """What the free end of the bar still needs before a part can be cut from it: a stroke more beside a mitre."""
        if before is not None and (before.shared or not (before.angle_b or cut.angle_a)):
            return
        if before is None and not cut.angle_a:
            return
        if before is None and cut.on_slant:
            yield from self._laid_for(cut.slants[0], cut)
            self.slant = cut.slants[0]
            laid = "; lay the bar with that as the saw cuts it" if cut.angle_b else ""
            yield Change(
                what="NO CUT AT START", how=f"the part begins on the slanted end, {end_text(cut.angle_a)}{laid}"
            )
            return
        yield from self._laid_for(cut.slants[0], cut)
        yield from self._brought_to(cut, cut.slants[0])
        where = "at START" if before is None else _where(before)
        told = f"SET {end_text(cut.angle_a)}," if cut.angle_a != self.angle else end_text(cut.angle_a)
        self.angle = cut.angle_a
        yield Change(what="CUT THE FREE END", how=f"{told} {where}; a wedge falls out", strokes=1)

    def far_ends(self, run: Sequence[CutRow]) -> Iterable[Change]:
        """What is done before the far end of a part is cut, or before that of each of a run."""
        first = run[0]
        yield from self._laid_for(first.slants[1], first)
        changes = list(self._brought_to(first, first.slants[1]))
        if len(run) > 1 and first.shared and first.slants[1] != run[1].slants[1]:
            changed = self._changed(first, "before each cut" if changes else "between these cuts", f"; {_EACH}")
            yield replace(changed, when=When.EACH if changes else When.BETWEEN)
        else:
            yield from changes
            if len(run) > 1 and first.shared:
                yield Change(what="PUSH THE BAR ON", how=_EACH, when=When.BETWEEN)
            elif len(run) > 1 and (first.angle_a or first.angle_b):
                yield self._between(first, run[1], strokes=len(run) - 1)
        self.slant = run[-1].slants[1] or self.slant
        self.angle = first.angle_b

    def _between(self, one: CutRow, other: CutRow, *, strokes: int) -> Change:
        """The two cuts between equal parts that do not share one, and how the bar is moved or the saw swung."""
        far, near, next_far = one.slants[1], other.slants[0], other.slants[1]
        change = "roll half over" if one.half_over else "roll half over on packing"
        change = change if self.swings is Swings.ONE_WAY else "swing the saw"
        angle = end_text(other.angle_a)
        cut = f"SET {angle}, cut the free end" if one.angle_b != other.angle_a else f"cut the free end {angle}"
        cut = f"{cut} {_where(one)}, a wedge falls out"
        first = [change] if near and far and near != far else []
        last = [change] if next_far and next_far != (near or far) else []
        how = ", ".join([*first, cut, *last])
        return Change(what="BETWEEN THESE PARTS", how=how, strokes=strokes, when=When.BETWEEN)

    def _laid_for(self, slant: str, cut: CutRow) -> Iterable[Change]:
        """The bar is laid on another leg or face where the mitre to come runs across another side than the last one."""
        if not slant:
            return
        laid = cut.other_leg, cut.on_face
        if self.laid not in (None, laid):
            how = f"{cut.on_face}, for the next mitre" if cut.on_face else _OTHER_LEG
            yield Change(what="LAY THE BAR", how=how)
            self.slant = ""
        self.laid = laid

    def _brought_to(self, cut: CutRow, slant: str) -> Iterable[Change]:
        if slant and self.slant and slant != self.slant:
            yield self._changed(cut, "", "")
        self.slant = slant or self.slant

    def _changed(self, cut: CutRow, when: str, what_then: str) -> Change:
        """The bar moved or the saw swung, so that the next slant is the other way."""
        when = f" {when}" if when else ""
        if self.swings is Swings.BOTH_WAYS:
            return Change(what="SWING THE SAW", how=f"to the other side{when}{what_then}")
        # Turned end for end on the table it would get the same slant again: seen from above, half a turn changes none.
        packing = "" if cut.half_over else ", on packing"
        return Change(what="ROLL THE BAR", how=f"half over{when}, underside up{packing}{what_then}")


def _where(before: CutRow) -> str:
    """Where a free end is cut once more."""
    return "at its short point" if before.angle_b else "from its edge"


def _alike(cut: CutRow) -> object:
    """What neighbours share that are cut in one go."""
    return (
        cut.mark,
        cut.length,
        cut.angle_a,
        cut.angle_b,
        cut.clamped,
        cut.turn,
        cut.remark,
        cut.first_out,
        cut.other_leg,
        cut.on_face,
    )


def _changes(cut: CutRow, how: Printing) -> Iterable[Change]:
    """What is done before a part is cut."""
    length = length_text(cut.length, how, with_unit=False)
    if cut.clamped is Held.NOT_CUT:
        yield Change(what="NO CUT", how=f"what is left of the bar is the part, {length} long", when=When.OWN)
    if cut.clamped is not Held.PART:
        return
    off = length_text(cut.beyond, how, with_unit=False)
    at = " at its long point" if cut.angle_b else ""
    cut_off = f"cut {off} off the free end{at}" if cut.beyond else f"trim the free end; the part measures {length}"
    if cut.turn:
        yield Change(what="TURN THE BAR", how=f"hold the part, {cut_off}", when=When.OWN)
    else:
        yield Change(what="HOLD THE PART", how=cut_off, when=When.OWN)


def by_cut(cuts: Sequence[CutRow], how: Printing, swings: Swings) -> list[tuple[Run, tuple[Change, ...]]]:
    """For every part of a bar, in order, the run it is of and what is changed before it is cut."""
    found: list[tuple[Run, tuple[Change, ...]]] = []
    pending: list[Change] = []
    for step in steps_of(cuts, how, swings):
        if isinstance(step, Change):
            pending.append(step)
            continue
        for place, cut in enumerate(step.cuts):
            passed = (When.OWN, When.BETWEEN if place == 0 else When.FIRST)
            before = [one for one in pending if one.when not in passed]
            found.append((step, (*before, *_changes(cut, how))))
        pending = []
    return found
