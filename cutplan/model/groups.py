"""Groups of a job: parts that are cut from the same bars, with what could serve them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from cutplan.model.job import Job
from cutplan.model.offcut import Offcut
from cutplan.model.part import Part
from cutplan.model.stock_length import StockLength
from cutplan.model.workshop import Workshop
from cutplan.sections.section import Section

_Bar = TypeVar("_Bar", StockLength, Offcut)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts that are cut from the same bars, with every offer and offcut that could serve one of them.

    ``grade`` is blank when a part of the group leaves its grade open, and names several where one bar may serve them;
    :func:`serves` says which bar serves which part. Offers include those longer
    than the longest carry; ``within_carry`` filters them. ``saw`` is the one they
    are cut on, blank where there is one; what there is a limited number of is
    here as far as it was dealt out to this group.
    """

    section: Section
    finish: str
    grade: str
    parts: tuple[Part, ...]
    offers: tuple[StockLength, ...]
    offcuts: tuple[Offcut, ...]
    saw: str = ""

    @property
    def title(self) -> str:
        """How sheets name the group."""
        on = f"on {self.saw}" if self.saw else ""
        return ", ".join(text for text in (self.section.key, self.grade or "any grade", self.finish, on) if text)

    @property
    def priced(self) -> bool:
        """True when no offer lacks a price, so that money can be proven."""
        return all(offer.bar_price is not None for offer in self.offers)

    @property
    def pieces(self) -> int:
        """Number of parts counted one by one."""
        return sum(part.quantity for part in self.parts)


def serves(bar_grade: str, grades: tuple[str, ...]) -> bool:
    """May a bar of this grade be cut into a part that :attr:`Part.grades` serve?

    A part with no grade is served by any bar; a stated grade excludes a bar of
    another or of unknown grade, unless that serves it too.
    """
    return not grades or bar_grade in grades


def groups_of(job: Job) -> tuple[Group, ...]:
    """Split a job into groups that share no bar, saw by saw, in the order of their first part.

    Where one material is cut on several saws, what there is a limited number of is dealt out among its groups, pieces
    of the rack first, each bar to the saw that has most length of parts left to cut: so no bar is planned twice.
    """
    groups = _whole_groups(job)
    return groups if len({group.saw for group in groups}) < 2 else _dealt(groups)[0]


def dealt_out(job: Job) -> dict[str, tuple[StockLength | Offcut, ...]]:
    """By the titles of groups for which bars could have been dealt out in another way, the bars that each was given.

    What is proven of such a group, and of the whole plan then, is proven for plans that keep to its share.
    """
    groups = _whole_groups(job)
    if len({group.saw for group in groups}) < 2:
        return {}
    dealt, choices = _dealt(groups)
    found = {}
    for place, group in enumerate(dealt):
        could = {name for name, fitting in choices.items() if place in fitting}
        if could:
            given = (bar for bar in _limited(group) if not isinstance(bar, StockLength) or bar.available)
            found[group.title] = tuple(bar for bar in given if _name(bar) in could)
    return found


def _whole_groups(job: Job) -> tuple[Group, ...]:
    """The groups, saw by saw, each with all that could serve it."""
    members: dict[tuple[str, str, str, str], list[Part]] = {}
    for part, grade in zip(job.parts, grades_together(job.parts), strict=True):
        members.setdefault((part.section.key, part.finish, grade, part.saw), []).append(part)
    offers, offcuts = _by_material(job.offers), _by_material(job.offcuts)
    groups = []
    for (key, finish, grade, saw), parts in members.items():
        wanted = {part.grades for part in parts}
        groups.append(
            Group(
                section=parts[0].section,
                finish=finish,
                grade=grade,
                parts=tuple(parts),
                offers=tuple(offer for offer in offers.get((key, finish), ()) if _serves_some(offer, wanted)),
                offcuts=tuple(
                    offcut
                    for offcut in offcuts.get((key, finish), ())
                    if offcut.saw in ("", saw) and _serves_some(offcut, wanted)
                ),
                saw=saw,
            )
        )
    saws = [saw.name for saw in job.workshop.saws]
    return tuple(sorted(groups, key=lambda group: saws.index(group.saw)) if saws else groups)


def _dealt(groups: Sequence[Group]) -> tuple[tuple[Group, ...], dict[str, list[int]]]:
    """The groups, each with its share of what there is a limited number of, and where there was a choice.

    For each bar that several groups could have been given, by its name, the second has their places.
    """
    left = [sum(part.length * part.quantity for part in group.parts) for group in groups]
    shares: list[dict[str, int]] = [{} for _ in groups]
    choices: dict[str, list[int]] = {}
    limited = {_name(bar): bar for group in groups for bar in _limited(group)}
    # What is on the rack is paid for, so that no saw is given a length to buy for what a piece would have held.
    for name, bar in sorted(limited.items(), key=lambda named: (isinstance(named[1], StockLength), -named[1].length)):
        among = [place for place, group in enumerate(groups) if bar in _limited(group)]
        number = bar.available or 0 if isinstance(bar, StockLength) else bar.quantity
        fitting = [place for place in among if any(_may_be_cut(bar, part) for part in groups[place].parts)] or among[:1]
        if number >= sum(groups[place].pieces for place in fitting):
            continue  # each has as many as it can use
        for place in among:
            shares[place][name] = 0
        for _ in range(number):
            most = max(fitting, key=lambda place: left[place])
            shares[most][name] += 1
            left[most] -= bar.length
        if number and len(fitting) > 1:
            choices[name] = fitting
    return tuple(_with_share(group, share) for group, share in zip(groups, shares, strict=True)), choices


def _name(bar: StockLength | Offcut) -> str:
    return bar.id if isinstance(bar, StockLength) else bar.mark


def _limited(group: Group) -> Iterator[StockLength | Offcut]:
    yield from (offer for offer in group.offers if offer.available is not None)
    yield from group.offcuts


def _may_be_cut(bar: StockLength | Offcut, part: Part) -> bool:
    return part.length <= bar.length and serves(bar.grade, part.grades)


def _with_share(group: Group, share: Mapping[str, int]) -> Group:
    offcuts = ((offcut, share.get(offcut.mark, offcut.quantity)) for offcut in group.offcuts)
    return replace(
        group,
        offers=tuple(
            offer if offer.available is None else replace(offer, available=share.get(offer.id, offer.available))
            for offer in group.offers
        ),
        offcuts=tuple(replace(offcut, quantity=number) for offcut, number in offcuts if number),
    )


def _by_material(bars: Iterable[_Bar]) -> dict[tuple[str, str], list[_Bar]]:
    found: dict[tuple[str, str], list[_Bar]] = {}
    for bar in bars:
        found.setdefault((bar.section.key, bar.finish), []).append(bar)
    return found


def _serves_some(bar: StockLength | Offcut, wanted: set[tuple[str, ...]]) -> bool:
    return any(serves(bar.grade, grades) for grades in wanted)


def grades_together(parts: Sequence[Part]) -> list[str]:
    """For each part the grade of its group among these: blank where a part of its material leaves its grade open.

    Parts of one section and finish on one saw stay together where one bar may serve both: one of them without a grade,
    or both with grades that share one; their group is then called by the grades of both.
    """
    materials = [(part.section.key, part.finish, part.saw) for part in parts]
    wanted: dict[tuple[str, str, str], dict[tuple[str, ...], None]] = {}
    for material, part in zip(materials, parts, strict=True):
        wanted.setdefault(material, {})[part.grades] = None
    named = {material: _named_together(list(served)) for material, served in wanted.items()}
    return [named[material][part.grade] for material, part in zip(materials, parts, strict=True)]


def _named_together(wanted: Sequence[tuple[str, ...]]) -> dict[str, str]:
    """The name of the group of each grade asked of one material; ``wanted`` has each with what serves it too."""
    if () in wanted:
        return dict.fromkeys(["", *(grades[0] for grades in wanted if grades)], "")
    groups: list[tuple[set[str], list[str]]] = []
    for grades in wanted:
        meeting = [group for group in groups if group[0].intersection(grades)]
        groups = [group for group in groups if group not in meeting]
        served = set(grades).union(*(group[0] for group in meeting))
        groups.append((served, list(dict.fromkeys([*(own for _, owns in meeting for own in owns), grades[0]]))))
    return {own: " or ".join(owns) for _, owns in groups for own in owns}


def within_carry(offer: StockLength, workshop: Workshop) -> bool:
    """Can this stock length be brought home whole: short enough, or delivered?"""
    carry, terms = workshop.carry, workshop.terms(offer.merchant)
    if terms.may_be_delivered and (not terms.longest_delivered or offer.length <= terms.longest_delivered):
        return True
    return terms.may_be_fetched and (not carry or offer.length <= carry)
