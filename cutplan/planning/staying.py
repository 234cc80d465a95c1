"""The rest of a plan that was begun: bars that stay as they were, and how its numbers go on.

Bars that stay are a choice. What the rest costs at least is what planning all of it anew has shown, and a plan that
costs more is not proven.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from cutplan.checking import review_proof
from cutplan.model import CutBar, Earlier, Fate, Goal, Group, GroupPlan, Job, Plan, Status, as_brought, groups_of
from cutplan.planning.charges import job_cost, spend
from cutplan.problems import NoPlan
from cutplan.solving import Parameters, bars_as_they_were

Planned = Callable[[Job, float], Plan]
"""Plans a job in a share of the time that is left."""

Lying = Mapping[str, Sequence[CutBar]]
"""Bars of the earlier plan that are not cut, by the mark of the piece of the job that each now is."""


def rest_of(job: Job, lying: Lying, earlier: Earlier, stay_millionths: int, plan: Planned) -> tuple[Job, Plan]:
    """The plan of the rest, with bars that stay unless that costs too much, and the job with its numbers counted on.

    Parameters
    ----------
    earlier
        The highest numbers given so far.
    stay_millionths
        What it may cost more that bars stay, in millionths of what the rest costs where all of it is planned anew.
    Raises
    ------
    NoPlan
        When the rest cannot be cut from anything.
    """
    job = replace(job, earlier=None)
    staying = _staying(job, lying)
    answer = plan(job, Parameters().anew_share if any(staying) else 1.0)
    kept = _around(job, answer, staying, plan)
    if kept is not None and _costs_at_most(answer, kept, stay_millionths):
        answer = kept
    stay, answer = _numbered_on(answer, lying, earlier)
    return replace(job, earlier=replace(earlier, stay=stay)), answer


def _costs_at_most(anew: Plan, kept: Plan, millionths: int) -> bool:
    """Does a plan cost, and buy, no more than that part more than the one planned anew?"""

    def bought(plan: Plan) -> int:
        return sum(bar.cost for group in plan.groups if group.goal is Goal.MASS for bar in group.bars)

    pairs = (anew.cost, kept.cost), (bought(anew), bought(kept))
    return all((now - before) * 1_000_000 <= max(0, before) * millionths for before, now in pairs)


def _around(job: Job, anew: Plan, staying: Sequence[Sequence[CutBar]], plan: Planned) -> Plan | None:
    """A plan in which every bar stays that can, and all else is planned around them; None where there is none.

    Its bound is that of the plan made anew, which holds for every plan of the job.
    """
    bars = [bar for group in staying for bar in group]
    if not bars:
        return None
    left = _without(job, bars)
    around = None
    if left is not None:
        try:
            around = plan(left, 1.0)
        except NoPlan:
            return None
    groups = groups_of(job)
    of_part = {part.mark: place for place, group in enumerate(groups) for part in group.parts}
    together = [list(group) for group in staying]
    for planned in around.groups if around is not None else ():
        together[of_part[next(cut.mark for bar in planned.bars for cut in bar.cuts)]] += planned.bars
    if not all(_may_be_cut_from(group, bars) for group, bars in zip(groups, together, strict=True)):
        return None  # around fewer parts, pieces of the rack went to another saw
    plans = [
        _group_plan(job, group, planned, cut) for group, planned, cut in zip(groups, anew.groups, together, strict=True)
    ]
    if not _charging(job, plans) <= _charging(job, anew.groups):
        return None  # what merchants charge is not bounded then by the proofs at hand
    if around is not None and set(around.fetched) != set(anew.fetched):
        return None  # nor are orders that come another way
    cost = job_cost(as_brought(job, anew), plans)
    return replace(
        anew,
        groups=tuple(plans),
        status=_status(anew.status, anew.bound, cost),
        cost=cost,
        if_delivered=None,
        stopped_by=anew.stopped_by or (around.stopped_by if around is not None else ""),
    )


def _may_be_cut_from(group: Group, bars: Sequence[CutBar]) -> bool:
    """Are there as many pieces and lengths for a group as some bars take?"""
    there = {offcut.mark: offcut.quantity for offcut in group.offcuts}
    there |= {offer.id: offer.available for offer in group.offers if offer.available is not None}
    anywhere = {bar.mark for bar in group.offcuts} | {offer.id for offer in group.offers}
    used = Counter(bar.source for bar in bars if bar.piece_of is None or bar.piece_of.number == 1)
    return all(name in anywhere and number <= there.get(name, number) for name, number in used.items())


def _charging(job: Job, plans: Sequence[GroupPlan]) -> set[str]:
    return {name for name in spend(job, plans) if job.workshop.charges(name)}


def _staying(job: Job, lying: Lying) -> list[list[CutBar]]:
    """Bars that stay, group by group: those whose piece is there and whose parts are all still wanted."""
    there = {offcut.mark: offcut.quantity for offcut in job.offcuts}
    wanted = {part.mark: part.quantity + part.spares for part in job.parts}
    found = []
    kept = 0
    for group in groups_of(job):
        marks = {part.mark for part in group.parts}
        mine = [(mark, bar) for mark, bars in lying.items() for bar in bars if bar.cuts[0].mark in marks]
        mine.sort(key=lambda each: each[1].number)
        stays = []
        for (mark, _), bar in zip(mine, bars_as_they_were(group, job.workshop, mine, Parameters()), strict=True):
            need = Counter(cut.mark for cut in bar.cuts) if bar is not None else Counter()
            if bar is None or not there.get(mark, 0) or any(wanted[part] < n for part, n in need.items()):
                continue
            keeps = bar.drop.fate is Fate.KEEP
            if keeps and job.workshop.most_kept is not None and kept >= job.workshop.most_kept:
                continue
            kept += keeps
            there[mark] -= 1
            for part, number in need.items():
                wanted[part] -= number
            stays.append(bar)
        found.append(stays)
    return found


def _without(job: Job, bars: Sequence[CutBar]) -> Job | None:
    """What is left of a job when these bars are cut as they are; None where nothing is."""
    used = Counter(bar.source for bar in bars)
    cut = Counter(each.mark for bar in bars for each in bar.cuts)
    parts = tuple(
        replace(part, quantity=part.quantity - cut[part.mark]) for part in job.parts if part.quantity > cut[part.mark]
    )
    if not parts:
        return None
    offcuts = tuple(
        replace(offcut, quantity=offcut.quantity - used[offcut.mark])
        for offcut in job.offcuts
        if offcut.quantity > used[offcut.mark]
    )
    most = job.workshop.most_kept
    if most is not None:
        most -= sum(bar.drop.fate is Fate.KEEP for bar in bars)
    return replace(job, parts=parts, offcuts=offcuts, workshop=replace(job.workshop, most_kept=most))


def _group_plan(job: Job, group: Group, anew: GroupPlan, bars: Sequence[CutBar]) -> GroupPlan:
    """The bars of a group with what planning it anew has shown.

    What only a search showed goes with the plan it was shown for: a dearer one is bounded by the leaves alone.
    """
    proof = anew.proof
    status = _status(proof.status, proof.bound, sum(bar.cost for bar in bars))
    if status is Status.NOT_PROVEN and proof.status is Status.BY_SEARCH:
        proof = replace(proof, bound=min(proof.bound, review_proof(job, group, proof).bound or 0))
    return replace(anew, bars=tuple(bars), proof=replace(proof, status=status))


def _status(anew: Status, bound: int, cost: int) -> Status:
    """How cheapest is known of a cost by a bound that was shown for another plan."""
    if cost > bound:
        return Status.NOT_PROVEN
    return Status.BY_SEARCH if anew is Status.NOT_PROVEN else anew


def _numbered_on(plan: Plan, lying: Lying, earlier: Earlier) -> tuple[tuple[int, ...], Plan]:
    """Which bars are as they were, and the plan with their numbers and copies; all others are counted on.

    Bars that stay stand first in their group.
    """
    alike: dict[object, deque[CutBar]] = defaultdict(deque)
    for mark, bars in lying.items():
        for bar in bars:
            alike[_way(bar, mark)].append(bar)
    stay: list[int] = []
    number, copies = earlier.bars, Counter({each.part: each.copy for each in earlier.copies})
    groups = []
    for group in plan.groups:
        old: list[CutBar] = []
        new: list[CutBar] = []
        for bar in group.bars:
            had = alike[_way(bar, bar.source)]
            (old if had else new).append(_as_it_was(bar, had.popleft()) if had else bar)
        old.sort(key=lambda bar: bar.number)
        stay += [bar.number for bar in old]
        for bar in new:
            number += 1
            cuts = []
            for cut in bar.cuts:
                copies[cut.mark] += 1
                cuts.append(replace(cut, copy=copies[cut.mark]))
            old.append(replace(bar, number=number, cuts=tuple(cuts)))
        groups.append(replace(group, bars=tuple(old)))
    other = plan.if_delivered
    if other is not None:
        other = _numbered_on(other, {}, earlier)[1]
    return tuple(sorted(stay)), replace(plan, groups=tuple(groups), if_delivered=other)


def _way(bar: CutBar, source: str) -> object:
    return source, tuple((cut.mark, cut.start) for cut in bar.cuts)


def _as_it_was(bar: CutBar, had: CutBar) -> CutBar:
    """The bar with its number, its copies, and the mark that was promised to its left over."""
    cuts = tuple(replace(cut, copy=old.copy) for cut, old in zip(bar.cuts, had.cuts, strict=True))
    mark = had.drop.mark if bar.drop.fate is Fate.KEEP else ""
    return replace(bar, number=had.number, cuts=cuts, drop=replace(bar.drop, mark=mark))
