"""The saw in a browser whose scripts are switched off: every part, a spoiled one, what is left over, the record."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from cutplan import actions
from tests.browser.conftest import watch

pytestmark = pytest.mark.thorough
PLAN = Path("reports/frame/plan.json")
EVERY = 14


def phone(chromium: Browser, address: str) -> Page:
    page = chromium.new_context(
        viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True, java_script_enabled=False
    ).new_page()
    watch(page, address)
    return page


def press(page: Page, name: str) -> None:
    """Tap the button of a name that is shown, and wait for the page that its form leads to."""
    with page.expect_navigation():
        page.get_by_role("button", name=name).locator("visible=true").tap()


def shown(page: Page) -> str:
    """How many parts of the bar that is shown are done."""
    return page.locator("section.bar:visible .count").inner_text()


def test_a_job_is_cut_spoiled_put_away_and_recorded(chromium: Browser, served: str) -> None:
    page = phone(chromium, served)
    saw = f"{served}/job/frame.csv/saw"
    page.goto(saw)
    of = shown(page).split()[2]
    page.get_by_label("came to").locator("visible=true").fill("9 m")
    press(page, "Spoiled")
    expect(page.get_by_role("alert")).to_contain_text("9000 mm")
    expect(page.get_by_label("came to").locator("visible=true")).to_have_value("9 m")
    page.get_by_label("came to").locator("visible=true").fill("300")
    press(page, "Spoiled")
    expect(page.locator("section.bar:visible .count")).to_have_text(f"1 of {of} cut")
    expect(page.locator(".strip polygon.spoiled")).to_have_count(1)
    press(page, "Take the last tick back")
    expect(page.locator("section.bar:visible .count")).to_have_text(f"0 of {of} cut")
    put = 0
    for _ in range(EVERY):
        press(page, "is cut")
        if page.get_by_role("button", name="It is put away").locator("visible=true").count():
            page.get_by_label("place").locator("visible=true").fill("left shelf")
            press(page, "It is put away")
            expect(page.get_by_text("It is put away.").locator("visible=true")).to_be_visible()
            put += 1
        page.goto(saw)
    assert put > 0
    expect(page.get_by_role("link", name="to the end")).to_be_visible()
    page.get_by_role("link", name="to the end").tap()
    expect(page.locator("main")).to_contain_text(f"{EVERY} of {EVERY} parts ticked")
    expect(page.locator("main")).to_contain_text("left shelf")
    press(page, "Record")
    expect(page.locator("pre.told")).to_contain_text(re.compile(f"Parts made: {EVERY}[.]"))
    there = actions.rack_show(actions.rack_of_plan(PLAN))
    assert {piece.state.place for piece in there} == {"left shelf"}
    page.context.close()
