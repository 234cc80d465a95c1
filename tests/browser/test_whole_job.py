"""A job from an empty folder to the plan of its rest: pasted, mended, priced, planned, ordered, cut and recorded."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect

from cutplan import actions
from tests.browser.conftest import serving, watch

pytestmark = pytest.mark.thorough
ROWS = (
    "Mark\tQty\tSection\tLength\tCut A\tCut B\n"
    "Post\t4\tSHS 40x40x3\t9OO\t\t\nRail\t6\tSHS 40x40\t1200\t45\t45\nBrace\tx\tSHS 40x40x3\t640.5\t30\t\n"
)
EVERY = 13


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The address of a bench on a folder with nothing in it."""
    monkeypatch.chdir(tmp_path)
    with serving() as address:
        yield address


def press(page: Page, name: str, role: Literal["button", "link"] = "button") -> None:
    """Press what has exactly this name, and wait for the page that it leads to."""
    with page.expect_navigation():
        found = page.get_by_role(role, name=name, exact=True)
        found.locator("visible=true").first.click()


def planned(desk: Page) -> None:
    """Wait for a plan that was begun, and see it."""
    desk.get_by_role("link", name="See the plan").wait_for()
    press(desk, "See the plan", "link")


def test_a_job_goes_all_the_way(chromium: Browser, empty: str) -> None:
    desk = chromium.new_page()
    watch(desk, empty)
    desk.goto(empty)
    expect(desk.locator("main")).to_contain_text("There is no parts list in this folder yet.")
    press(desk, "New job", "link")
    desk.get_by_label("name").fill("gate")
    desk.get_by_label("rows from any spreadsheet").fill(ROWS)
    press(desk, "Begin")
    expect(desk.locator("[aria-invalid]")).to_have_count(3)
    for cell, text in (("c1-3", "900"), ("c2-2", "SHS 40x40x3"), ("c3-1", "3")):
        desk.locator(f"input[name={cell}]").fill(text)
    expect(desk.locator("[aria-invalid]")).to_have_count(0)
    press(desk, "Save")

    press(desk, "Jobs", "link")
    expect(desk.locator(".job .standing")).to_have_text("no price list yet")
    press(desk, "Begin a price list", "link")
    press(desk, "Begin a price list")
    for column, text in enumerate(("Yard", "SHS 40x40x3", "6000", "35.40", "each")):
        desk.locator(f"input[name=c1-{column}]").fill(text)
    press(desk, "Save")

    press(desk, "Jobs", "link")
    press(desk, "Plan")
    planned(desk)
    expect(desk.locator("main")).to_contain_text("106.20 EUR")  # three lengths of 35.40
    with desk.expect_download() as given:
        desk.get_by_role("link", name="plan.pdf").click()
    assert Path(given.value.path()).read_bytes()[:5] == b"%PDF-"
    press(desk, "It is ordered")
    press(desk, "To the job", "link")
    desk.get_by_label("put at").fill("yard")
    press(desk, "It has come")
    press(desk, "To the job", "link")

    phone = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True).new_page()
    watch(phone, empty)
    phone.goto(f"{empty}/job/gate.csv/saw")
    good, bad = phone.locator("#good"), phone.locator("#bad")
    spoiled = False
    while not good.inner_text().startswith("All"):
        if not spoiled and good.inner_text() == "Brace is cut":
            bad.tap()
            phone.locator("#came").fill("500")
            phone.get_by_role("button", name="It is spoiled").tap()
            expect(phone.locator(".strip polygon.spoiled:visible")).to_have_count(1)
            spoiled = True
        else:
            good.tap()
    put = phone.get_by_role("button", name="It is put away").locator("visible=true")
    if put.count():
        phone.get_by_label("place").locator("visible=true").fill("top arm")
        put.tap()
        expect(phone.get_by_text("It is put away.").locator("visible=true")).to_be_visible()
    good.tap()
    expect(phone.locator("main")).to_contain_text(f"{EVERY} of {EVERY} parts ticked, 1 of them spoiled")
    phone.get_by_role("button", name="Record").tap()
    expect(phone.locator("pre.told")).to_contain_text("Still to cut: 1 x Brace")
    phone.context.close()

    desk.goto(empty)
    expect(desk.locator(".job .standing")).to_have_text("recorded")
    press(desk, "gate", "link")
    press(desk, "Plan the rest again")
    planned(desk)
    press(desk, "Jobs", "link")
    expect(desk.get_by_role("link", name=re.compile("gate, rest 1"))).to_be_visible()
    (rest,) = actions.read_plan("reports/gate/rest-1/plan.json")[0].parts
    assert (rest.mark, rest.quantity) == ("Brace", 1)
    desk.close()
