"""Phones at the drill: pieces ticked with the network away, and a second phone in step."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from cutplan import actions
from tests.browser.conftest import phone, planned_in, until

pytestmark = pytest.mark.thorough
HOLES = "Mark,Face,Position,Hole\nA,1,60,9\nB,1,40,M8 clear\n"
EVERY = 14


def drilled() -> int:
    plan = Path("reports/frame/plan.json")
    return len(actions.at_the_drill(plan, actions.rack_of_plan(plan)).drilled)


@pytest.fixture
def holes(tmp_path: Path, served: str) -> str:
    """The address of the bench, its job planned anew with holes."""
    Path("frame-holes.csv").write_text(HOLES)
    shutil.rmtree("reports")
    planned_in(tmp_path)
    return served


def test_pieces_are_drilled_with_the_network_away(chromium: Browser, holes: str) -> None:
    one, other = phone(chromium, holes, page="drill"), phone(chromium, holes, page="drill")
    good = one.locator("#good")
    expect(good).to_have_text("A is drilled")
    good.tap()
    expect(other.locator("section.bar:visible .count")).to_have_text("1 of 6 drilled")
    one.context.set_offline(True)
    for _ in range(5):
        good.tap()
    expect(one.locator("#waiting")).to_have_text("5 ticks wait for the network")
    assert drilled() == 1
    one.context.set_offline(False)
    one.goto(f"{holes}/job/frame.csv/drill")
    expect(one.locator("section.bar:visible .count")).to_have_text("0 of 8 drilled")  # the next card
    expect(one.locator("#waiting")).to_be_hidden()
    until(one, lambda: drilled() == 6)
    expect(other.locator("section.bar:visible .count")).to_have_text("6 of 6 drilled")
    for left in range(8, 0, -1):
        expect(good).to_have_text("B is drilled")
        good.tap()
        expect(one.locator("section.bar:visible .count")).to_have_text(f"{9 - left} of 8 drilled")
    expect(good).to_have_text("All is drilled")
    one.locator("#undo").tap()
    expect(good).to_have_text("B is drilled")
    until(one, lambda: drilled() == EVERY - 1)
