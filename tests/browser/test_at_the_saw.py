"""Phones at the saw: a job cut from its first part to its record, with the network away, and two side by side."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, expect

from cutplan import actions
from cutplan.web import saw_pages
from tests.browser.conftest import phone, until

pytestmark = pytest.mark.thorough
PLAN = "reports/frame/plan.json"
EVERY = 14


def ticked() -> int:
    return len(actions.at_the_saw(Path(PLAN), actions.rack_of_plan(PLAN)).ticks)


def cut(page: Page, parts: int) -> None:
    """Cut so many parts, going on to the next bar where one is done."""
    good = page.locator("#good")
    while parts:
        words = good.inner_text()
        parts -= words.endswith("is cut") and not words.startswith("All")
        good.tap()


@pytest.mark.parametrize(("wide", "high"), [(360, 740), (390, 844)])
def test_a_job_is_cut_with_the_network_away_and_recorded(chromium: Browser, served: str, wide: int, high: int) -> None:
    one, other = phone(chromium, served, wide=wide, high=high), phone(chromium, served)
    cut(one, 1)
    count = other.locator("section.bar:visible .count")
    expect(count).to_contain_text("1 of")
    assert ticked() == 1

    one.context.set_offline(True)
    cut(one, 1)
    expect(one.locator("#waiting")).to_have_text("1 tick waits for the network")
    seen = one.locator("#waiting").evaluate("""(line) => {
      window.scrollTo(0, 0);
      const box = line.getBoundingClientRect();
      return document.elementFromPoint(box.left + box.width / 2, box.bottom - 3) === line;
    }""")
    assert seen, "it lies below the screen, or under its foot"
    cut(one, 9)
    expect(one.locator("#waiting")).to_have_text("10 ticks wait for the network")
    assert ticked() == 1
    with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED"):
        one.reload()
    one.context.set_offline(False)
    one.goto(f"{served}/job/frame.csv/saw")
    expect(one.locator("section.bar:visible article.cut:visible")).to_have_count(1)  # a bar with something left to cut
    until(one, lambda: ticked() == 11)
    expect(one.locator("#waiting")).to_be_hidden()
    expect(count).to_have_text(re.compile(r"(\d+) of \1 cut"))

    cut(one, EVERY - 11)
    expect(one.locator("#good")).to_have_text("All is cut")
    one.locator("#good").tap()
    expect(one.locator("main")).to_contain_text("14 of 14 parts ticked")
    one.get_by_role("button", name="Record").tap()
    expect(one.locator("pre.told")).to_contain_text("Parts made: 14.")
    expect(other.locator("#notice")).to_contain_text("This plan is recorded")
    expect(other.locator("#foot")).to_be_hidden()
    expect(other.get_by_role("button", name="It is put away").locator("visible=true")).to_have_count(0)


def test_a_plan_of_more_bars_than_a_page_holds_is_cut_to_its_end(
    chromium: Browser, served: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(saw_pages, "MOST_BARS", 1)
    page = phone(chromium, served)
    cut(page, EVERY)
    expect(page.locator("#good")).to_have_text("All is cut")
    page.locator("#good").tap()
    expect(page.locator("main")).to_contain_text("14 of 14 parts ticked")


def test_two_taps_at_once_tick_one_part(chromium: Browser, served: str) -> None:
    page = phone(chromium, served)
    page.evaluate("() => { const good = document.getElementById('good'); good.click(); good.click(); }")
    expect(page.locator("section.bar:visible .count")).to_contain_text("1 of")
    cut(page, 1)
    expect(page.locator("section.bar:visible .count")).to_contain_text("2 of")


@pytest.mark.parametrize(
    ("status", "told"),
    [
        (403, "Type the PIN: open the page anew. 1 tick waits."),
        (404, "This job is no longer here. 1 tick waits."),
        (503, "The rack is busy with another program. 1 tick waits."),
        (500, "1 tick waits for the network"),
    ],
)
def test_a_tick_that_is_not_taken_waits_and_it_is_told_why(
    chromium: Browser, served: str, status: int, told: str
) -> None:
    page = phone(chromium, served)
    page.route("**/tick", lambda route: route.fulfill(status=status, body="not now"))
    cut(page, 1)
    expect(page.locator("#waiting")).to_have_text(told)
    page.unroute("**/tick")
    expect(page.locator("#waiting")).to_be_hidden()
    assert ticked() == 1


def test_a_part_is_spoiled_and_a_tick_taken_back(chromium: Browser, served: str) -> None:
    page = phone(chromium, served)
    cut(page, 1)
    page.get_by_role("button", name="Take back A").tap()
    expect(page.locator("section.bar:visible .count")).to_contain_text("0 of")
    page.locator("#bad").tap()
    page.locator("#came").fill("870")
    page.get_by_role("button", name="It is spoiled").tap()
    page.wait_for_function("document.querySelectorAll('.strip polygon.spoiled').length === 1")
    page.reload()
    expect(page.locator(".strip polygon.spoiled")).to_have_count(1)
    until(page, lambda: ticked() == 1)


def test_a_left_over_is_put_away_with_the_network_away(chromium: Browser, served: str) -> None:
    page = phone(chromium, served)
    put = page.get_by_role("button", name="It is put away").locator("visible=true")
    good = page.locator("#good")
    while not put.count():
        expect(good).not_to_have_attribute("aria-disabled", "true")
        assert not good.inner_text().startswith("All"), "no bar leaves anything to keep"
        good.tap()
    page.context.set_offline(True)
    page.get_by_label("place").locator("visible=true").fill("left shelf")
    put.tap()
    expect(page.locator("#waiting")).to_have_text("1 tick waits for the network")
    kept = page.get_by_text("It is put away.")
    expect(kept.locator("visible=true")).to_have_count(0)
    page.context.set_offline(False)
    expect(kept.locator("visible=true")).to_be_visible()
    rack = actions.rack_of_plan(PLAN)
    assert [where for _, where in actions.at_the_saw(Path(PLAN), rack).put_away.values()] == ["left shelf"]
    page.get_by_label("measured").locator("visible=true").fill("9 m")
    put.tap()
    expect(page.locator("#notice")).to_contain_text("9 m")
    number = page.locator("section.bar:visible").get_attribute("data-number")
    page.goto(f"{served}/job/frame.csv/saw?bar={number}")
    expect(page.locator(".kept:visible")).to_have_count(1)
    expect(page.get_by_label("place").locator("visible=true")).to_have_value("left shelf")


def test_a_length_that_cannot_be_is_told_and_the_tick_is_off(chromium: Browser, served: str) -> None:
    page = phone(chromium, served)
    page.locator("#bad").tap()
    page.locator("#came").fill("9 m")
    page.get_by_role("button", name="It is spoiled").tap()
    expect(page.locator("#notice")).to_contain_text("the length of bar 1")
    expect(page.locator("section.bar:visible .count")).to_contain_text("0 of")
    assert ticked() == 0


def test_a_plan_that_was_changed_meanwhile_is_told_and_nothing_is_mixed(chromium: Browser, served: str) -> None:
    page = phone(chromium, served)
    Path("frame.csv").write_text("Mark,Quantity,Section,Length\nA,6,SHS 40x40x3,905\n")
    actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=actions.find_rack(near="."))
    page.locator("#good").tap()
    expect(page.locator("#notice")).to_contain_text("The plan was changed")
    page.locator("#good").tap()
    page.wait_for_timeout(1_000)  # as long as a phone takes to ask where the plan stands
    expect(page.locator("#notice")).to_contain_text("The plan was changed")
    expect(page.locator("#waiting")).to_be_hidden()
    assert ticked() == 0
    expect(page.locator("#notice")).to_contain_text("Not taken: A copy 1 cut.")
    for _ in range(2):  # until the next tick it is told, by whatever page is opened
        page.reload()
        expect(page.locator("#notice")).to_contain_text("while ticks waited here")
        expect(page.locator("#notice")).to_contain_text("Not taken: A copy 1 cut.")
    cut(page, 1)
    expect(page.locator("#notice")).to_be_hidden()
    until(page, lambda: page.evaluate("Object.values(localStorage).join()") == "[]")
    assert ticked() == 1
    page.reload()
    expect(page.locator("#notice")).to_be_hidden()


@pytest.mark.parametrize("look", ["light", "dark"])
def test_what_is_touched_is_large_and_nothing_is_cut_off(chromium: Browser, served: str, look: str) -> None:
    page = phone(chromium, served)
    page.emulate_media(color_scheme="dark" if look == "dark" else "light")
    for part in range(EVERY):
        sizes = page.evaluate(
            "[...document.querySelectorAll('button, a, summary')].filter((one) => one.offsetParent || "
            "getComputedStyle(one).position === 'fixed').map((one) => one.getBoundingClientRect())"
            ".map((box) => [box.width, box.height])"
        )
        assert min(min(size) for size in sizes) >= 44, part
        foot = page.locator("#foot").bounding_box()
        assert foot
        assert foot["y"] + foot["height"] <= 740.5
        for one in page.locator("#foot button:visible").all():
            box = one.bounding_box()
            assert box
            assert box["height"] >= 48
            assert box["width"] >= 48
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        figure = page.locator("article.cut:visible .figure")
        if figure.count():
            assert figure.evaluate("(one) => one.scrollWidth <= one.clientWidth + 1")
        cut(page, 1)
