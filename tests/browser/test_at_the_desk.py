"""The desk in a browser: a job from pasted rows to its plan, with the keyboard alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

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
    expect(page.locator("#sound")).to_have_text("Nothing is wrong with it.", timeout=20_000)
    expect(page.locator("[aria-invalid]")).to_have_count(0)
    page.get_by_role("button", name="Save", exact=True).press("Enter")
    page.get_by_role("link", name="gate").press("Enter")
    page.get_by_role("button", name="Plan", exact=True).press("Enter")
    page.get_by_role("link", name="See the plan").wait_for(timeout=120_000)
    page.get_by_role("link", name="See the plan").press("Enter")
    expect(page.locator("main")).to_contain_text("35.40 EUR")
    expect(page.locator("main svg").first).to_be_visible()
    with page.expect_download() as given:
        page.get_by_role("link", name="plan.pdf").press("Enter")
    assert Path(given.value.path()).read_bytes()[:5] == b"%PDF-"
