"""plan.pdf: the sheets of a plan in the order of the day."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cutplan.model import Job, Plan
from cutplan.reports.lettering import in_head, printable
from cutplan.reports.paper import after_saw, buying, cut_sheets, drill_sheets, front, own_sheets
from cutplan.reports.paper.dividing import divided
from cutplan.reports.paper.joined_pdf import joined
from cutplan.reports.paper.press import pdf, typeset
from cutplan.reports.rows import Rows, rows_of

TYPESET = {"A4": ("a4", 210.0), "Letter": ("us-letter", 215.9)}
"""What the typesetter calls each paper, and its width. [mm]"""
MARGIN = 12.0


def plan_pdf(job: Job, plan: Plan, fingerprint: str) -> bytes:
    """The printed plan.

    Parameters
    ----------
    fingerprint
        Shown on every page, so that sheets of two plans cannot be mixed.
    """
    return _typeset(plan_data(rows_of(job, plan), fingerprint))


def cut_pdf(rows: Rows, fingerprint: str) -> bytes:
    """The sheet to cut from alone."""
    data = plan_data(rows, fingerprint)
    return _typeset(data | {"sheets": [sheet for sheet in data["sheets"] if sheet["kind"] == "cut"]})


def _typeset(data: Mapping[str, Any]) -> bytes:
    pieces = divided(data)
    return pdf("plan", pieces[0]) if len(pieces) == 1 else joined(typeset("plan", piece) for piece in pieces)


def write_plan_pdf(job: Job, plan: Plan, path: Path, fingerprint: str) -> None:
    """Write the printed plan; raises OSError when the file cannot be written."""
    path.write_bytes(plan_pdf(job, plan, fingerprint))


def plan_data(rows: Rows, fingerprint: str, *, on_screen: bool = False) -> dict[str, Any]:
    """What the template is filled with.

    Parameters
    ----------
    on_screen
        For a reader that may lack the font of the drawings, and may be narrow: each is drawn twice.
    """
    paper, width = TYPESET[rows.workshop.paper]
    return {
        "title": f"Cut plan: {printable(rows.job_name)}",
        "job": in_head(rows.job_name),
        "paper": paper,
        "fingerprint": fingerprint,
        "piece": "",
        "sheets": _sheets(rows, fingerprint, width - 2 * MARGIN, on_screen),
    }


def _sheets(rows: Rows, fingerprint: str, width: float, on_screen: bool) -> list[dict[str, Any]]:
    """The sheets in the order of the day, each with its place in it."""
    sheets = [
        front.front_sheet(rows, fingerprint),
        *([buying.buy_sheet(rows, fingerprint)] if rows.orders or rows.others else []),
        *([buying.fetch_sheet(rows)] if rows.fetch else []),
        cut_sheets.cut_sheet(rows, width, on_screen=on_screen),
        *([own_sheets.sort_sheet(rows)] if rows.jobs else _after_the_saw(rows, width, on_screen)),
        *([after_saw.put_away_sheet(rows)] if rows.put_away else []),
        buying.cost_sheet(rows),
        *([after_saw.assumed_sheet(rows)] if rows.assumptions else []),
        *own_sheets.own_sheets(rows, width, on_screen=on_screen),
    ]
    # The sheets of one of several jobs follow its first, and go by that in the index.
    for step, sheet in enumerate(sheet for sheet in sheets if sheet.get("fresh", True)):
        sheet["step"], sheet["anchor"] = (str(step), f"sheet-{step}") if step else ("", "")
    sheets[0]["index"] = front.index_of(sheets)
    return sheets


def _after_the_saw(rows: Rows, width: float, on_screen: bool) -> list[dict[str, Any]]:
    """What is drilled and laid out, of a job that is planned alone."""
    how = rows.workshop.printing
    return [
        *([drill_sheets.marking_sheet(rows.cards, how, width, on_screen=on_screen)] if rows.cards else []),
        after_saw.parts_sheet(rows),
        *([kits] if (kits := after_saw.kits_sheet(rows.parts)) else []),
    ]
