"""Four frame parts in a row, every slant on that of its neighbour, worked out by hand."""

from __future__ import annotations

from typing import Any

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
from cutplan.units import DEGREE
from tests.builders import job, mm, offer, part

LONG, DEPTH, ALONG = 300, 40, 3.6
"""Long point, depth and 2.5 / cos 45, rounded up to 0.1 mm."""


def frame(**other: Any) -> Job:
    """Four parts, mitred at both ends, and what they need: n (L - d) + d + (n - 1) kerf / cos 45, by hand."""
    settings = {"kerf": "2.5", "end_trim": 10, "keep": 300, "share_mitres": True} | other.pop("settings", {})
    parts = other.pop("parts", ()) or [part("P", 4, LONG, mitres=(45, 45), **other)]
    return job(parts, [offer("A", 1200, 10)], **settings)


def row(number: int = 4, rolled: tuple[int, ...] = (0, 2, 0, 2)) -> CutBar:
    """From a mill end on, every slant on that of its neighbour."""
    at, cuts = mm(10), []
    for n in range(number):
        last = n == number - 1
        cuts.append(
            Cut(mark="P", copy=n + 1, start=at, end=at + mm(LONG), angle_a=45 * DEGREE, angle_b=45 * DEGREE,
                kerf=mm("3.6"), held=Held.BAR, rolled=rolled[n], shared=not last)
        )  # fmt: skip
        at += mm(LONG) + mm("3.6") - (0 if last else mm(DEPTH))
    return CutBar(
        number=1, kind=SourceKind.BOUGHT, source="A", length=mm(1200), start_trim=mm(10), far_trim=mm(10),
        cuts=tuple(cuts), drop=Drop(start=at, end=mm(1200), far_end=EndState.MILL, fate=Fate.SCRAP),
        cost=10_000_000, slack=mm(1190) - cuts[-1].end,
    )  # fmt: skip


def planned(made: Job, *bars: CutBar) -> Plan:
    """A plan of these bars, the whole of its one group; nothing is proven."""
    (group,) = groups_of(made)
    cost = sum(bar.cost for bar in bars)
    proof = Proof(
        sources=tuple(offer.id for offer in group.offers), status=Status.NOT_PROVEN, denominator=1, step=1, bound=0,
        leaves=(Leaf(ranges=(), duals=()),),
    )  # fmt: skip
    groups = (GroupPlan(title=group.title, goal=Goal.MONEY, bars=bars, proof=proof),)
    return Plan(job_name=made.name, groups=groups, cases=(), status=Status.NOT_PROVEN, bound=0, cost=cost)
