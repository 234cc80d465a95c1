"""A job that a workbook finds hard, and the finished workbook read back, for the tests of the reports."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import lru_cache
from typing import Any

from openpyxl import load_workbook

from cutplan.model import Job, Merchant, Plan
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from tests import builders
from tests.hand_plans import hand_plan

FORMULA_LIKE = "=SUM(A1:A9)"
LONG = "MWMWMWMWMWMWMWMWMWMWMWMW"
UNICODE = "Ständer ж 梁柱"


def trailer(**changes: Any) -> tuple[Job, Plan]:
    """Two sections, two merchants, charges, tax, an offcut, a mitre and marks that are hard to write."""
    side = builders.square_tube(50)
    parts = [
        builders.part(FORMULA_LIKE, 4, 2500, assembly="bed & deck", note="+note", typed_section="-box"),
        builders.part(LONG, 2, 700, assembly="@side", mitres=(45, 45)),
        builders.part(UNICODE, 1, 900, section=side, assembly="bed & deck"),
    ]
    offers = [
        builders.offer("P1", 6500, "31.35"),
        builders.offer("P2", 6000, "27.5", merchant="Far"),
        builders.offer("P3", 3000, "19.99", merchant="Far", section=side),
    ]
    merchants = [Merchant(name="Far", delivers=True, delivery=20_000_000, minimum_order=60_000_000)]
    job = builders.job(
        parts, offers, [builders.offcut("R1", 800)], kerf="2.5", end_trim=10, keep=200, merchants=merchants
    )
    job = replace(job, workshop=replace(job.workshop, tax_millionths=210_000, **changes))
    bars = (
        ("P1", [FORMULA_LIKE, FORMULA_LIKE]),
        ("P2", [FORMULA_LIKE, FORMULA_LIKE, LONG]),
        ("R1", [LONG]),
        ("P3", [UNICODE]),
    )
    return job, hand_plan(job, *bars)


@lru_cache(maxsize=8)
def book(job: Job, plan: Plan, *, data_only: bool = False) -> Any:
    """The workbook, to be looked at only."""
    return load_workbook(io.BytesIO(workbook_bytes(job, plan)), data_only=data_only)


def texts(sheet: Any) -> list[str]:
    return [cell.value for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]


def row_of(sheet: Any, text: str) -> int:
    """The first row that holds a text."""
    return next(int(cell.row) for row in sheet.iter_rows() for cell in row if cell.value == text)
