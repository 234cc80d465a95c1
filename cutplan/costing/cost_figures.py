"""A workshop's own figures for what a job costs, which no plan needs to know: minutes, rates, percentages, coats.

Minutes are whole thousandths of a minute, money millionths of the currency, percentages millionths.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from cutplan.units import Money

Minutes: TypeAlias = int
"""Whole thousandths of a minute."""

MINUTE: Minutes = 1000
HOUR: Minutes = 60 * MINUTE

BARE = "black"
"""The finish that a coat is put on where its block names none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourFigures:
    """What work takes, each figure a guess until the workshop has measured its own. [thousandths of a minute]

    Parameters
    ----------
    per_bar
        Fetching one bar, marking it out and putting away what is left.
    per_stop
        Setting the stop to another length.
    per_cut, per_cut_1000_mm2
        One stroke of the saw, and on top of that for every 1000 mm2 of the section it goes through.
    per_hole, per_hole_10_mm
        One wall drilled through, and on top of that for every 10 mm of its diameter.
    per_weld_end, per_weld_100_mm
        One end of a part fitted, tacked and welded on, and on top of that for every 100 mm of its section's outline.
    """

    per_bar: Minutes = 4 * MINUTE
    per_stop: Minutes = 2 * MINUTE
    per_cut: Minutes = 1 * MINUTE
    per_cut_1000_mm2: Minutes = 1 * MINUTE
    per_hole: Minutes = 1 * MINUTE
    per_hole_10_mm: Minutes = 1 * MINUTE
    per_weld_end: Minutes = 3 * MINUTE
    per_weld_100_mm: Minutes = 2 * MINUTE


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """Something put on the parts of one finish after they are made, and how it is charged.

    Parameters
    ----------
    name
        What it is: "green paint", "hot-dip galvanising".
    on
        The finish, as the parts list has it, of the parts that get it.
    per_m2, per_kg
        What an area of outside surface or a mass of parts costs.
    litre, litre_covers
        What a litre costs, and what it covers once. [square millimetres]
    times
        How often it is put on.
    minutes_per_m2
        The workshop's own time for putting it on once.
    least
        What is charged at least for all of it.
    """

    name: str
    on: str = BARE
    per_m2: Money = 0
    per_kg: Money = 0
    litre: Money = 0
    litre_covers: int = 0
    times: int = 1
    minutes_per_m2: Minutes = 0
    least: Money = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CostFigures:
    """All of a workshop's figures for costs and quotes.

    Parameters
    ----------
    hours
        What work takes.
    hour_rate
        What an hour of the workshop costs.
    consumables
        Of the steel: wire, gas, discs, blades. [millionths]
    transport
        An amount for every job.
    overhead
        Of everything above it. [millionths]
    margin
        Of the price before tax, so that a margin of 20 % on a cost of 400 makes a price of 500. [millionths]
    included
        What a quote says is included; sentences with semicolons between.
    measured
        Whether any figure of hours is the workshop's own.
    """

    hours: HourFigures = HourFigures()
    hour_rate: Money = 0
    consumables: int = 0
    transport: Money = 0
    overhead: int = 0
    margin: int = 0
    included: str = ""
    coats: tuple[Coat, ...] = ()
    measured: frozenset[str] = frozenset()


def minutes_by_size(base: Minutes, per_step: Minutes, size: int, step: int) -> Minutes:
    """A time that grows with a size: its base, and so much for every step of it, rounded half up once."""
    grown = Fraction(per_step * size, step)
    return base + (2 * grown.numerator + grown.denominator) // (2 * grown.denominator)
