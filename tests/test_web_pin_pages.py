"""Phones in the network: the PIN, the cookie, and too many wrong ones."""

from __future__ import annotations

import pytest

from cutplan.web.pin_pages import COOKIE, WRONG_OF_ALL, WRONG_OF_ONE, Door
from tests.benches import VALUES, browser, words

pytestmark = pytest.mark.usefixtures("parts")
PHONE = "192.168.0.9"


def test_a_phone_is_asked_for_the_pin_and_let_in_by_it() -> None:
    door = Door(address="http://192.168.0.2:8321/")
    with browser(numbers=True, door=door, host=PHONE) as phone:
        assert phone.get("/").url.path == "/pin"
        assert phone.get("/state.json", headers=VALUES).status_code == 403
        refused = phone.post("/rack/undo")
        assert refused.status_code == 403
        assert "The PIN first" in words(refused.text)
        assert phone.post("/pin", data={"pin": "x"}).status_code == 403
        answer = phone.post("/pin", data={"pin": door.pin}, follow_redirects=False)
        cookie = answer.headers["set-cookie"].lower()
        assert "httponly" in cookie
        assert "samesite=strict" in cookie
        assert "Jobs" in phone.get("/").text
        assert phone.get("/phones").status_code == 404, "the PIN stands at the desk alone"


@pytest.mark.parametrize("cookie", ["", "phone", "phone.x.y", "phone.aaaa.bbbbbbbbbbbb"])
def test_a_cookie_of_somebody_else_lets_nobody_in(cookie: str) -> None:
    with browser(numbers=True, host=PHONE) as phone:
        phone.cookies.set(COOKIE, cookie)
        assert phone.get("/").url.path == "/pin"
    assert not Door().knows(Door().signer.sign("phone").decode())


def test_after_some_wrong_ones_the_right_one_is_not_looked_at() -> None:
    door = Door()
    for _ in range(WRONG_OF_ONE):
        assert not door.opens(PHONE, "wrong")
    assert door.shut(PHONE)
    assert not door.opens(PHONE, door.pin)
    assert door.opens("192.168.0.10", door.pin), "another phone is"
    for number in range(WRONG_OF_ALL):
        door.opens(f"192.168.1.{number}", "wrong")
    assert door.shut("192.168.0.11")


def test_the_desk_shows_pin_and_code_and_needs_none() -> None:
    door = Door(address="http://192.168.0.2:8321/")
    with browser(door=door) as at:
        page = at.get("/phones").text
        assert f"{door.pin[:3]} {door.pin[3:]}" in words(page)
        assert "<svg" in page
        assert len(door.pin) == 6
        assert door.pin.isdecimal()
    with browser() as at:
        assert "for this computer alone" in at.get("/phones").text


@pytest.mark.parametrize(
    ("asked", "then"),
    [
        ("/code/bar?plan=0a1b2c3d&bar=2", "/code/bar?plan=0a1b2c3d&bar=2"),
        ("//bench.example/", "/"),
        ("/\\bench.example/", "/"),
        ("http://bench.example/", "/"),
        ("/\tjob", "/"),
    ],
)
def test_what_a_phone_asked_for_is_opened_once_it_is_let_in_and_nothing_elsewhere(asked: str, then: str) -> None:
    door = Door(address="http://192.168.0.2:8321/")
    with browser(numbers=True, door=door, host=PHONE) as phone:
        if asked == then:
            sent_to = phone.get(asked, follow_redirects=False).headers["location"]
            assert sent_to == "/pin?to=/code/bar%3Fplan%3D0a1b2c3d%26bar%3D2"
            assert f'value="{asked.replace("&", "&amp;")}"' in phone.get(sent_to).text
        answer = phone.post("/pin", data={"pin": door.pin, "to": asked}, follow_redirects=False)
        assert answer.headers["location"] == then
