"""What is done at the saw for one bar, step by step: runs of equal parts, and what is changed between them.

A run is one line of paper however many parts it has. Whatever else a person does between two cuts, such as turning the
bar, is a step of its own with the figure to set, so that nobody has to find out by comparing lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from cutplan.model import Held
from cutplan.reports.rows import CutRow
from cutplan.units import Angle, Length, Printing, length_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Something done between two cuts: what, in capitals, and how, with the figure to set."""

    what: str
    how: str


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


def steps_of(cuts: Sequence[CutRow], how: Printing) -> tuple[Step, ...]:
    """The steps of one bar in their order.

    Parameters
    ----------
    cuts
        The parts of the bar, START first.
    how
        How figures are printed.
    """
    steps: list[Step] = []
    stop: Length | None = None
    angle: Angle = 0
    for _, alike in groupby(cuts, key=_alike):
        run = tuple(alike)
        first = run[0]
        free = first.clamped is Held.BAR
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


def _alike(cut: CutRow) -> object:
    """What neighbours share that are cut in one go."""
    return cut.mark, cut.length, cut.angle_a, cut.angle_b, cut.clamped, cut.turn, cut.remark, cut.first_out


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
