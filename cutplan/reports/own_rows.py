"""What belongs to each of several jobs planned together: its parts and where each is cut, its cards, what it bears."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from cutplan.model import CutBar, Job, Plan, own_name, own_part
from cutplan.model.totals import ListTotal, Totals, bought_by_list, to_pay_by_list
from cutplan.reports import extent
from cutplan.reports.cards import CardRow, card_rows_by_list
from cutplan.reports.other_rows import OtherRow, other_row
from cutplan.reports.part_rows import PartRow, frames_of, part_row
from cutplan.units import Mass, Money
from cutplan.words import naming


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRows:
    """One of several jobs, its parts called as its own list calls them.

    ``cut_from`` says by mark from which bars a part is cut, and in brackets its places there from START. ``alone`` are
    the bars from which nothing of another job is cut. ``to_pay`` and ``bought_mass`` are its shares, of which those of
    all jobs add up to the whole.
    """

    name: str
    total: ListTotal
    to_pay: Money
    bought_mass: Mass
    parts: tuple[PartRow, ...]
    cut_from: Mapping[str, str]
    frames: Mapping[str, tuple[str, ...]]
    cards: tuple[CardRow, ...]
    others: tuple[OtherRow, ...]
    alone: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedBars:
    """Bars cut alike for several jobs: what of each goes to which. ``parts`` words what one bar gives each job."""

    bars: tuple[int, ...]
    parts: tuple[tuple[str, str], ...]


def own_rows(job: Job, plan: Plan, totals: Totals) -> tuple[OwnRows, ...]:
    """A job for each list of a plan of several, in their order; none where one was planned alone, or is left alone."""
    if len(totals.lists) < 2:
        return ()
    how, sections = job.workshop.printing, naming.section_names(job)
    cut_from, cards = _cut_from(plan), card_rows_by_list(job)
    list_of = {part.mark: part.list_name for part in job.parts}
    whose = {bar.number: {list_of[cut.mark] for cut in bar.cuts} for bar in plan.bars}
    made = []
    for total, to_pay, mass in zip(totals.lists, to_pay_by_list(totals), bought_by_list(job, totals), strict=True):
        parts = [part for part in job.parts if part.list_name == total.name]
        own = [own_part(part) for part in parts]
        made.append(
            OwnRows(
                name=total.name,
                total=total,
                to_pay=to_pay,
                bought_mass=mass,
                parts=tuple(part_row(part, how, sections[part.section.key], first=job.earlier is None) for part in own),
                cut_from={one.mark: cut_from.get(part.mark, "") for one, part in zip(own, parts, strict=True)},
                frames=frames_of(own, how),
                cards=cards.get(total.name, ()),
                others=tuple(
                    other_row(replace(line, assembly=own_name(line.assembly, total.name)))
                    for line in job.others
                    if line.list_name == total.name
                ),
                alone=tuple(number for number, jobs in sorted(whose.items()) if jobs == {total.name}),
            )
        )
    return tuple(made)


def shared_bars(job: Job, plan: Plan) -> tuple[SharedBars, ...]:
    """Bars that are cut for several jobs, those alike and one after another drawn together."""
    parts = {part.mark: part for part in job.parts}
    found = []
    for marks, alike in groupby(sorted(plan.bars, key=lambda bar: bar.number), key=_marks):
        counts: dict[str, Counter[str]] = {}
        for mark in marks:
            name = parts[mark].list_name
            counts.setdefault(name, Counter())[own_part(parts[mark]).mark] += 1
        if len(counts) > 1:
            words = tuple((name, _counted(count)) for name, count in counts.items())
            found.append(SharedBars(bars=tuple(bar.number for bar in alike), parts=words))
    return tuple(found)


def _marks(bar: CutBar) -> tuple[str, ...]:
    return tuple(cut.mark for cut in bar.cuts)


def _counted(marks: Mapping[str, int]) -> str:
    return ", ".join(f"{count} x {mark}" for mark, count in marks.items())


def _cut_from(plan: Plan) -> dict[str, str]:
    """``2 (1), 4 to 6 (1, 3)`` by mark: bars and, in brackets, which parts from START of each."""
    places: dict[str, dict[tuple[int, ...], list[int]]] = {}
    for bar in sorted(plan.bars, key=lambda bar: bar.number):
        on_bar: dict[str, list[int]] = {}
        for place, cut in enumerate(bar.cuts, 1):
            on_bar.setdefault(cut.mark, []).append(place)
        for mark, cuts in on_bar.items():
            places.setdefault(mark, {}).setdefault(tuple(cuts), []).append(bar.number)
    return {mark: _places_text(list(found.items())) for mark, found in places.items()}


def _places_text(found: Sequence[tuple[tuple[int, ...], Sequence[int]]]) -> str:
    texts = [f"{naming.numbers_text(bars)} ({naming.numbers_text(cuts)})" for cuts, bars in found[: extent.MOST_PLACES]]
    left = sum(len(bars) for _, bars in found[extent.MOST_PLACES :])
    return "; ".join(texts) + (f"; and {left} more bars" if left else "")
