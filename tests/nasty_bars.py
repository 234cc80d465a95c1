"""Bars that are hard to draw: many tiny parts, one long one, mitres of every kind, long and strange marks."""

from __future__ import annotations

from cutplan.model import Job, Plan
from cutplan.reports.drawing import BarDrawing, draw
from cutplan.units import MILLIMETRES, Printing
from tests import builders
from tests.hand_plans import hand_plan

WIDE_MARK = "WWWWMMMMWWWWMMMMWWWWMMMM"
UNICODE_MARK = "Ständer-Ünter 90° ж梁柱 né"


def drawings(job: Job, plan: Plan, how: Printing = MILLIMETRES) -> list[BarDrawing]:
    parts = {part.mark: part for part in job.parts}
    return [draw(bar, parts, how) for bar in plan.bars]


def one(parts: list[tuple[str, int, float]], bar: float = 6000, mitres: tuple[float, float] = (0, 0)) -> BarDrawing:
    """A bar that holds all parts in order."""
    listed = [builders.part(mark, quantity, length, mitres=mitres) for mark, quantity, length in parts]
    job = builders.job(listed, [builders.offer("P1", bar, 30)], kerf="2.5", end_trim=10)
    marks = [mark for mark, quantity, _ in parts for _ in range(quantity)]
    return drawings(job, hand_plan(job, ("P1", marks)))[0]


NASTY = {
    "60 tiny parts": one([("T", 60, 40)]),
    "60 tiny parts with long marks": one([(f"{WIDE_MARK[:20]}{i:04}", 1, 40) for i in range(60)]),
    "one 8 m part": one([("LONG", 1, 7900)], bar=8000),
    "one part, nearly nothing left": one([(WIDE_MARK, 1, 5985)]),
    "shallow mitres": one([("S", 5, 1100)], mitres=(1, 1)),
    "steep mitres": one([("S", 5, 1100)], mitres=(75, 75)),
    "steep short parts": one([("S", 15, 320)], mitres=(75, 75)),
    "marks of 24 characters": one([(WIDE_MARK, 3, 300), (UNICODE_MARK, 10, 400)]),
    "short after long": one([("A", 1, 5700), (WIDE_MARK, 4, 50)]),
    "more parts than columns": one([("T", 200, 25)]),
    "more parts than columns, all different": one([(f"T{i}", 1, 25) for i in range(200)]),
}
