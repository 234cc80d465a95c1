"""A season as a page and on paper: the same figures in both, and three pictures."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from cutplan.reports.lettering import text_mm
from cutplan.reports.season_sheets import season_html, season_pdf
from cutplan.reports.season_table import season_pictures
from tests.test_reports_season_table import SEASON

WORDS = (
    "A season of the rack", "2 jobs, 2 times drawn", "as it is", "=keep", "102.00", "85.00",
    # Of each draw one left over was used by the job after it and two never were: since a job, and none.
    "How long left overs lay", "0.5", "Which are never used", "401 mm to 402 mm", "SHS 40x40x3",
    "Pieces on the rack", "To pay so far, EUR", "Scrap so far, kg",
)  # fmt: skip


def words_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages).split())


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_a_season_is_told_alike(form: str) -> None:
    page = season_html(SEASON).decode()
    text = " ".join(re.sub("<[^>]*>", " ", page).split()) if form == "html" else words_of(season_pdf(SEASON))
    assert [word for word in WORDS if word not in text] == []
    assert page.count("<svg") == 3


def test_dated_jobs_lie_for_days() -> None:
    """One left over was used after 30 days; two of each draw lie there since 30 days and none: 15 in the middle."""
    tried = tuple(
        replace(row, draws=tuple(replace(draw, days=(date(2031, 5, 1), date(2031, 5, 31))) for draw in row.draws))
        for row in SEASON.tried
    )
    dated = replace(SEASON, drawn=False, tried=tried)
    text = " ".join(re.sub("<[^>]*>", " ", season_html(dated).decode()).split())
    assert "2 jobs, 2031-05-01 to 2031-05-31" in text
    assert "after days, median" in text
    assert "2 30 30 4 15 30" in text
    assert "job 2, 2031-05-31" in text


def test_no_key_reaches_into_the_figures_beside_it() -> None:
    """The longest there is, with a value, in the column of keys."""
    from cutplan.reading.workshop.workshop_keys import FAMILY_TABLES, OF_FAMILIES, SETTINGS

    room = 186 - 6 * 20
    for key in (*SETTINGS, *(f"{table}.SHS" for table in FAMILY_TABLES), *OF_FAMILIES):
        assert text_mm(f"{key}=false;", 9, bold=True) < room, key


def test_what_was_paid_is_added_up_job_by_job() -> None:
    """Of 100 and 104, 40 % by the first job, of 90 and 80 too: means of 40.80 and 102, 34 and 85, to a scale of 104."""
    pictures = dict(season_pictures(SEASON))
    picture = ElementTree.fromstring(pictures["To pay so far, EUR"])
    means = []
    for path in picture.iter("{http://www.w3.org/2000/svg}path"):
        if path.attrib["fill"] == "none" and float(path.attrib.get("stroke-width", 0)) > 0.3:
            for each in filter(None, path.attrib["d"].split("M")):
                numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", each)]
                means.append([numbers[1], numbers[-1]])
    assert [round((first - last) / 20 * 104, 1) for first, last in means] == pytest.approx([61.2, 51.0], abs=0.2)


def test_a_season_in_which_nothing_is_kept_and_nothing_has_a_price() -> None:
    bare = tuple(
        replace(tried, draws=tuple(replace(draw, paid=None, left_overs=(), over_time=(0, 0)) for draw in tried.draws))
        for tried in SEASON.tried
    )
    page = season_html(replace(SEASON, tried=bare)).decode()
    assert "To buy so far, kg" in page
    assert "Which are never used" not in page
    assert season_pdf(replace(SEASON, tried=bare)).startswith(b"%PDF")
