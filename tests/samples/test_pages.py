"""Every kind of page of the samples as its reader sees it: nothing off the paper, and no text on another.

What a page says is held to plan.json elsewhere; here it is where its words stand.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import pypdfium2
import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.reports.paper.plan_pdf import plan_data, plan_pdf
from cutplan.reports.rows import rows_of

INPUTS = Path(__file__).parents[2] / "inputs"
SAMPLES = ("garden-trailer.csv", "potting-benches.xlsx", "tool-stand.csv", "market-stand/market-stand.csv")
PAPERS = {"A4": (595, 842), "Letter": (612, 792)}
EDGE = 14.2
"""5 mm, which every printer of sheets reaches. [pt]"""
KINDS = {
    *("Buy", "Fetch from the rack", "Cut", "Drill", "Parts by assembly", "Put away", "Mass and cost", "Assumed"),
}

Box = tuple[float, float, float, float]


@cache
def planned(sample: str) -> tuple[Job, Plan]:
    job = actions.read_job(INPUTS / sample)
    return job, actions.plan(job)


@cache
def document(sample: str, paper: str) -> bytes:
    job, plan = planned(sample)
    job = replace(job, workshop=replace(job.workshop, paper=paper))
    return plan_pdf(job, plan, "0a1b2c3d")


def boxes(page: pypdfium2.PdfPage) -> list[tuple[str, Box]]:
    """Texts that stand in a row, with the box their ink fills: left, lower, right and upper edge. [pt]"""
    text = page.get_textpage()
    found = []
    for number in range(text.count_rects()):
        left, lower, right, upper = text.get_rect(number)
        words = text.get_text_bounded(left, lower, right, upper).strip()
        if words:
            found.append((words, (left, lower, right, upper)))
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sample", SAMPLES)
def test_every_text_is_on_the_paper_and_on_no_other(sample: str, paper: str) -> None:
    pdf = pypdfium2.PdfDocument(document(sample, paper))
    for number, page in enumerate(pdf, 1):
        width, height = page.get_size()
        assert (round(width), round(height)) == PAPERS[paper]
        texts = boxes(page)
        assert texts, f"page {number} is empty"
        for words, (left, lower, right, upper) in texts:
            assert min(left, lower, width - right, height - upper) >= EDGE, (number, words)
        for (one, a), (other, b) in combinations(texts, 2):
            across = min(a[2], b[2]) - max(a[0], b[0])
            along = min(a[3], b[3]) - max(a[1], b[1])
            # Boxes of neighbouring lines may touch where letters reach below the line; ink on ink is more than that.
            assert across <= 0.5 or along <= 1.5, (number, one, other)


def test_the_samples_have_every_kind_of_sheet() -> None:
    titles = {
        sheet["title"]
        for sample in SAMPLES
        for sheet in plan_data(rows_of(*planned(sample)), "0a1b2c3d")["sheets"]
        if sheet["step"]
    }
    assert titles == KINDS
