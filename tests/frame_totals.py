"""A frame whose totals are added up by hand, planned by first fit."""

from __future__ import annotations

from fractions import Fraction

from cutplan.model import Job
from cutplan.model.totals import Totals, totals_of
from cutplan.units import CURRENCY
from tests.builders import job, offcut, offer, part
from tests.first_fit import first_fit_plan


def euros(value: str) -> int:
    return int(Fraction(value) * CURRENCY)


def planned(tiny: Job) -> Totals:
    return totals_of(tiny, first_fit_plan(tiny))


def frame() -> Job:
    """Offcut R1 takes one 500; each 1000 takes 500 + 2.5 + 400 + 2.5 or what is left."""
    return job(
        [part("P1", 2, 500, assembly="frame"), part("P2", 2, 400, assembly="gate"), part("P3", 1, 300)],
        [offer("A", 1000, "10.01")],
        [offcut("R1", 520, 2)],
        kerf="2.5",
        keep=150,
    )
