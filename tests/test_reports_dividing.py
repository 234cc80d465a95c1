"""A long plan set in pieces shows what it shows when it is set at once, and every page says where it belongs."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from pypdf import PdfReader

from cutplan.model import Job, Plan
from cutplan.reports import extent
from cutplan.reports.paper import dividing
from cutplan.reports.paper.dividing import divided
from cutplan.reports.paper.plan_pdf import cut_pdf, plan_data, plan_pdf
from cutplan.reports.rows import rows_of
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import trailer


def many(bars: int) -> tuple[Job, Plan]:
    """Bars of which no two are alike, each part with a hole or none, in one assembly."""
    parts = [builders.part(f"P{number}", 1, 2000 + number, assembly="all") for number in range(bars)]
    job = builders.job(parts, [builders.offer("O", 4000, 9)], kerf="2.5", end_trim=10, keep=300)
    return job, hand_plan(job, *(("O", [part.mark]) for part in parts))


@pytest.fixture
def small_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dividing, "_ONE_PIECE", 6)
    monkeypatch.setattr(dividing, "_PIECE", 4)
    monkeypatch.setattr(dividing, "_ROWS", 2)


def data(bars: int) -> dict[str, Any]:
    return plan_data(rows_of(*many(bars)), "0a1b2c3d")


def text(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def test_a_plan_of_a_usual_size_is_one_piece() -> None:
    whole = plan_data(rows_of(*trailer()), "0a1b2c3d")
    assert divided(whole) == [whole]


@pytest.mark.usefixtures("small_pieces")
def test_nothing_is_lost_or_moved() -> None:
    whole = data(11)
    pieces = divided(whole)
    assert len(pieces) > 4
    sheets = [sheet for piece in pieces for sheet in piece["sheets"]]

    def blocks(some: list[dict[str, Any]]) -> list[Any]:
        cut = [sheet for sheet in some if sheet["kind"] == "cut"]
        return [(group["title"], block) for sheet in cut for group in sheet["groups"] for block in group["blocks"]]

    def words(some: list[dict[str, Any]]) -> list[Any]:
        listed = [part for sheet in some if sheet["kind"] == "listing" for part in sheet["parts"]]
        return [line for part in listed for line in (*part["before"], *part["rows"], *part["after"])]

    assert sum(len(sheet["recut"]["rows"]) for sheet in sheets if sheet.get("recut")) == 11
    assert blocks(sheets) == blocks(whole["sheets"])
    assert words(sheets) == words(whole["sheets"])
    titles = list(dict.fromkeys(re.sub(", \\d+ of \\d+$", "", sheet["title"]) for sheet in sheets))
    assert titles == [sheet["title"] for sheet in whole["sheets"]]


@pytest.mark.thorough
@pytest.mark.usefixtures("small_pieces")
def test_every_page_names_its_piece() -> None:
    pages = text(plan_pdf(*many(11), "0a1b2c3d"))
    seen: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for page in pages:
        found = re.search(r"part (\d+) of (\d+), page (\d+) of (\d+)", " ".join(page.split()))
        assert found, page[:80]
        part, parts, number, of = map(int, found.groups())
        seen.setdefault((part, parts), []).append((number, of))
    assert list(seen) == [(part, len(seen)) for part in range(1, len(seen) + 1)]
    assert all(numbers == [(n, len(numbers)) for n in range(1, len(numbers) + 1)] for numbers in seen.values())
    assert "Cut, 2 of " in "\n".join(pages)
    first = " ".join(pages[0].split())
    assert re.search(r"Mass and cost part \d+", first), "the index names the piece of a sheet beyond the first"


@pytest.mark.thorough
def test_ways_to_cut_beyond_one_file_are_printed_in_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(extent, "MOST_WAYS", 4)
    job, plan = many(9)
    said = rows_of(job, plan).beyond
    assert said == (
        "Sheets to cut from: the first 4 of 9 ways to cut a bar. "
        "cutplan sheets plan.json --from 5 prints those that follow.",
    )
    assert said[0] in " ".join(" ".join(text(plan_pdf(job, plan, "0a1b2c3d"))).split())
    seen = []
    for first in (1, 5, 9):
        pages = text(cut_pdf(rows_of(job, plan, first=first), "0a1b2c3d"))
        seen += re.findall(r"^Bar (\d+)", "\n".join(pages), re.MULTILINE)
    assert seen == [str(number) for number in range(1, 10)]


def test_many_bars_cut_alike_get_room_for_strokes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(extent, "MOST_TALLIED", 3)
    job = builders.job([builders.part("A", 10, 1900)], [builders.offer("O", 4000, 9)], keep=100)
    whole = "\n".join(text(plan_pdf(job, hand_plan(job, *[("O", ["A", "A"])] * 5), "0a1b2c3d")))
    assert "a stroke for each of 2 more bars" in whole
    assert "bar 3" in whole
    assert "bar 4" not in whole
    assert "Bars 1-5" in whole.replace(" to ", "-").replace("\N{EN DASH}", "-")
