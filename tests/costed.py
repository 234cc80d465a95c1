"""A job small enough to be costed by hand: three pieces of the stand-in tube from one length, in two assemblies.

The tube has 400 mm2, 0.150 m2 and 3 kg a metre, and nothing is lost to trim or kerf. The length of 6 m costs 60.00,
2.5 m of it are cut up.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from cutplan import actions
from cutplan.costing.cost_figures import Coat, CostFigures
from cutplan.model import Hole, Job, OtherLine, Plan, joined
from cutplan.units import CURRENCY
from tests.builders import job, mm, offer, part

FIGURES = CostFigures(
    hour_rate=60 * CURRENCY,
    consumables=100_000,
    transport=20 * CURRENCY,
    overhead=100_000,
    margin=200_000,
)
PAINT = Coat(name="paint", litre=18 * CURRENCY, litre_covers=9_000_000, times=2, minutes_per_m2=10_000)
ZINC = Coat(name="zinc", per_kg=1_200_000, least=40 * CURRENCY)


def bench() -> Job:
    """The job."""
    hole = Hole(position=mm(250), face=1, across=mm(20), diameter=mm(10))
    made = job(
        [part("A", 2, 1000, assembly="frame"), part("B", 1, 500, assembly="shelf", holes=(hole,))],
        [offer("#2", 6000, 60)],
    )
    hinges = OtherLine(name="hinge", quantity=2, price_each=5 * CURRENCY, assembly="frame")
    return replace(made, others=(hinges,))


@cache
def bench_planned() -> tuple[Job, Plan]:
    """The job with its plan."""
    made = bench()
    return made, actions.plan(made)


@cache
def two_planned() -> tuple[Job, Plan]:
    """The job twice, planned together."""
    made = joined([replace(bench(), name="bench"), replace(bench(), name="shelf")])
    return made, actions.plan(made)
