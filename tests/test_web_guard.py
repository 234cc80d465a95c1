"""What the bench refuses before a page sees it."""

from __future__ import annotations

import pytest

from cutplan.web.guard import MOST_BYTES
from tests.benches import HERE, browser

pytestmark = pytest.mark.usefixtures("parts")


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8321", 200),
        ("localhost:8321", 200),
        ("[::1]:8321", 200),
        # A name of another site that leads here, as an attacker can make it (DNS rebinding).
        ("bench.example", 421),
        ("127.0.0.1.bench.example", 421),
        ("192.168.0.7:8321", 421),
        ("[::1", 421),
        ("", 421),
    ],
)
def test_only_addresses_of_this_computer_lead_here(host: str, status: int) -> None:
    with browser() as at:
        assert at.get("/state.json", headers={"host": host}).status_code == status


def test_in_a_network_any_number_leads_here_and_no_name() -> None:
    with browser(numbers=True) as at:
        assert at.get("/state.json", headers={"host": "192.168.0.7:8321"}).status_code == 200
        assert at.get("/state.json", headers={"host": "bench.example"}).status_code == 421


@pytest.mark.parametrize("origin", ["", "null", "http://bench.example", "http://127.0.0.1:9", "https://127.0.0.1:8321"])
def test_what_changes_something_comes_from_a_page_of_this_server(origin: str) -> None:
    with browser() as at:
        answer = at.post("/job/frame.csv/plan", headers={"origin": origin})
        assert answer.status_code == 403
        assert not at.app.state.runs.of("frame.csv")  # type: ignore[attr-defined]


def test_what_is_sent_says_its_length_and_is_not_endless() -> None:
    with browser() as at:
        assert at.post("/job/frame.csv/tick", content=iter([b"plan=1"])).status_code == 411
        assert at.post("/job/frame.csv/tick", content=b"x" * (MOST_BYTES + 1)).status_code == 413


def test_every_answer_says_what_a_browser_may_do_with_it() -> None:
    with browser() as at:
        for place in ("/", "/static/bench.js", "/no/such/page"):
            headers = at.get(place).headers
            assert "default-src 'none'" in headers["content-security-policy"], place
            assert "unsafe" not in headers["content-security-policy"], place
            assert headers["x-content-type-options"] == "nosniff", place
        assert HERE.startswith("http://127.")
