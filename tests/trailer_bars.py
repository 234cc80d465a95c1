"""A small trailer whose bars are laid by hand, and how bars laid by hand are shown."""

from __future__ import annotations

from cutplan.model import Job
from cutplan.reports.cut_blocks import Block
from cutplan.reports.rows import rows_of
from tests import builders
from tests.hand_plans import hand_plan


def trailer() -> Job:
    parts = [
        builders.part("A", 4, 2500, assembly="bed", grade="S235", typed_section="box 40x3", typed_length="2500"),
        builders.part("B", 2, 700, assembly="side", grade="S235", mitres=(45, 0), note="mind the seam"),
    ]
    offers = [builders.offer("P1", 6500, 30, grade="S235"), builders.offer("P2", 6000, "27.5", grade="S235")]
    rack = [builders.offcut("R1", 800, "1.5", grade="S235", place="top arm", heat_number="H77")]
    return builders.job(parts, offers, rack, kerf="2.5", end_trim=10, keep=250)


BARS = (("P1", ["A", "A"]), ("P2", ["A", "A", "B"]), ("R1", ["B"]))


def blocks(job: Job, *bars: tuple[str, list[str]]) -> tuple[Block, ...]:
    return rows_of(job, hand_plan(job, *bars)).blocks
