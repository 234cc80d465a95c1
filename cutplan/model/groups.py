"""Groups of a job: parts that are cut from the same bars, with what could serve them."""

from __future__ import annotations

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

    ``grade`` is blank when a part of the group leaves its grade open; then
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


def serves(bar_grade: str, part_grade: str) -> bool:
    """May a bar of this grade be cut into a part of that grade?

    A part with no grade is served by any bar; a stated grade excludes a bar of
    another or of unknown grade.
    """
    return not part_grade or bar_grade == part_grade


def groups_of(job: Job) -> tuple[Group, ...]:
    """Split a job into groups that share no bar, in the order of their first part.

    Where a section in one finish is asked for with and without a grade, the
    parts stay in one group, because a bar of that grade may serve both.
    """
    made_of = [(part.section.key, part.finish) for part in job.parts]
    open_grade = {material for material, part in zip(made_of, job.parts, strict=True) if not part.grade}
    members: dict[tuple[str, str, str], list[Part]] = {}
    for material, part in zip(made_of, job.parts, strict=True):
        members.setdefault((*material, "" if material in open_grade else part.grade), []).append(part)
    groups = []
    for (key, finish, grade), parts in members.items():
        groups.append(
            Group(
                section=parts[0].section,
                finish=finish,
                grade=grade,
                parts=tuple(parts),
                offers=tuple(
                    o for o in job.offers if o.section.key == key and o.finish == finish and serves(o.grade, grade)
                ),
                offcuts=tuple(
                    o for o in job.offcuts if o.section.key == key and o.finish == finish and serves(o.grade, grade)
                ),
            )
        )
    return tuple(groups)


def within_carry(offer: StockLength, workshop: Workshop) -> bool:
    """Can this stock length be brought home whole: short enough, or delivered?"""
    carry, terms = workshop.carry, workshop.terms(offer.merchant)
    if terms.may_be_delivered and (not terms.longest_delivered or offer.length <= terms.longest_delivered):
        return True
    return terms.may_be_fetched and (not carry or offer.length <= carry)
