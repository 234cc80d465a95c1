"""Every kind of page of the samples as its reader sees it: nothing off the paper, and no text on another.

What a page says is held to plan.json elsewhere; here it is where its words stand.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache
from itertools import combinations, product
from pathlib import Path

import pypdfium2
import pytest
from pypdfium2 import raw

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.reports.paper.plan_pdf import plan_data, plan_pdf
from cutplan.reports.rows import rows_of
from tests.effort import some_rows
from tests.samples.planned import INPUTS, planned

SAMPLES = ("garden-trailer.csv", "potting-benches.xlsx", "tool-stand.csv", "market-stand/market-stand.csv")
PAPERS = {"A4": (595, 842), "Letter": (612, 792)}
ON_PAPER = pytest.mark.parametrize(
    ("sample", "paper"),
    some_rows(
        product(SAMPLES, PAPERS),
        ("garden-trailer.csv", "A4"),
        ("market-stand/market-stand.csv", "Letter"),
        ("tool-stand.csv", "Letter"),
    ),
)
EDGE = 14.2
"""5 mm, which every printer of sheets reaches. [pt]"""
KINDS = {
    *("Buy", "Fetch from the rack", "Cut", "Drill", "Parts by assembly", "Put away", "Mass and cost", "Assumed"),
}

Box = tuple[float, float, float, float]


@cache
def document(sample: str, paper: str) -> bytes:
    return printed(*planned(sample), paper)


def printed(job: Job, plan: Plan, paper: str) -> bytes:
    return plan_pdf(replace(job, workshop=replace(job.workshop, paper=paper)), plan, "0a1b2c3d")


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


@ON_PAPER
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


def sizes(page: pypdfium2.PdfPage) -> dict[float, str]:
    """Letters by their size on paper. [pt]"""
    text = page.get_textpage()
    found: dict[float, str] = {}
    for number in range(text.count_chars()):
        letter = chr(raw.FPDFText_GetUnicode(text.raw, number))
        if letter.isprintable() and not letter.isspace():
            matrix = raw.FS_MATRIX()
            raw.FPDFText_GetMatrix(text.raw, number, matrix)
            size = raw.FPDFText_GetFontSize(text.raw, number) * math.hypot(matrix.c, matrix.d)
            found[round(size, 1)] = found.get(round(size, 1), "") + letter
    return found


@ON_PAPER
def test_no_letter_is_smaller_than_8_points(sample: str, paper: str) -> None:
    # Common practice for what is read in a workshop, no source.
    for number, page in enumerate(pypdfium2.PdfDocument(document(sample, paper)), 1):
        found = sizes(page)
        assert min(found) >= 8, (number, found[min(found)])


# What a day at the saw may take of paper: our own limits.
MOST_PAGES = {
    "garden-trailer.csv": {"A4": 7, "Letter": 7},
    "potting-benches.xlsx": {"A4": 6, "Letter": 6},
    "tool-stand.csv": {"A4": 4, "Letter": 4},
    "market-stand/market-stand.csv": {"A4": 7, "Letter": 8},
}
LEAST_FULL = 2 / 3
TOP, BOTTOM = 17 * 72 / 25.4, 7.5 * 72 / 25.4
"""Margins of a page. [pt]"""


@ON_PAPER
def test_pages_are_few_and_full(sample: str, paper: str) -> None:
    pages = list(pypdfium2.PdfDocument(document(sample, paper)))
    assert len(pages) <= MOST_PAGES[sample][paper]
    for number, page in enumerate(pages[:-1], 1):
        height = page.get_height() - TOP - BOTTOM
        lowest = min(lower for _, (_, lower, _, _) in boxes(page))
        assert (page.get_height() - TOP - lowest) / height >= LEAST_FULL, number


HEADS_BEGIN, HEADS_END = 11.5 * 72 / 25.4, 16 * 72 / 25.4
"""Where the heads of a table that goes on stand, from the top of a page. [pt]"""


@ON_PAPER
def test_heads_of_a_table_stand_above_no_page_that_begins_with_another_sheet(sample: str, paper: str) -> None:
    for number, page in enumerate(pypdfium2.PdfDocument(document(sample, paper)), 1):
        height = page.get_height()
        texts = sorted((height - upper, words) for words, (_, _, _, upper) in boxes(page))
        heads = [words for top, words in texts if HEADS_BEGIN <= top < HEADS_END]
        below = [words for top, words in texts if HEADS_END <= top < HEADS_END + 18]
        assert not heads or not KINDS & set(below), (number, heads, below)


@pytest.mark.parametrize("paper", PAPERS)
def test_one_part_takes_two_pages(paper: str, tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text("Mark,Quantity,Section,Length\nP1,1,SHS 40x40x3,1200\n", encoding="utf-8")
    job = actions.read_job(tmp_path / "one.csv", workshop=INPUTS / "workshop.toml")
    assert len(pypdfium2.PdfDocument(printed(job, actions.plan(job), paper))) <= 2


@pytest.mark.thorough
@pytest.mark.parametrize("paper", PAPERS)
def test_three_hundred_parts_take_twenty_pages(paper: str, tmp_path: Path) -> None:
    job = three_hundred(tmp_path)
    assert sum(part.quantity for part in job.parts) >= 300
    assert len(pypdfium2.PdfDocument(printed(job, actions.plan(job), paper))) <= 20


def three_hundred(folder: Path) -> Job:
    """A made-up job of sixty lines in six sections, some of them mitred."""
    draw = random.Random(3)
    sections = ("SHS 40x40x3", "SHS 30x30x2", "RHS 60x40x3", "EA 30x30x3", "FL 50x6", "RD 12")
    lines = ["Mark,Quantity,Section,Length,Cut A,Cut B,Assembly"]
    for number in range(60):
        section = sections[number % 6]
        quantity, length = draw.choice((1, 2, 4, 4, 6, 8, 10, 5)), draw.randrange(150, 2400, 5)
        mitre = "45,45" if section.startswith("SHS") and draw.random() < 0.35 else ","
        lines.append(f"P{number},{quantity},{section},{length},{mitre},{('frame', 'roof', 'door')[number % 3]}")
    (folder / "many.csv").write_text("\n".join(lines), encoding="utf-8")
    return actions.read_job(folder / "many.csv", workshop=INPUTS / "workshop.toml")


def test_the_samples_have_every_kind_of_sheet() -> None:
    titles = {
        sheet["title"]
        for sample in SAMPLES
        for sheet in plan_data(rows_of(*planned(sample)), "0a1b2c3d")["sheets"]
        if sheet["step"]
    }
    assert titles == KINDS
