"""What is done at the saw for one bar, step by step: runs of equal parts, and what is changed between them.

A run is one line of paper however many parts it has. Whatever else a person does between two cuts, such as turning the
bar, is a step of its own with the figure to set, so that nobody has to find out by comparing lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from cutplan.model import Held, Swings
from cutplan.reports.rows import CutRow
from cutplan.units import Angle, Length, Printing, angle_text, length_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Something done between two cuts: what, in capitals, and how, with the figure to set; ``strokes`` are its own."""

    what: str
    how: str
    strokes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Equal parts cut one after another.

    ``set_stop`` and ``set_saw`` say whether the stop and the angle are others than for the part before; where the two
    ends of a part differ, the saw is set for every cut. ``no_stop`` is true of a part that is not cut to the stop.
    """

    cuts: tuple[CutRow, ...]
    set_stop: bool
    set_saw: bool
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
    angle: Angle = 0
    bench = _Bench(swings)
    for before, run in _runs(cuts):
        first = run[0]
        free = first.clamped is Held.BAR
        steps += bench.free_end(before, first)
        steps += bench.far_ends(run)
        steps += _changes(first, how)
        steps.append(
            Run(
                cuts=run,
                set_stop=free and first.length != stop,
                set_saw=angle != first.angle_a or first.angle_a != first.angle_b,
                no_stop=not free,
            )
        )
        stop, angle = first.length, first.angle_b
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


@dataclass(slots=True)
class _Bench:
    """How the bar lies and the saw is swung, by the slant that was cut last; blank before the first mitre.

    ``other_leg`` says that an angle lies on its other leg, None before the first mitre.
    """

    swings: Swings
    slant: str = ""
    other_leg: bool | None = None

    def free_end(self, before: CutRow | None, cut: CutRow) -> Iterable[Change]:
        """What the free end of the bar still needs before a part can be cut from it: a stroke more beside a mitre."""
        if before is not None and (before.shared or not (before.angle_b or cut.angle_a)):
            return
        if before is None and not cut.angle_a:
            return
        yield from self._brought_to(cut.slants[0], cut.angle_a, cut.other_leg)
        where = "at START" if before is None else _where(before)
        what = f"{angle_text(cut.angle_a)} degrees" if cut.angle_a else "square"
        yield Change(what="CUT THE FREE END", how=f"{what}, {where}; a wedge falls out", strokes=1)

    def far_ends(self, run: Sequence[CutRow]) -> Iterable[Change]:
        """What is done before the far end of a part is cut, or before that of each of a run."""
        first = run[0]
        yield from self._brought_to(first.slants[1], first.angle_b, first.other_leg)
        if len(run) == 1:
            return
        if not first.shared and (first.angle_a or first.angle_b):
            what = f"{angle_text(first.angle_a)} degrees" if first.angle_a else "square"
            over = self._words_between(first.slants[1], run[1].slants[0], run[1].slants[1])
            how = f"two cuts: the second {what}, {_where(first)}{over}; a wedge falls out"
            yield Change(what="BETWEEN THESE PARTS", how=how, strokes=len(run) - 1)
        elif first.shared and first.slants[1] != run[1].slants[1]:
            each = "roll the bar half over" if self.swings is Swings.ONE_WAY else "swing the saw to the other side"
            yield Change(what="BETWEEN THESE PARTS", how=f"{each}; one cut ends a part and begins the next")
        elif first.shared:
            yield Change(what="BETWEEN THESE PARTS", how="push the bar on; one cut ends a part and begins the next")
        self.slant = run[-1].slants[1] or self.slant

    def _words_between(self, far: str, near: str, next_far: str) -> str:
        """How the bar is rolled or the saw swung between and after the two cuts that part equal parts."""
        changed = [slant for slant in (far, near, next_far) if slant]
        if len(set(changed)) < 2:
            return ""
        each = "bar rolled half over" if self.swings is Swings.ONE_WAY else "saw swung to the other side"
        return f", the {each} wherever the slant is the other way"

    def _brought_to(self, slant: str, angle: Angle, other_leg: bool) -> Iterable[Change]:
        if not slant:
            return
        if self.other_leg not in (None, other_leg):
            how = f"a quarter over about its length: the mitre of {angle_text(angle)} degrees is cut in its other leg"
            yield Change(what="ROLL THE BAR", how=how)
            self.slant = ""
        self.other_leg = other_leg
        if self.slant and slant != self.slant:
            if self.swings is Swings.ONE_WAY:
                yield Change(what="ROLL THE BAR", how="half over about its length, what was below comes on top")
            else:
                yield Change(what="SWING THE SAW", how=f"to the other side, {angle_text(angle)} degrees")
        self.slant = slant


def _where(before: CutRow) -> str:
    """Where a free end is cut once more."""
    return "at the short point of its slant" if before.angle_b else "from its edge"


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
    )


def _changes(cut: CutRow, how: Printing) -> Iterable[Change]:
    """What is done before a part is cut."""
    measure = f"measures {length_text(cut.length, how, with_unit=False)}"
    if cut.clamped is Held.NOT_CUT:
        yield Change(what="NO CUT", how=f"what is left of the bar is the part and {measure}")
    if cut.clamped is not Held.PART:
        return
    off = length_text(cut.beyond, how, with_unit=False)
    at = " at its long point" if cut.angle_b else ""
    cut_off = f"hold the part, cut {off} off the free end{at}" if cut.beyond else "hold the part, trim the free end"
    yield Change(what="TURN THE BAR" if cut.turn else "HOLD THE PART", how=f"{cut_off}; the part {measure}")
