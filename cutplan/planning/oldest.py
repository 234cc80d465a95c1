"""Of pieces on the rack that serve alike, the oldest is used: the last of what tells two plans apart."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace

from cutplan.model import CutBar, Group, GroupPlan, Job, Offcut, Plan, SourceKind, groups_of


def oldest_first(job: Job, plan: Plan) -> Plan:
    """The same plan with each bar from the rack cut from the first piece of the job that is like the one it has.

    The pieces of a job from a ledger stand oldest first. Cost and proof stay what they are: pieces that are alike in
    length, ends, grade and book value are one to them.
    """
    pairs = zip(groups_of(job), plan.groups, strict=True)
    return replace(plan, groups=tuple(_group(group, planned) for group, planned in pairs))


def _group(group: Group, planned: GroupPlan) -> GroupPlan:
    kinds = {offcut.mark: _kind(offcut) for offcut in group.offcuts}
    wanted = Counter(kinds[bar.source] for bar in planned.bars if bar.kind is SourceKind.OFFCUT)
    marks: dict[object, list[str]] = defaultdict(list)
    for offcut in group.offcuts:
        alike = marks[kinds[offcut.mark]]
        alike += [offcut.mark] * min(offcut.quantity, wanted[kinds[offcut.mark]] - len(alike))
    turns: dict[object, Iterator[str]] = {kind: iter(each) for kind, each in marks.items()}

    def older(bar: CutBar) -> CutBar:
        return replace(bar, source=next(turns[kinds[bar.source]])) if bar.kind is SourceKind.OFFCUT else bar

    return replace(planned, bars=tuple(older(bar) for bar in planned.bars))


def _kind(offcut: Offcut) -> object:
    ends = tuple(sorted((offcut.end_a.value, offcut.end_b.value)))
    return offcut.length, ends, offcut.grade, offcut.book_value
