"""What there is to do by hand in a plan, counted, and the time it takes by a workshop's figures.

Counted is what the plan has: bars to handle, settings of the stop, strokes of the saw, walls to drill, ends to weld
on. What a merchant cuts to plan takes no stroke here. That both ends of every part are welded on is an assumption.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from cutplan.costing.cost_figures import HourFigures, Minutes, minutes_by_size
from cutplan.model import CutBar, Group, GroupPlan, Held, Job, Part, Plan, SourceKind, groups_of
from cutplan.model.holes import walls
from cutplan.model.section_totals import made_of
from cutplan.units import MM, Length

_UM2_OF_1000_MM2 = 1000 * 1_000_000
"""A thousand square millimetres. [square micrometres]"""


class Handwork(Enum):
    """A kind of work by hand."""

    BARS = "bars handled"
    STOPS = "stop settings"
    STROKES = "strokes of the saw"
    HOLES = "walls drilled"
    WELDS = "ends welded on"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Work of one kind and size: how often it is done, and what it takes each time.

    Parameters
    ----------
    size
        A section by its designation, or blank.
    diameter
        Of a hole; 0 elsewhere. [nm]
    by_assembly
        How the time is shared out: weights by assembly, in the order of the parts list.
    """

    work: Handwork
    size: str = ""
    diameter: Length = 0
    count: int
    each: Minutes
    by_assembly: tuple[tuple[str, int], ...]

    @property
    def minutes(self) -> Minutes:
        """All of it."""
        return self.count * self.each


def tasks_of(job: Job, plan: Plan, figures: HourFigures) -> tuple[Task, ...]:
    """All work by hand of a plan, each kind in the order of its sections or diameters; what is not done is left out."""
    pairs = list(zip(groups_of(job), plan.groups, strict=True))
    found = [
        _all_sections(Handwork.BARS, pairs, _handled, figures.per_bar),
        _all_sections(Handwork.STOPS, pairs, lambda group, planned: _stops(job, group, planned), figures.per_stop),
        *_strokes(job, pairs, figures),
        *_drilled(job, plan, figures),
        *_welded(pairs, figures),
    ]
    return tuple(task for task in found if task.count)


def minutes_of(tasks: Iterable[Task]) -> Minutes:
    """All of some tasks."""
    return sum(task.minutes for task in tasks)


def _all_sections(
    work: Handwork, pairs: list[tuple[Group, GroupPlan]], count: Callable[[Group, GroupPlan], int], each: Minutes
) -> Task:
    """Work of all sections together, shared out by the pieces of each section for so much as is done there."""
    weights: Counter[str] = Counter()
    whole = 0
    for group, planned in pairs:
        done = count(group, planned)
        pieces = _pieces(group.parts, made_of(planned.bars))
        total = sum(pieces.values()) or 1
        whole += done
        for assembly, number in pieces.items():
            # In a fine unit, so that whole numbers tell shares of sections with different numbers of pieces.
            weights[assembly] += done * number * 1_000_000 // total
    return Task(work=work, count=whole, each=each, by_assembly=tuple(weights.items()))


def _pieces(parts: Iterable[Part], made: Mapping[str, int]) -> Counter[str]:
    pieces: Counter[str] = Counter()
    for part in parts:
        pieces[part.assembly] += made[part.mark]
    return pieces


def _handled(group: Group, planned: GroupPlan) -> int:
    return sum(1 for bar in planned.bars if bar.cuts)


def _cut_here(job: Job, group: Group, planned: GroupPlan) -> Iterator[CutBar]:
    """Bars that the workshop itself saws."""
    merchants = {offer.id: offer.merchant for offer in group.offers}
    for bar in planned.bars:
        if bar.kind is SourceKind.OFFCUT or not job.workshop.merchant(merchants[bar.source]).cuts_to_plan:
            yield bar


def _stops(job: Job, group: Group, planned: GroupPlan) -> int:
    """How often a part is cut to a stop that stood at another length before; parts that are held need none."""
    settings = 0
    for bar in _cut_here(job, group, planned):
        stands: Length | None = None
        for cut in bar.cuts:
            length = cut.end - cut.start
            settings += cut.held is Held.BAR and length != stands
            stands = length
    return settings


def _strokes(job: Job, pairs: list[tuple[Group, GroupPlan]], figures: HourFigures) -> Iterator[Task]:
    """A task for every section, however many grades and finishes of it there are."""
    counts: Counter[str] = Counter()
    weights: dict[str, Counter[str]] = {}
    each: dict[str, Minutes] = {}
    for group, planned in pairs:
        name = group.section.designation
        cut_here = list(_cut_here(job, group, planned))
        counts[name] += sum(bar.strokes for bar in cut_here)
        weights.setdefault(name, Counter()).update(_pieces(group.parts, made_of(planned.bars)))
        each[name] = minutes_by_size(
            figures.per_cut, figures.per_cut_1000_mm2, group.section.area_um2, _UM2_OF_1000_MM2
        )
    for name, count in counts.items():
        shares = tuple(weights[name].items())
        yield Task(work=Handwork.STROKES, size=name, count=count, each=each[name], by_assembly=shares)


def _drilled(job: Job, plan: Plan, figures: HourFigures) -> Iterator[Task]:
    """A task for every diameter; a hole through a tube is two walls."""
    made = made_of(plan.bars)
    found: dict[Length, Counter[str]] = {}
    for part in job.parts:
        for hole in part.holes:
            if not hole.landing:
                number = len(walls(hole, part)) * made[part.mark]
                found.setdefault(hole.diameter, Counter())[part.assembly] += number
    for diameter in sorted(found):
        yield Task(
            work=Handwork.HOLES,
            diameter=diameter,
            count=found[diameter].total(),
            each=minutes_by_size(figures.per_hole, figures.per_hole_10_mm, diameter, 10 * MM),
            by_assembly=tuple(found[diameter].items()),
        )


def _welded(pairs: list[tuple[Group, GroupPlan]], figures: HourFigures) -> Iterator[Task]:
    """A task for every section: both ends of every part."""
    found: dict[str, Counter[str]] = {}
    each: dict[str, Minutes] = {}
    for group, planned in pairs:
        name = group.section.designation
        pieces = _pieces(group.parts, made_of(planned.bars))
        for assembly, number in pieces.items():
            found.setdefault(name, Counter())[assembly] += 2 * number
        # Square millimetres of surface a metre of length are thousandths of a millimetre of outline.
        outline = group.section.surface_mm2_per_metre
        each[name] = minutes_by_size(figures.per_weld_end, figures.per_weld_100_mm, outline, 100 * 1000)
    for name, ends in found.items():
        yield Task(work=Handwork.WELDS, size=name, count=ends.total(), each=each[name], by_assembly=tuple(ends.items()))
