"""The desk with the keyboard alone: each page is come to by Tab and Enter, and one thing is typed and done on it."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from cutplan import actions
from tests.browser.conftest import watch

pytestmark = pytest.mark.thorough
MOST_TABS = 150
HERE = """(wanted) => {
  const one = document.activeElement;
  const label = one.labels && one.labels[0] ? one.labels[0].innerText : "";
  const texts = [one.getAttribute("aria-label"), label, one.innerText];
  const words = texts.map((text) => (text || "").trim().split("\\n")[0]);
  const [x, y] = [getComputedStyle(one).outlineStyle, getComputedStyle(one).outlineWidth];
  return words.includes(wanted) ? { seen: x !== "none" && y !== "0px" } : null;
}"""


def tab_to(page: Page, name: str) -> None:
    """Tab until what has this name is reached; it has to be seen that it is."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        found = page.evaluate(HERE, name)
        if found:
            assert found["seen"], f"it is not seen that {name} has the focus"
            return
    pytest.fail(f"{name} is not reached by Tab on {page.url}")


def opened(page: Page, *names: str) -> None:
    """Enter on each of these in turn."""
    for name in names:
        tab_to(page, name)
        entered(page)


def entered(page: Page) -> None:
    """Press Enter, and wait for the page that it leads to."""
    with page.expect_navigation():
        page.keyboard.press("Enter")


def filled(page: Page, **texts: str) -> None:
    """Type over what stands in each field."""
    for name, text in texts.items():
        tab_to(page, name.replace("_", " "))
        page.keyboard.press("Control+a")
        page.keyboard.type(text)


def test_every_page_of_the_desk_is_worked_by_the_keyboard(chromium: Browser, served: str) -> None:
    page = chromium.new_page()
    watch(page, served)
    page.goto(served)

    opened(page, "frame", "Orders")
    filled(page, own_number="Q7")
    entered(page)
    expect(page.get_by_role("link", name="order-q7-yard.pdf")).to_be_visible()

    opened(page, "Prices")
    filled(page, **{"row 2, Price": "36.40"})
    entered(page)
    expect(page.locator("input[name=c1-3]")).to_have_value("36.40")
    expect(page.locator("[aria-invalid]")).to_have_count(0)
    assert Path("prices.csv").read_text().splitlines()[1] == "Yard,SHS 40x40x3,6000,36.40,each"

    opened(page, "Merchants")
    filled(page, Name="Yard", Delivery="15")
    entered(page)
    expect(page.get_by_role("status")).to_have_text("Saved.")
    opened(page, "Workshop")
    filled(page, Name_of_the_workshop="Shed")
    entered(page)
    expect(page.get_by_role("status")).to_have_text("Saved.")
    opened(page, "Coats")
    filled(page, Name="red")
    entered(page)
    told = page.get_by_role("alert").or_(page.get_by_role("status"))
    expect(told.first).to_be_visible()
    opened(page, "Workshop", "Own sections")
    filled(page, Name="Rail 30", Height="30", Width="30", Mass_per_m="1.9")
    entered(page)
    expect(page.get_by_role("status")).to_have_text("Saved.")
    kept = Path("workshop.toml").read_text()
    assert [text in kept for text in ('"Yard"', '"Shed"', '"Rail 30"')] == [True] * 3

    opened(page, "Rack")
    tab_to(page, "Find")  # of the form before it, which has a section too
    filled(page, section="SHS 40x40x3", length="9OO", place="shelf")
    entered(page)
    expect(page.locator("#why-length")).to_be_visible()
    filled(page, length="900")
    entered(page)
    expect(page.get_by_role("status")).to_have_text("Mark to paint: A1")
    opened(page, "A1")
    filled(page, place="top arm")
    entered(page)
    expect(page.get_by_role("status")).to_contain_text("top arm")
    tab_to(page, "Count what lies in a place")
    page.keyboard.press("Enter")
    filled(page, place="top arm")
    with page.expect_download() as sheet:
        page.keyboard.press("Enter")
    assert Path(sheet.value.path()).read_bytes()[:2] == b"PK"
    (there,) = actions.rack_show(actions.find_rack())
    assert there.state.place == "top arm"

    opened(page, "Jobs", "frame", "What would a change cost?")
    filled(page, another_kerf="1 mm")
    entered(page)
    expect(page.locator("table.compared")).to_contain_text("as it is")
