"""Groups of a job: parts that are cut from the same bars, with what could serve them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.model.job import Job
from cutplan.model.offcut import Offcut
from cutplan.model.part import Part
from cutplan.model.stock_length import StockLength
from cutplan.model.workshop import Workshop
from cutplan.sections.section import Section


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts that are cut from the same bars, with every offer and offcut that could serve one of them.

    ``grade`` is blank when a part of the group leaves its grade open, and names several where one bar may serve them;
    :func:`serves` says which bar serves which part. Offers include those longer
    than the longest carry; ``within_carry`` filters them.
    """

    section: Section
    finish: str
    grade: str
    parts: tuple[Part, ...]
    offers: tuple[StockLength, ...]
    offcuts: tuple[Offcut, ...]

    @property
    def title(self) -> str:
        """How sheets name the group."""
        return ", ".join(text for text in (self.section.key, self.grade or "any grade", self.finish) if text)

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
    """Split a job into groups that share no bar, in the order of their first part."""
    members: dict[tuple[str, str, str], list[Part]] = {}
    for part, grade in zip(job.parts, grades_together(job.parts), strict=True):
        members.setdefault((part.section.key, part.finish, grade), []).append(part)
    groups = []
    for (key, finish, grade), parts in members.items():
        wanted = {part.grades for part in parts}
        groups.append(
            Group(
                section=parts[0].section,
                finish=finish,
                grade=grade,
                parts=tuple(parts),
                offers=tuple(o for o in job.offers if _of_group(o, key, finish, wanted)),
                offcuts=tuple(o for o in job.offcuts if _of_group(o, key, finish, wanted)),
            )
        )
    return tuple(groups)


def _of_group(bar: StockLength | Offcut, key: str, finish: str, wanted: set[tuple[str, ...]]) -> bool:
    return bar.section.key == key and bar.finish == finish and any(serves(bar.grade, grades) for grades in wanted)


def grades_together(parts: Sequence[Part]) -> list[str]:
    """For each part the grade of its group among these: blank where a part of its material leaves its grade open.

    Parts of one section and finish stay together where one bar may serve both: one of them without a grade, or both
    with grades that share one; their group is then called by the grades of both.
    """
    wanted: dict[tuple[str, str], dict[tuple[str, ...], None]] = {}
    for part in parts:
        wanted.setdefault((part.section.key, part.finish), {})[part.grades] = None
    named = {material: _named_together(list(served)) for material, served in wanted.items()}
    return [named[part.section.key, part.finish][part.grade] for part in parts]


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
