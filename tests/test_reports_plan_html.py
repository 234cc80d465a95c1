"""plan.html is one file that asks nothing of a network and says what plan.pdf says."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

from cutplan.model import Hole
from cutplan.reports.browser.plan_html import plan_html
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of
from tests import builders
from tests.drilled import drilled, drilled_job, hole
from tests.hand_plans import hand_plan, with_mark
from tests.test_reports_own_sheets import with_holes
from tests.workbooks import FORMULA_LIKE, LONG, UNICODE, trailer

TELEPHONE = 372
"""Pixels that a page has between its margins on a telephone 390 wide."""
VOID = {"meta", "br"}
"""Tags that are never closed."""


class Reader(HTMLParser):
    """Collects the words, and complains of tags that are not closed in turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


def test_the_page_is_whole_and_asks_nothing_of_a_network() -> None:
    page = plan_html(*trailer(), "0a1b2c3d")
    reader = read(page)
    assert not {tag for tag, _ in reader.tags} & {"script", "link", "img", "iframe", "object"}
    assert not [attrs for _, attrs in reader.tags if {"src", "onclick"} & set(attrs)]
    places = {attrs["id"] for _, attrs in reader.tags if "id" in attrs}
    links = [str(attrs["href"]) for _, attrs in reader.tags if "href" in attrs]
    assert links
    assert all(link.startswith("#") and link[1:] in places for link in links), "they lead to places on the page"
    assert not re.search(r"url\(|@import", page)
    assert set(re.findall(r"https?://[^\s\"']+", page)) == {"http://www.w3.org/2000/svg"}


def test_it_says_what_the_printed_plan_says() -> None:
    job, plan = trailer()
    words = " ".join(read(plan_html(job, with_mark(plan, 2, "K7"), "0a1b2c3d")).words)
    data = plan_data(rows_of(job, with_mark(plan, 2, "K7")), "0a1b2c3d")
    for sheet in data["sheets"]:
        assert sheet["title"] in words
        for part in sheet.get("parts", ()):
            for row in part["rows"]:
                assert all((cell if isinstance(cell, str) else cell.get("text", "")) in words for cell in row)
        for block in (block for group in sheet.get("groups", ()) for block in group["blocks"]):
            for name in ("title", "source", "weight", "start", "left"):
                assert block[name] in words
            for step in block["steps"]:
                if step["kind"] == "change":
                    assert step["how"] in words
                else:
                    said = (
                        step["mark"],
                        step["length"],
                        step["near"].strip(),
                        step["far"],
                        step["about"],
                        *step["running"],
                    )
                    assert all(text in words for text in said)
        for row in (sheet.get("recut") or {"rows": ()})["rows"]:
            assert all((cell if isinstance(cell, str) else cell["text"]) in words for cell in row)
    assert "K7" in words
    assert "0a1b2c3d" in words


def test_marking_cards_are_shown_too() -> None:
    job, plan = trailer()
    drilled = replace(job.parts[0], holes=(Hole(position=100_000_000, face=1, across=20_000_000, diameter=9_000_000),))
    job = replace(job, parts=(drilled, *job.parts[1:]))
    data = plan_data(rows_of(job, plan), "0a1b2c3d")
    (card,) = (card for sheet in data["sheets"] if sheet["kind"] == "marking" for card in sheet["cards"])
    words = " ".join(read(plan_html(job, plan, "0a1b2c3d")).words)
    for row in card["rows"]:
        assert all(value in words for value in row.values() if isinstance(value, str))
    (sheet,) = (sheet for sheet in data["sheets"] if sheet["kind"] == "marking")
    for cells in sheet["drills"]["rows"]:
        assert all((cell if isinstance(cell, str) else cell["text"]) in words for cell in cells)


def test_marks_are_text() -> None:
    job = builders.job([builders.part("<b>&amp;", 1, 900)], [builders.offer("O", 1000, 9)])
    assert "<b>&amp;" in read(plan_html(job, hand_plan(job, ("O", ["<b>&amp;"])), "0a1b2c3d")).words
    words = read(plan_html(*trailer(), "0a1b2c3d")).words
    assert {FORMULA_LIKE, LONG} <= set(words)
    assert any(UNICODE[:7] in word for word in words)


def test_every_bar_is_drawn_with_the_widths_of_its_texts() -> None:
    job, plan = trailer()
    page = plan_html(job, plan, "0a1b2c3d")
    assert page.count("<svg xmlns") == 2 * len(rows_of(job, plan).blocks), "for a desk and for a telephone"
    assert page.count("textLength") == page.count("<text ")


def test_letters_of_drawings_on_a_telephone_are_as_large_as_its_small_text() -> None:
    job, _ = trailer()
    drills = replace(job.parts[0], holes=(Hole(position=100_000_000, face=1, across=20_000_000, diameter=9_000_000),))
    page = plan_html(replace(job, parts=(drills, *job.parts[1:])), trailer()[1], "0a1b2c3d")
    (small,) = re.findall(r"small { font-size: (\d+)px", page)
    drawn = re.findall(r'<div class="narrow">\s*<svg [^>]*viewBox="0 0 ([\d.]+) .*?</svg>', page, re.DOTALL)
    sizes = [
        float(size) * TELEPHONE / float(svg[0])
        for svg in re.findall(r'<div class="narrow">\s*<svg [^>]*viewBox="0 0 ([\d.]+) ([\s\S]*?)</svg>', page)
        for size in re.findall(r'font-size="([\d.]+)"', svg[1])
    ]
    assert len(drawn) == page.count('<div class="wide">') > 1
    assert min(sizes) > float(small) - 0.1


def test_the_same_page_twice() -> None:
    assert plan_html(*trailer(), "0a1b2c3d") == plan_html(*trailer(), "0a1b2c3d")


def test_heads_of_tables_are_marked_up_and_colours_carry_nothing() -> None:
    page = plan_html(*trailer(), "0a1b2c3d")
    reader = read(page)
    heads = [attrs for tag, attrs in reader.tags if tag == "th"]
    assert heads
    assert all(attrs.get("scope") in ("col", "row") for attrs in heads)
    style = page[page.index("<style>") : page.index("</style>")]
    assert set(re.findall(r"background: *([^;}]*)", style)) == {"#fff"}, "only that of drawings"
    assert "color-scheme: light dark" in style
    assert page.index("<thead>") < page.index("<header>") < page.index("</thead>"), "repeated on every printed page"


def test_orders_pieces_of_the_rack_and_parts_lead_to_bars_and_cards() -> None:
    """Every link leads to a place that is there; an order to the bars cut from it, a drilled part to its card."""
    job, plan = drilled_job(drilled("A", hole(70)), drilled("B", hole(90), section="FL 50x6"))
    page = plan_html(job, plan, "0a1b2c3d")
    anchors = set(re.findall(r' id="([^"]+)"', page))
    links = re.findall(r'<a href="#([^"]+)">([^<]+)</a>', page)
    assert {to for to, _ in links} <= anchors
    assert {"bar-1", "bar-2", "card-0", "card-1"} <= {to for to, _ in links}
    order = next(line for line in page.splitlines() if "1 length x 6 m SHS 40x40x3" in line and "<tr>" in line)
    assert '<a href="#bar-1">bar 1</a>' in order


def test_parts_of_each_of_several_jobs_lead_to_their_own_bars_and_cards() -> None:
    """Both jobs have a part A; no two cards have one place."""
    page = plan_html(*with_holes(), "0a1b2c3d")
    anchors = re.findall(r' id="([^"]+)"', page)
    assert len(anchors) == len(set(anchors))
    assert {f"card-{number}" for number in range(3)} <= set(anchors)
    own = page[page.index("bench: parts</h1>") :]
    row = next(line for line in own.splitlines() if line.startswith("<tr>") and "<b>A</b>" in line)
    anchor = re.findall(r'href="#(card-\d)"', row)[0]
    bar = re.findall(r'href="#(bar-\d+)"', row)[0]
    assert page.index(f'id="{anchor}"') > page.index("bench: drill</h1>")
    assert "bench/A" in page[page.index(f'id="{bar}"') :].split("</section>")[0]


def test_on_a_narrow_screen_each_cell_says_its_heading() -> None:
    page = plan_html(*drilled_job(drilled("A", hole(70))), "0a1b2c3d")
    assert 'data-head="section"' in page
    assert "content: attr(data-head)" in page
