"""Of pieces on the rack that serve alike, the oldest is used: the last of what tells two plans apart.

The pieces of a job from a ledger stand oldest first.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import replace

from cutplan.model import CutBar, Fate, Group, GroupPlan, Job, Offcut, Plan, SourceKind, Workshop, groups_of
from cutplan.solving import Parameters, bars_as_they_were


def oldest_first(job: Job, plan: Plan) -> Plan:
    """The same plan with older pieces of the rack in place of younger ones, where cost and cuts stay what they are.

    A bar is cut from the first piece that is like the one it has in length, ends, grade and book value. One that is
    used up may also be cut from a piece of another length, of the same grade, that is then used up too.
    """
    groups = []
    for group, planned in zip(groups_of(job), plan.groups, strict=True):
        older = _of_those_alike(group, planned)
        # Where few left overs may be kept, what is scrap depends on the other bars.
        groups.append(older if job.workshop.most_kept is not None else _of_those_used_up(group, job.workshop, older))
    return replace(plan, groups=tuple(groups))


def _of_those_alike(group: Group, planned: GroupPlan) -> GroupPlan:
    kinds = {offcut.mark: _kind(offcut) for offcut in group.offcuts}
    wanted = Counter(kinds[bar.source] for bar in planned.bars if bar.kind is SourceKind.OFFCUT)
    marks: dict[Hashable, list[str]] = defaultdict(list)
    for offcut in group.offcuts:
        alike = marks[kinds[offcut.mark]]
        alike += [offcut.mark] * min(offcut.quantity, wanted[kinds[offcut.mark]] - len(alike))
    turns: dict[Hashable, Iterator[str]] = {kind: iter(each) for kind, each in marks.items()}

    def older(bar: CutBar) -> CutBar:
        return replace(bar, source=next(turns[kinds[bar.source]])) if bar.kind is SourceKind.OFFCUT else bar

    return replace(planned, bars=tuple(older(bar) for bar in planned.bars))


def _of_those_used_up(group: Group, workshop: Workshop, planned: GroupPlan) -> GroupPlan:
    """Bars that leave nothing to keep are given to the oldest pieces that they can be given to all together."""
    racked = [bar for bar in planned.bars if bar.kind is SourceKind.OFFCUT]
    gone = [bar for bar in racked if bar.drop.fate is not Fate.KEEP]
    kept = Counter(bar.source for bar in racked if bar.drop.fate is Fate.KEEP)
    there = {offcut.mark: offcut.quantity - kept[offcut.mark] for offcut in group.offcuts}
    pieces = {offcut.mark: offcut for offcut in group.offcuts if there[offcut.mark] > 0}
    asked = [
        (place, mark)
        for place, bar in enumerate(gone)
        for mark, piece in pieces.items()
        if _may_serve(group, workshop, bar, pieces[bar.source], piece)
    ]
    if len(asked) == len(gone):
        return planned  # each bar knows its own piece alone
    lying = [(mark, gone[place]) for place, mark in asked]
    found = zip(asked, bars_as_they_were(group, workshop, lying, Parameters()), strict=True)
    cut = {key: bar for key, bar in found if bar is not None and _is_as_good(bar, gone[key[0]])}
    cut |= {(place, bar.source): bar for place, bar in enumerate(gone)}
    given = _given([mark for mark in pieces for _ in range(there[mark])], len(gone), cut)
    if sorted(given.values()) == sorted(bar.source for bar in gone):
        return planned
    older = {bar.number: cut[place, given[place]] for place, bar in enumerate(gone)}
    return replace(planned, bars=tuple(older.get(bar.number, bar) for bar in planned.bars))


def _may_serve(group: Group, workshop: Workshop, bar: CutBar, had: Offcut, piece: Offcut) -> bool:
    """May a bar be cut from this piece, used up then, without a look at what it costs?"""
    last, hold = bar.cuts[-1], workshop.at_saw(group.saw).saw.safe_hold
    left = piece.length - last.end - last.kerf
    return piece.mark == had.mark or (
        _ends(piece) == _ends(had)
        and last.end <= piece.length - bar.far_trim
        and left < workshop.keep_length(group.section.family)
        and (left < hold) is (bar.drop.length < hold)
        and piece.grade == had.grade
    )


def _is_as_good(bar: CutBar, had: CutBar) -> bool:
    return bar.cost == had.cost and bar.slack >= 0 and bar.drop.fate is not Fate.KEEP


def _given(slots: Sequence[str], bars: int, cut: Mapping[tuple[int, str], CutBar]) -> dict[int, str]:
    """A piece for every bar, such that the oldest pieces go that can go together: slot by slot, by augmenting paths.

    The sets of pieces that can go together are the independent sets of a transversal matroid, where taking each that
    can be added, in order, gives the best set (J. Edmonds, Mathematical Programming 1 (1971), from memory).
    """
    given: dict[int, int] = {}  # by bar, its slot

    def finds(slot: int, seen: set[int]) -> bool:
        for bar in range(bars):
            if bar in seen or (bar, slots[slot]) not in cut:
                continue
            seen.add(bar)
            if bar not in given or finds(given[bar], seen):
                given[bar] = slot
                return True
        return False

    for slot in range(len(slots)):
        if len(given) < bars:
            finds(slot, set())
    return {bar: slots[slot] for bar, slot in given.items()}


def _kind(offcut: Offcut) -> Hashable:
    slant = offcut.angle_a, offcut.depth, offcut.side
    return offcut.length, _ends(offcut), slant, offcut.grade, offcut.book_value


def _ends(offcut: Offcut) -> tuple[str, ...]:
    return tuple(sorted((offcut.end_a.value, offcut.end_b.value)))
