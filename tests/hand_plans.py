"""Plans laid down by hand for the tests of the reports: the parts of each bar are named, the figures follow.

The proof holds no leaves; nothing here goes through the checker.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from cutplan.model import (
    Cut,
    CutBar,
    Drop,
    EndState,
    Fate,
    Goal,
    GroupPlan,
    Held,
    Job,
    Leaf,
    Plan,
    Proof,
    SourceKind,
    Status,
    groups_of,
)
from cutplan.units import kerf_along

Marks = Sequence[str]


def hand_plan(job: Job, *bars: tuple[str, Marks], status: Status = Status.RECHECKED, bound: int | None = None) -> Plan:
    """A plan of bars, each a source and the marks cut from it in order; every cut is held on the bar side."""
    groups, number, copies = [], 1, dict.fromkeys((part.mark for part in job.parts), 0)
    for group in groups_of(job):
        sources = {offer.id for offer in group.offers} | {offcut.mark for offcut in group.offcuts}
        cut = []
        for source, marks in bars:
            if source in sources:
                cut.append(_bar(job, number, source, marks, copies))
                number += 1
        goal = Goal.MONEY if group.priced else Goal.MASS
        proof = Proof(
            sources=tuple(sorted(sources)),
            status=status,
            denominator=1,
            step=1,
            leaves=(Leaf(ranges=(), duals=()),),
            bound=sum(bar.cost for bar in cut) if bound is None else bound,
        )
        groups.append(GroupPlan(title=group.title, goal=goal, bars=tuple(cut), proof=proof))
    assert copies == {part.mark: part.quantity for part in job.parts}, "every piece is cut once"
    cost = sum(bar.cost for group in groups if group.goal is Goal.MONEY for bar in group.bars)
    return Plan(
        job_name=job.name,
        groups=tuple(groups),
        cases=(),
        status=status,
        bound=cost if bound is None else bound,
        cost=cost,
    )


def _bar(job: Job, number: int, source: str, marks: Marks, copies: dict[str, int]) -> CutBar:
    saw = job.workshop.saw
    parts = {part.mark: part for part in job.parts}
    offer = next((offer for offer in job.offers if offer.id == source), None)
    offcut = next((offcut for offcut in job.offcuts if offcut.mark == source), None)
    length = offer.counted if offer else offcut.length if offcut else 0
    trim = saw.end_trim if offer else 0
    at, cuts = trim, []
    for place, mark in enumerate(marks):
        copies[mark] += 1
        part = parts[mark]
        end = at + part.length
        after = parts[marks[place + 1]].end_a.angle if place + 1 < len(marks) else 0
        kerf = min(kerf_along(saw.kerf, max(part.end_b.angle, after)), length - end)
        cuts.append(
            Cut(
                mark=mark,
                copy=copies[mark],
                start=at,
                end=end,
                angle_a=part.end_a.angle,
                angle_b=part.end_b.angle,
                kerf=kerf,
                held=Held.BAR,
            )
        )
        at = end + kerf
    family = parts[marks[0]].section.family
    keep = length - at >= job.workshop.keep_length(family)
    fate = Fate.NONE if at == length else Fate.KEEP if keep else Fate.SCRAP
    far_end = EndState.MILL if offer else EndState.SAWN
    price = (offer.bar_price or 0) if offer else offcut.book_value if offcut else 0
    return CutBar(
        number=number,
        kind=SourceKind.BOUGHT if offer else SourceKind.OFFCUT,
        source=source,
        length=length,
        start_trim=trim,
        far_trim=trim,
        cuts=tuple(cuts),
        drop=Drop(start=at, end=length, far_end=far_end, fate=fate),
        cost=price,
        slack=length - trim - cuts[-1].end,
    )


def turned(plan: Plan, number: int) -> Plan:
    """The plan with the last cut of one bar held on the part side."""

    def change(bar: CutBar) -> CutBar:
        if bar.number != number:
            return bar
        return replace(bar, cuts=(*bar.cuts[:-1], replace(bar.cuts[-1], held=Held.PART, turn=True)))

    groups = tuple(replace(group, bars=tuple(map(change, group.bars))) for group in plan.groups)
    return replace(plan, groups=groups)


def with_mark(plan: Plan, number: int, mark: str) -> Plan:
    """The plan with a mark of the rack for what one bar leaves."""
    groups = tuple(
        replace(
            group,
            bars=tuple(
                replace(bar, drop=replace(bar.drop, mark=mark)) if bar.number == number else bar for bar in group.bars
            ),
        )
        for group in plan.groups
    )
    return replace(plan, groups=groups)
