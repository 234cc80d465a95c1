"""Phones in a real network: the PIN that stands at the desk, wrong and right, and too many wrong ones."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from cutplan.web.pin_pages import WRONG_OF_ONE
from tests.browser.conftest import PARTS, watch
from tests.serve_process import in_network, served_by_command

pytestmark = pytest.mark.thorough
WRONG = "That is not the PIN on the desk screen."
SHUT = "Too many wrong PINs. Wait ten minutes, or restart the server."


def typed(phone: Page, pin: str) -> None:
    """Type a PIN as somebody does who knows the keyboard of a phone."""
    phone.get_by_label("six figures").fill(pin)
    phone.get_by_role("button", name="Go on").tap()


def test_a_phone_is_let_in_by_the_pin_of_the_desk_and_after_some_wrong_ones_nobody_is(
    chromium: Browser, tmp_path: Path
) -> None:
    (tmp_path / "frame.csv").write_text(PARTS)
    own = in_network()
    with served_by_command(tmp_path, "--network") as port:
        desk = chromium.new_page()
        watch(desk, f"http://127.0.0.1:{port}")
        desk.goto(f"http://127.0.0.1:{port}/phones")
        pin = desk.locator(".bigpin").inner_text().replace(" ", "")
        address = f"http://{own}:{port}"
        expect(desk.locator("main")).to_contain_text(f"{address}/")
        expect(desk.locator(".code svg")).to_be_visible()

        one, other = (
            chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True).new_page()
            for _ in range(2)
        )
        other_pin = f"{(int(pin) + 1) % 1_000_000:06d}"
        watch(one, address)
        one.goto(f"{address}/job/frame.csv?from=label")
        expect(one).to_have_url(f"{address}/pin?to=/job/frame.csv%3Ffrom%3Dlabel")
        typed(one, other_pin)
        expect(one.get_by_role("alert")).to_have_text(WRONG)
        typed(one, pin)
        expect(one).to_have_url(f"{address}/job/frame.csv?from=label")
        expect(one.get_by_role("heading", level=1)).to_have_text("frame")
        one.goto(f"{address}/phones")
        expect(one.get_by_role("heading", level=1)).to_have_text("Not here")
        assert pin not in one.content()

        watch(other, address)
        other.goto(address)
        for left in range(WRONG_OF_ONE - 1, 0, -1):  # with the one of the other phone, which has the same address here
            expect(other.get_by_label("six figures")).to_have_value("")
            typed(other, other_pin)
            expect(other.get_by_role("alert")).to_have_text(WRONG if left > 1 else SHUT)
        typed(other, pin)
        expect(other.get_by_role("alert")).to_have_text(SHUT)
        other.goto(address)
        expect(other.get_by_label("six figures")).to_be_visible()
        one.goto(address)
        expect(one.get_by_role("heading", level=1)).to_have_text("Jobs")
        assert len(one.context.cookies()) == 1
        assert one.context.cookies()[0]["httpOnly"]
        for each in (one, other):
            each.context.close()
        desk.close()
