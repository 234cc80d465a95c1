"""A plan as it is shown at the saw: each bar with its parts one by one, and the strip that shows how far it is cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cutplan.model import CutBar, Fate, Job, Plan
from cutplan.reports.cut_blocks import Block, CutRow
from cutplan.reports.drawing import BarDrawing, Kind, Stretch
from cutplan.reports.paper.cut_sheets import outline
from cutplan.reports.rows import rows_of
from cutplan.reports.saw_steps import Change, Run, by_cut
from cutplan.units import Printing, length_text, mass_text
from cutplan.words.cautions import lifting_text, unknown_grade_text
from cutplan.words.cutting import end_text
from cutplan.words.part_words import unit_text

_LETTER = 2.3
"""How much of the strip's width a letter takes on the narrowest phone. [percent]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripStretch:
    """One stretch of the strip: where it begins and how wide it is, its corners in a box of 100 by 40. [percent]"""

    kind: str
    at: str
    middle: str
    wide: str
    corners: str
    label: str
    copy_of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """One part to cut, in words."""

    mark: str
    copy: int
    about: str
    figure: str
    stop: str
    ends: str
    set_saw: bool
    outline: str
    facts: tuple[str, ...]
    changes: tuple[tuple[str, str], ...]
    running: str
    warnings: tuple[str, ...]
    brief: str

    @property
    def key(self) -> str:
        """What tells this part from all others of the plan."""
        return f"{self.mark}/{self.copy}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SawBar:
    """One bar: what to fetch, what is done to START, its strip, its parts, and what is left of it."""

    number: int
    section: str
    source: str
    start: str
    weight: str
    heavy: bool
    cautions: tuple[str, ...]
    words: str
    strip: tuple[StripStretch, ...]
    cuts: tuple[SawCut, ...]
    left_over: str
    left: str
    keep: bool
    mark: str


def saw_bars(job: Job, plan: Plan) -> tuple[SawBar, ...]:
    """The bars of a plan in its order. Of one too large for its sheets, those that its sheets have."""
    rows = rows_of(job, plan)
    by_number = {bar.number: bar for bar in plan.bars}
    shop, parts = job.workshop, {part.mark: part for part in job.parts}
    found: dict[int, SawBar] = {}
    for block in rows.blocks:
        steps = by_cut(block.cuts, shop.printing, block.swings)
        for number, reserved in zip(block.bars, block.reserved, strict=True):
            bar = by_number[number]
            units = {(cut.mark, cut.copy): unit_text(job, parts[cut.mark], cut.copy) for cut in bar.cuts}
            found[number] = _bar(number, bar, block, steps, reserved, units, shop.printing)
    return tuple(found[number] for number in sorted(found))


def _bar(
    number: int,
    bar: CutBar,
    block: Block,
    steps: Sequence[tuple[Run, tuple[Change, ...]]],
    reserved: str,
    units: Mapping[tuple[str, int], str],
    how: Printing,
) -> SawBar:
    heavy = (lifting_text(how),) if block.heavy else ()
    unknown = (unknown_grade_text(),) if block.unknown_grade else ()
    return SawBar(
        number=number,
        section=block.section,
        source=", ".join(text for text in (block.source, block.grade, block.counted) if text),
        start=block.trim,
        weight=mass_text(block.mass, how),
        heavy=block.heavy,
        cautions=(*heavy, *unknown),
        words=block.drawing.words,
        strip=_strip(block.drawing, bar),
        cuts=tuple(
            _cut(row, cut.copy, units[cut.mark, cut.copy], place, steps, how)
            for place, (row, cut) in enumerate(zip(block.cuts, bar.cuts, strict=True))
        ),
        left_over=block.left_over,
        left=length_text(block.left, how) if block.left else "",
        keep=block.fate is Fate.KEEP,
        mark=reserved,
    )


def _cut(
    row: CutRow, copy: int, unit: str, place: int, steps: Sequence[tuple[Run, tuple[Change, ...]]], how: Printing
) -> SawCut:
    run, changes = steps[place]
    first = row is run.first or place == 0 or steps[place - 1][0] is not run
    figure = length_text(row.length, how, with_unit=False)
    stop = "set the stop to" if run.set_stop and first else "same stop"
    if run.no_stop:
        stop = "length of the part"
    square = row.short_point is None
    ends = "both ends square" if square else f"{end_text(row.angle_a)} | {end_text(row.angle_b)}"
    facts = [] if square else [f"short {length_text(row.short_point or 0, how, with_unit=False)}"]
    facts += [row.scale] if row.scale else []
    facts += [f"end {row.first_out} comes off first"] if row.first_out else []
    set_saw = run.set_saw and (first or run.set_each)
    short = ("SHORT: keep to the order of cuts, never hold the short part",) if row.short else ()
    brief = "same stop" if stop == "same stop" and not set_saw else ""
    return SawCut(
        mark=row.mark,
        copy=copy,
        about=": ".join(filter(None, (" ".join(filter(None, (row.assembly, unit))), row.note))),
        figure=figure,
        stop=stop,
        ends=ends,
        set_saw=set_saw,
        outline=" ".join(f"{x},{y}" for x, y in outline(row)),
        facts=tuple(facts),
        changes=tuple((one.what, one.how) for one in changes),
        running=length_text(row.running, how, with_unit=False),
        warnings=(*short, *(text for text in (row.twin, row.remark) if text)),
        brief=brief or "; ".join(one.what.lower() for one in changes),
    )


_KINDS = {Kind.END_TRIM: "trim", Kind.PART: "part", Kind.KEEP: "keep", Kind.SCRAP: "scrap"}


def _strip(drawing: BarDrawing, bar: CutBar) -> tuple[StripStretch, ...]:
    return tuple(
        _stretch(stretch, drawing.length, bar) for stretch in drawing.stretches if stretch.kind is not Kind.KERF
    )


def _stretch(stretch: Stretch, whole: int, bar: CutBar) -> StripStretch:
    at, wide = 100 * stretch.start / whole, 100 * (stretch.end - stretch.start) / whole
    long = max(1, stretch.end - stretch.start)
    near, far = (min(45.0, 100 * run / long) for run in (stretch.run_start, stretch.run_end))
    top = (near if not stretch.start_up else 0, 100 - (far if not stretch.end_up else 0))
    bottom = (near if stretch.start_up else 0, 100 - (far if stretch.end_up else 0))
    label = stretch.label if stretch.kind is Kind.PART else stretch.short_label
    cut = bar.cuts[stretch.number - 1] if stretch.number else None
    return StripStretch(
        kind=_KINDS[stretch.kind],
        at=f"{at:.3f}%",
        middle=f"{at + wide / 2:.3f}%",
        wide=f"{wide:.3f}%",
        corners=f"{bottom[0]:.1f},40 {top[0]:.1f},0 {top[1]:.1f},0 {bottom[1]:.1f},40",
        label=label if len(label) * _LETTER + 1 <= wide else "",
        copy_of=f"{cut.mark}/{cut.copy}" if cut is not None else "",
    )
