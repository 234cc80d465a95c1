"""The desk in a browser: a job from pasted rows to its plan, with the keyboard alone."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser, Route, expect

from tests.browser.conftest import watch

pytestmark = pytest.mark.thorough
ROWS = "Mark\tQuantity\tSection\tLength\nG1\t2\tSHS 40x40x3\t12OO\n"


def test_a_job_goes_from_pasted_rows_to_its_plan(chromium: Browser, served: str) -> None:
    page = chromium.new_page()
    watch(page, served)
    page.goto(served)
    page.get_by_role("link", name="New job").press("Enter")
    page.get_by_label("name").fill("gate")
    page.get_by_label("rows from any spreadsheet").fill(ROWS)
    page.get_by_role("button", name="Begin").press("Enter")
    cell = page.locator("input[name=c1-3]")
    expect(cell).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".why")).to_contain_text("millimetres such as 6200")
    cell.fill("1200")
    expect(page.locator("#sound")).to_have_text("Nothing is wrong with it.")
    expect(page.locator("[aria-invalid]")).to_have_count(0)
    page.get_by_role("button", name="Save", exact=True).press("Enter")
    page.get_by_role("link", name="gate").press("Enter")
    page.get_by_role("button", name="Plan", exact=True).press("Enter")
    page.get_by_role("link", name="See the plan").wait_for()
    page.get_by_role("link", name="See the plan").press("Enter")
    expect(page.locator("main")).to_contain_text("35.40 EUR")
    expect(page.locator("main svg").first).to_be_visible()
    with page.expect_download() as given:
        page.get_by_role("link", name="plan.pdf").press("Enter")
    assert Path(given.value.path()).read_bytes()[:5] == b"%PDF-"


def test_a_search_is_stopped_with_the_best_plan_by_then(chromium: Browser, served: str) -> None:
    """Sixty kinds of parts, mitred otherwise at nearly every end: the search goes on when a first plan is there."""
    draw = Random(7)
    rows = ["Mark,Quantity,Section,Length,Cut A,Cut B"]
    for number in range(60):
        angles = f"{draw.choice(['', '30', '45'])},{draw.choice(['', '45', '60'])}"
        rows.append(f"P{number},{draw.randint(1, 9)},SHS 40x40x3,{draw.randint(3000, 29000) / 10},{angles}")
    Path("slow.csv").write_text("\n".join(rows) + "\n")
    page = chromium.new_page()
    watch(page, served)
    page.goto(f"{served}/job/slow.csv")
    page.get_by_role("button", name="Plan", exact=True).press("Enter")
    expect(page.locator(".doing")).to_contain_text("so far")
    page.wait_for_timeout(3_000)
    page.get_by_role("button", name="Stop").press("Enter")
    expect(page.locator(".standing")).to_have_text("Stopped: this is the best plan by then.")
    page.get_by_role("link", name="See the plan").press("Enter")
    expect(page.locator(".jobhead .standing")).to_have_text("planned")
    expect(page.locator("main")).to_contain_text("To pay")


def test_a_long_finding_makes_no_tall_row_and_stands_below_the_list_whole(chromium: Browser, served: str) -> None:
    page = chromium.new_page(viewport={"width": 1280, "height": 800})
    watch(page, served)
    Path("frame.csv").write_text(Path("frame.csv").read_text().replace("Cut B", "When", 1))
    page.goto(f"{served}/job/frame.csv/list")
    why, below = page.locator("td .why"), page.locator("#found")
    for text in ("When", "Whenever"):
        expect(why).to_contain_text(f"{text}: the headings")
        expect(below).to_contain_text("Stamp, Note")
        box = why.bounding_box()
        assert box
        assert box["height"] < 160
        page.locator("input[name=c0-5]").fill("Whenever")


def test_a_warning_is_announced_as_one_and_as_a_fault_where_it_becomes_one(chromium: Browser, served: str) -> None:
    page = chromium.new_page()
    watch(page, served)
    page.goto(f"{served}/job/frame.csv/list")
    cell, why = page.locator("input[name=c3-3]"), page.locator(".why")
    for column, text in enumerate(("C", "1", "SHS 40x40x3", "417.5")):  # 2 mm longer than B
        page.locator(f"input[name=c3-{column}]").fill(text)
    expect(why).to_contain_text("warning: easily mixed up")
    expect(cell).to_have_accessible_description(re.compile("^warning: easily mixed up"))
    expect(cell).to_have_class(re.compile(r"\bwarned\b"))
    expect(page.locator("[aria-invalid]")).to_have_count(0)
    cell.fill("12OO")
    expect(why).to_have_text(re.compile("^12OO: "))
    expect(cell).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".warned")).to_have_count(0)
    cell.fill("515.5")
    expect(page.locator("[aria-describedby]")).to_have_count(0)


def test_what_is_typed_before_the_script_is_there_is_answered_too(chromium: Browser, served: str) -> None:
    page = chromium.new_page()
    watch(page, served)
    waiting: list[Route] = []
    page.route("**/static/bench.js", lambda route: waiting.append(route))
    page.goto(f"{served}/job/frame.csv/list", wait_until="commit")
    page.locator("input[name=c2-3]").fill("4OO")
    waiting[0].continue_()
    expect(page.locator(".why")).to_contain_text("4OO")


def test_what_was_typed_outlasts_a_list_that_another_changed(chromium: Browser, served: str) -> None:
    page = chromium.new_page()
    watch(page, served)
    page.goto(f"{served}/job/frame.csv/list")
    expect(page.locator("td.drawn svg")).to_have_count(1)
    page.locator("input[name=c2-4]").fill("30")
    expect(page.locator("td.drawn svg")).to_have_count(2)
    Path("frame.csv").write_text(Path("frame.csv").read_text() + "C,1,SHS 40x40x3,500,,\n")
    page.locator("input[name=c2-4]").press("Enter")
    expect(page.get_by_role("alert").first).to_contain_text("changed meanwhile")
    page.locator("input[name=c2-3]").fill("4OO")
    expect(page.locator(".why")).to_contain_text("4OO")
    page.locator("input[name=c2-3]").fill("415.5")
    expect(page.locator(".why")).to_have_count(0)
    page.locator("input[name=c2-4]").press("Enter")
    expect(page.locator("input[name=c2-4]")).to_have_value("30")
    assert ",30," not in Path("frame.csv").read_text(), "Enter in a cell puts nothing in the place of the file"
    page.get_by_role("button", name="Save it in the place of the file").press("Enter")
    expect(page.locator("#sound")).to_have_text("Nothing is wrong with it.")
    assert Path("frame.csv").read_text().splitlines()[2] == "B,8,SHS 40x40x3,415.5,30,"
