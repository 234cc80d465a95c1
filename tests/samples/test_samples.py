"""Every project in inputs/ is read without a question, planned, checked, written and read back."""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from html import unescape
from itertools import groupby
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from cutplan import actions
from cutplan.drilling.marking import jigs_of
from cutplan.model import Job, Plan, groups_of
from cutplan.reports.paper.cut_sheets import bars_text
from cutplan.reports.paper.plan_pdf import plan_pdf
from cutplan.reports.rows import rows_of
from cutplan.reports.saw_steps import Change, steps_of
from cutplan.units import INCH, METRE, MM, Printing, length_text, money_text
from tests.effort import some
from tests.samples.planned import INPUTS, planned

PIECES = {
    "garden-trailer.csv": 35,
    "potting-benches.xlsx": 81,
    "market-stand/market-stand.csv": 198,
    "tool-stand.csv": 21,
    "market-stand/bench-run.xlsx": 180,
}
SLOWLY = PIECES.keys() - {"tool-stand.csv"}
"""Like others in what it goes through: tried among the thorough tests."""


PAGES = {
    "garden-trailer.csv": 7,
    "potting-benches.xlsx": 7,
    "market-stand/market-stand.csv": 8,
    "tool-stand.csv": 4,
    "market-stand/bench-run.xlsx": 7,
}
"""Pages of the printed plan on the paper of the sample, at most."""
TOP, BOTTOM = 17 / 25.4 * 72, 7.5 / 25.4 * 72
"""Margins of a page. [pt]"""


@pytest.fixture(
    scope="module",
    params=[pytest.param(name, marks=pytest.mark.thorough if name in SLOWLY else ()) for name in PIECES],
)
def sample(request: pytest.FixtureRequest) -> tuple[str, Job, Plan]:
    name = str(request.param)
    return name, *planned(name)


@pytest.fixture(scope="module")
def written(sample: tuple[str, Job, Plan], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with all outputs of the sample."""
    _, job, plan = sample
    folder = tmp_path_factory.mktemp("written")
    actions.write_plan(job, plan, folder)
    return folder


def test_every_project_is_tried() -> None:
    not_projects = {
        "README.md",
        "workshop.toml",
        "workshop-inch.toml",
        "prices.csv",
        "rack.csv",
        "garden-trailer-holes.csv",
        "market-stand-holes.csv",
    }
    files = {str(path.relative_to(INPUTS)) for path in INPUTS.rglob("*") if path.is_file()}
    assert {file for file in files if Path(file).name not in not_projects and not file.endswith("-holes.csv")} == set(
        PIECES
    )


def test_sample_is_planned_written_and_read_back(sample: tuple[str, Job, Plan], written: Path) -> None:
    name, job, plan = sample
    pieces = Counter(cut.mark for bar in plan.bars for cut in bar.cuts)
    assert pieces == {part.mark: part.quantity for part in job.parts}
    assert pieces.total() == PIECES[name]
    assert plan.stopped_by == ""
    assert actions.verify(written / actions.PLAN_FILE) == ()
    assert (written / actions.WORKBOOK).stat().st_size > 5000
    assert (written / actions.PRINTED).stat().st_size > 20000


def test_sample_raises_no_question(sample: tuple[str, Job, Plan]) -> None:
    name, job, _ = sample
    of_layout = {"sheet.together", "cell.merged_down"} if name.endswith("bench-run.xlsx") else set()
    assert [str(problem) for problem in job.warnings if problem.code not in of_layout] == []
    assert all(group.priced for group in groups_of(job)), f"{name}: a group has no price"


def test_sample_summary_fits_the_terminal(sample: tuple[str, Job, Plan]) -> None:
    _, job, plan = sample
    lines = actions.summary(job, plan, width=80).splitlines()
    assert lines
    assert max(map(len, lines)) <= 80


def test_an_inch_shop_sees_no_kilograms(sample: tuple[str, Job, Plan], written: Path) -> None:
    """Its masses are in pounds on every sheet; the filters of the caution stand as their source gives them."""
    name, job, plan = sample
    if job.workshop.printing.mass_unit != "lb":
        pytest.skip(f"{name} is weighed in kg")
    book = load_workbook(written / actions.WORKBOOK)
    texts = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    texts += actions.summary(job, plan).splitlines()
    assert any(re.search(r"\blb\b", text) for text in texts)
    assert [text for text in texts if re.search(r"\bkg\b", text) and "risk filters" not in text] == []


def test_something_is_too_long_to_carry(sample: tuple[str, Job, Plan]) -> None:
    """7.5 m and longer bars of the merchant who does not deliver stay out of every plan."""
    _, job, plan = sample
    too_long = {
        offer.id
        for offer in job.offers
        if offer.length > job.workshop.longest_carry and not job.workshop.merchant(offer.merchant).delivers
    }
    assert too_long
    assert not too_long & {bar.source for bar in plan.bars}


def test_trailer_is_read_as_drawn() -> None:
    job = actions.read_job(INPUTS / "garden-trailer.csv")
    by_mark = {part.mark: part for part in job.parts}
    assert by_mark["T1"].short_point == 1420 * MM, "1500 long point less 40 at each end"
    assert by_mark["T3"].length == (900 - 2 * 40) * MM, "cross members fit between the side rails"
    assert by_mark["T11"].length == by_mark["T1"].short_point
    assert by_mark["T12"].length == (820 - 2 * 30) * MM
    assert by_mark["T9"].length == (900 - 2 * 30 - 6) * MM
    assert job.workshop.longest_carry == 6500 * MM
    assert (len(job.offcuts), job.workshop.tax_millionths) == (12, 210_000)


def test_trailer_is_drilled_as_drawn() -> None:
    job = actions.read_job(INPUTS / "garden-trailer.csv")
    holes = {part.mark: part.holes for part in job.parts if part.holes}
    assert [hole.position // MM for hole in holes["T11"]] == [70, 390, 710, 1030, 1350]
    assert [hole.position // MM for hole in holes["T12"]] == [60, 380, 700]
    assert {hole.across for mark in ("T11", "T12") for hole in holes[mark]} == {18 * MM}
    assert [hole.position // MM for hole in holes["T1"] if hole.landing] == [500, 1000]
    assert {hole.name for hole in holes["T4"]} == {"M12 clear", "M8x1.25 tapped"}


def test_stand_shares_a_jig() -> None:
    job = actions.read_job(INPUTS / "market-stand/market-stand.csv")
    post = next(part for part in job.parts if part.mark == "M1")
    assert len(post.holes) == 12
    assert [post.holes[i].position for i in (0, 11)] == [2 * INCH, 137 * INCH // 2]
    assert [(jig.marks, jig.stop) for jig in jigs_of(job.parts)] == [(("M1", "M2"), "A")]


def test_benches_are_read_as_drawn() -> None:
    job = actions.read_job(INPUTS / "potting-benches.xlsx")
    by_mark = {part.mark: part for part in job.parts}
    assert by_mark["L1"].length == (900 - 6) * MM, "a leg stands on its foot plate"
    assert by_mark["L2"].length == (1800 - 2 * 40) * MM
    assert by_mark["L3"].length == (700 - 2 * 40) * MM
    assert {part.finish for part in job.parts} == {"black", "galvanised"}
    assert all(part.quantity % 3 == 0 for part in job.parts), "three benches alike"


def test_stand_is_read_in_inches() -> None:
    job = actions.read_job(INPUTS / "market-stand/market-stand.csv")
    by_mark = {part.mark: part for part in job.parts}
    assert job.workshop.unit == "in"
    assert job.workshop.currency == "USD"
    assert by_mark["M1"].length == 78 * INCH - INCH // 4, "a post stands on its foot plate"
    assert by_mark["M3"].length == (96 - 4) * INCH
    assert by_mark["M5"].length == 53 * INCH + 3 * INCH // 8
    assert all(part.quantity % 6 == 0 for part in job.parts), "six stands alike"
    (tube,) = {offer.length - offer.counted for offer in job.offers if offer.section.designation.startswith("SHS")}
    assert tube == INCH // 4, "tube may come short by this much"
    assert max(offer.length for offer in job.offers) < 12.2 * METRE


def test_paper_page_workbook_and_terminal_say_what_the_plan_file_says(
    sample: tuple[str, Job, Plan], written: Path
) -> None:
    """Every mark, piece length and running dimension, bar by bar, and what is to be paid, in every output."""
    _, job, plan = sample
    document = json.loads((written / actions.PLAN_FILE).read_text(encoding="utf-8"))
    how = job.workshop.printing
    pages = [page.extract_text() for page in PdfReader(written / actions.PRINTED).pages]
    printed = " ".join(" ".join(pages).split())
    shown = " ".join(re.sub(r"<[^>]*>", " ", (written / actions.PAGE).read_text(encoding="utf-8")).split())
    cells = load_workbook(written / actions.WORKBOOK, data_only=True)["Cut"]
    rows = [[cell.value for cell in row if cell.value is not None] for row in cells.iter_rows()]
    bars = {
        bar["number"] + place: bar
        for group in document["groups"]
        for bar in group["bars"]
        for place in range(bar["count"])
    }
    blocks = rows_of(job, plan).blocks
    assert sorted(number for block in blocks for number in block.bars) == sorted(bars)
    for block in blocks:
        cuts = bars[block.bars[0]]["cuts"]
        assert [cut["mark"] for cut in cuts] == [cut.mark for cut in block.cuts]
        table = next(place for place, row in enumerate(rows) if row and str(row[0]).startswith(f"{block.title}: "))
        head = next(place for place in range(table, len(rows)) if rows[place] and rows[place][0] == "No.")
        listed = [row for row in rows[head:] if len(row) > 4 and str(row[0]).isdigit()][: len(cuts)]
        for cut, row in zip(cuts, listed, strict=True):
            figures = [length_text(round(v * MM), how, with_unit=False) if not isinstance(v, str) else v for v in row]
            assert cut["mark"] in row
            assert {_length(cut, how), _running(cut, how)} <= set(figures[1:]), (block.title, cut, row)
        for text in (printed, shown):
            of_bar = text[text.index(f"{bars_text(block)} ") :]
            for line in _lines(cuts, how):
                found = re.search(line, of_bar)
                assert found, (block.title, line)
                of_bar = of_bar[found.end() :]
    below = " ".join(str(cell) for row in rows for cell in row if isinstance(cell, str))
    for block in blocks:
        for step in steps_of(block.cuts, how, job.workshop.saw.swings):
            if isinstance(step, Change):
                for text in (printed, unescape(shown), below):
                    assert step.what in text
                    assert step.how in text
    terminal = " ".join(actions.summary(job, plan, width=400).split())
    to_pay = money_text(rows_of(job, plan).totals.money.to_pay)
    for words in (printed, shown, terminal):
        assert to_pay in words
    for block in blocks:
        for dimension in block.drawing.dimensions:
            assert dimension.text in terminal


def _points(char: Mapping[str, Any]) -> float:
    """The size of a letter, of one that reads upwards too."""
    turned = abs(char["matrix"][0]) < abs(char["matrix"][1])
    return float(char["width" if turned else "size"])


def _length(cut: Mapping[str, str], how: Printing) -> str:
    return length_text(int((Fraction(cut["end"]) - Fraction(cut["start"])) * MM), how, with_unit=False)


def _running(cut: Mapping[str, str], how: Printing) -> str:
    return length_text(int(Fraction(cut["end"]) * MM), how, with_unit=False)


def _lines(cuts: Sequence[Mapping[str, str]], how: Printing) -> Iterator[str]:
    """What a line of the sheet says of equal parts that follow one another: mark, number x length, where each ends."""

    def alike(cut: Mapping[str, str]) -> object:
        return cut["mark"], cut.get("held"), cut.get("turn")

    for _, run in groupby(cuts, key=alike):
        members = list(run)
        figures = " .{0,60}?".join(rf"\b{re.escape(_running(cut, how))}(?![\d.])" for cut in members)
        mark, length = re.escape(members[0]["mark"]), re.escape(_length(members[0], how))
        yield rf"\b{mark} .{{0,140}}?\b{len(members)} x {length} .{{0,120}}?{figures}"


def test_pages_are_few_full_and_large_enough_to_read(sample: tuple[str, Job, Plan], written: Path) -> None:
    name, job, plan = sample
    held_to_be_read(job, plan, (written / actions.PRINTED).read_bytes(), PAGES[name])


@pytest.mark.thorough
@pytest.mark.parametrize("sample", some(PIECES, "tool-stand.csv"), indirect=True)
def test_so_are_those_on_other_paper(sample: tuple[str, Job, Plan]) -> None:
    name, job, plan = sample
    paper = {"A4": "Letter", "Letter": "A4"}[job.workshop.paper]
    job = replace(job, workshop=replace(job.workshop, paper=paper))
    held_to_be_read(job, plan, plan_pdf(job, plan, "0a1b2c3d"), PAGES[name] + 1)


def held_to_be_read(job: Job, plan: Plan, printed: bytes, most: int) -> None:
    """From the PDF itself: how many pages, how far each is filled, the smallest letters, those to read at the saw."""
    wanted = {length_text(cut.end, job.workshop.printing, with_unit=False) for bar in plan.bars for cut in bar.cuts}
    seen: set[str] = set()
    with pdfplumber.open(io.BytesIO(printed)) as book:
        assert len(book.pages) <= most
        for page in book.pages:
            assert min(_points(char) for char in page.chars) > 7.99
            low = max(each["bottom"] for each in (*page.chars, *page.rects, *page.curves, *page.lines))
            if page is not book.pages[-1]:
                assert (low - TOP) / (float(page.height) - TOP - BOTTOM) > 2 / 3, page.page_number
            words = page.extract_words(extra_attrs=["size"], keep_blank_chars=True, use_text_flow=True, x_tolerance=1.5)
            assert all(word["x0"] >= 0 and word["x1"] <= page.width for word in words)
            seen |= {word["text"].strip() for word in words if 10.9 < word["size"] < 11.1}
    assert wanted <= seen, "every running dimension, in 11 points"
