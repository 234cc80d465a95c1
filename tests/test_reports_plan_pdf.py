"""plan.pdf: job, plan and page on every page, tagged, the fonts within, the same bytes each time."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PageObject, PdfReader

from cutplan.model import Job, Plan
from cutplan.reports.paper.plan_pdf import plan_data, plan_pdf, write_plan_pdf
from cutplan.reports.rows import rows_of
from tests import builders
from tests.effort import some_rows
from tests.hand_plans import hand_plan
from tests.workbooks import LONG, trailer


def read(job: Job, plan: Plan) -> PdfReader:
    return PdfReader(io.BytesIO(plan_pdf(job, plan, "0a1b2c3d")))


def many() -> tuple[Job, Plan]:
    """Bars enough for several pages, one of them with more cuts than a page holds."""
    parts = [builders.part(f"P{i}", 1, 2000 + i) for i in range(12)] + [builders.part("T", 90, 30)]
    job = builders.job(parts, [builders.offer("O", 4000, 9)], kerf="2.5", end_trim=10, keep=300)
    plan = hand_plan(job, *(("O", [part.mark]) for part in parts[:-1]), ("O", ["T"] * 90))
    return job, plan


@pytest.mark.parametrize(("paper", "size"), some_rows([("A4", (595, 842)), ("Letter", (612, 792))], ("A4", (595, 842))))
def test_every_page_names_job_plan_and_page(paper: str, size: tuple[int, int]) -> None:
    job, plan = many()
    pages = read(replace(job, workshop=replace(job.workshop, paper=paper)), plan).pages
    assert len(pages) >= 4
    for number, page in enumerate(pages, 1):
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size
        head = page.extract_text().splitlines()[:3]
        assert " ".join(head).startswith("tiny"), head
        assert f"page {number} of {len(pages)}" in " ".join(head)
        assert "plan 0a1b2c3d" in " ".join(head)


@pytest.mark.thorough
def test_no_bar_is_divided_by_a_page_unless_it_has_many_lines() -> None:
    job, plan = many()
    for page in read(job, plan).pages:
        text = page.extract_text()
        for number in (number for number in re.findall(r"^Bar (\d+)", text, re.MULTILINE) if number != "13"):
            assert f"P{int(number) - 1}" in text
            assert re.search(rf"\b{1999 + int(number)}\b", text), "its length stands on the same page"


@pytest.mark.thorough
def test_figures_are_large_enough_to_read_at_the_saw() -> None:
    """Lengths 17 points, running dimensions 11."""
    job = builders.job([builders.part("T", 24, 41)], [builders.offer("O", 4000, 9)], kerf="2.5")
    sizes: dict[str, set[int]] = {}

    def note(text: str, _matrix: object, matrix: list[float], _font: object, size: float) -> None:
        sizes.setdefault(text.strip(), set()).add(round(size * abs(matrix[3])))

    for page in read(job, hand_plan(job, ("O", ["T"] * 24))).pages:
        page.extract_text(visitor_text=note)
    assert max(sizes["41"]) == 17
    assert sizes["84.5"] == {11}


def resources(page: PageObject) -> Any:
    return page["/Resources"]


def test_the_file_is_tagged_titled_and_self_contained() -> None:
    reader = read(*trailer())
    catalogue: Any = reader.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"] == "en"
    assert "/StructTreeRoot" in catalogue
    assert reader.metadata is not None
    assert reader.metadata.title == "Cut plan: tiny"


def test_the_shipped_fonts_are_all_that_is_needed() -> None:
    """Letters of other scripts apart, which are set in a font of the system."""
    job = builders.job([builders.part("A", 2, 700)], [builders.offer("P1", 2000, 9)])
    reader = read(job, hand_plan(job, ("P1", ["A", "A"])))
    fonts = {
        str(font.get_object()["/BaseFont"])
        for page in reader.pages
        for font in resources(page).get("/Font", {}).values()
    }
    assert {font.split("+")[1] for font in fonts} == {"DejaVuSansCondensed", "DejaVuSansCondensed-Bold"}


def test_the_same_bytes_twice(tmp_path: Path) -> None:
    job, plan = trailer()
    write_plan_pdf(job, plan, tmp_path / "plan.pdf", "0a1b2c3d")
    assert (tmp_path / "plan.pdf").read_bytes() == plan_pdf(job, plan, "0a1b2c3d")


def test_no_day_is_in_the_file() -> None:
    data = plan_pdf(*trailer(), "0a1b2c3d")
    assert not re.search(rb"/(CreationDate|ModDate) ?\(D:20(?!00)", data)


def test_hard_marks_are_text_on_the_page() -> None:
    text = "\n".join(page.extract_text() for page in read(*trailer()).pages)
    assert LONG in text
    assert "#" not in text


def test_the_sheets_are_in_the_order_of_the_day() -> None:
    job, plan = trailer()
    data = plan_data(rows_of(job, plan), "0a1b2c3d")
    assert [sheet["title"] for sheet in data["sheets"]] == [
        *("tiny", "Buy", "Fetch from the rack", "Cut", "Parts by assembly", "Put away", "Mass and cost"),
    ]
    assert [sheet["step"] for sheet in data["sheets"]] == ["", *"123456"]
    assert [(entry["step"], entry["title"]) for entry in data["sheets"][0]["index"]] == [
        (sheet["step"], sheet["title"]) for sheet in data["sheets"][1:]
    ]


def test_the_index_names_the_page_of_each_sheet() -> None:
    job, plan = many()
    pages = [" ".join(page.extract_text().split()) for page in read(job, plan).pages]
    index = re.findall(r"(\d) (Buy|Cut|Parts by assembly|Mass and cost) (\d+)", pages[0])
    assert [title for _, title, _ in index] == ["Buy", "Cut", "Parts by assembly", "Mass and cost"]
    for step, title, page in index:
        assert re.search(rf"\b{step} {title}\b(?! \d)", pages[int(page) - 1]), (step, title, page)


def test_a_sheet_with_nothing_to_say_is_left_out() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [], [builders.offcut("R1", 1000)])
    titles = [sheet["title"] for sheet in plan_data(rows_of(job, hand_plan(job, ("R1", ["A"]))), "0a1b2c3d")["sheets"]]
    assert titles == ["tiny", "Fetch from the rack", "Cut", "Parts by assembly", "Mass and cost"]
