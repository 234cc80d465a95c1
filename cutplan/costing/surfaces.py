"""Outside surface and mass of the finished parts by finish and assembly, and what coats on them take.

A part's area is the outline of its section over its length midway between the sides, as finished, and the metal of
both ends; what a joint later covers is not taken off, nor the inside of a tube put on. [square millimetres]
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from cutplan.costing.cost_figures import Coat, Minutes
from cutplan.model import Job, Part, Plan
from cutplan.model.section_totals import finished_mass, made_of
from cutplan.sections.section import Family
from cutplan.units import KG, METRE, Mass, ceil_div, round_half_up

Area: TypeAlias = int
"""Whole square millimetres."""

SQUARE_METRE: Area = 1_000_000

HOLLOW = (Family.SHS, Family.RHS, Family.CHS, Family.PIPE)
"""Families that hold air once their ends are welded shut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coated:
    """Parts of one finish in one assembly."""

    finish: str
    assembly: str
    pieces: int
    area: Area
    mass: Mass
    hollow: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatTaken:
    """What one coat takes: the surface and mass under it, the paint, the time and the exact amount.

    ``millilitres`` are rounded up once; ``amount`` is no less than what the coat is charged at least, for which
    ``least_counts`` then stands. ``by_assembly`` are the areas.
    """

    coat: Coat
    area: Area
    mass: Mass
    hollow: bool
    millilitres: int
    minutes: Minutes
    amount: Fraction
    least_counts: bool
    by_assembly: tuple[tuple[str, Area], ...]


def area_of(part: Part) -> Area:
    """Outside surface of one finished piece, rounded half up once."""
    sides = Fraction(part.section.surface_mm2_per_metre * part.finished_centre_line, METRE)
    return round_half_up(sides + Fraction(2 * part.section.area_um2, 1_000_000))


def surfaces_of(job: Job, plan: Plan) -> tuple[Coated, ...]:
    """Areas and masses by finish and assembly, in the order of the parts list."""
    made = made_of(plan.bars)
    parts: dict[tuple[str, str], list[Part]] = {}
    for part in job.parts:
        parts.setdefault((part.finish, part.assembly), []).append(part)
    return tuple(_coated(finish, assembly, own, made) for (finish, assembly), own in parts.items())


def _coated(finish: str, assembly: str, own: Iterable[Part], made: Mapping[str, int]) -> Coated:
    own = tuple(own)
    return Coated(
        finish=finish,
        assembly=assembly,
        pieces=sum(made[part.mark] for part in own),
        area=sum(area_of(part) * made[part.mark] for part in own),
        mass=sum(finished_mass(part) * made[part.mark] for part in own),
        hollow=any(part.section.family in HOLLOW for part in own),
    )


def coats_taken(surfaces: Iterable[Coated], coats: Iterable[Coat]) -> tuple[CoatTaken, ...]:
    """What each coat takes that any part gets, in the order of the coats."""
    under = tuple(surfaces)
    taken = (_taken(coat, [each for each in under if each.finish == coat.on]) for coat in coats)
    return tuple(each for each in taken if each.area)


def _taken(coat: Coat, under: list[Coated]) -> CoatTaken:
    area, mass = sum(each.area for each in under), sum(each.mass for each in under)
    painted = area * coat.times
    millilitres = ceil_div(painted * 1000, coat.litre_covers) if coat.litre_covers else 0
    amount = Fraction(coat.per_m2 * painted, SQUARE_METRE)
    amount += Fraction(coat.per_kg * mass, KG)
    amount += Fraction(coat.litre * millilitres, 1000)
    return CoatTaken(
        coat=coat,
        area=area,
        mass=mass,
        hollow=any(each.hollow for each in under),
        millilitres=millilitres,
        minutes=round_half_up(Fraction(coat.minutes_per_m2 * painted, SQUARE_METRE)),
        amount=max(amount, Fraction(coat.least)),
        least_counts=amount < coat.least,
        by_assembly=tuple((each.assembly, each.area) for each in under),
    )
