"""What the bench refuses before a page sees it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.routing import Route

from cutplan.web.bench import bench
from cutplan.web.guard import CONTENT_POLICY, MOST_BYTES
from tests.benches import HERE, browser, words

pytestmark = pytest.mark.usefixtures("parts")
WRITES = sorted({one.path for one in bench().routes if isinstance(one, Route) and "POST" in (one.methods or ())})


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


@pytest.mark.parametrize("place", WRITES)
def test_every_address_that_takes_a_form_is_guarded(place: str) -> None:
    """Asked for each route there is, so that one more is guarded too: a foreign host, a foreign page, and no length."""
    at_job = place.replace("{job:path}", "frame.csv").replace("{mark}", "A1").replace("{table}", "merchant")
    assert "{" not in at_job
    with browser() as at:
        before = sorted(path for path in Path().rglob("*"))
        for headers, status in (
            ({"host": "bench.example"}, 421),
            ({"origin": "http://bench.example"}, 403),
        ):
            answer = at.post(at_job, headers=headers, data={"name": "a", "rows": "Mark"}, follow_redirects=False)
            assert answer.status_code == status, at_job
        assert at.post(at_job, content=iter([b"name=a"])).status_code == 411
        assert sorted(path for path in Path().rglob("*")) == before


@pytest.mark.parametrize(
    ("headers", "content", "status", "told"),
    [
        ({"host": "bench.example"}, b"a=1", 421, "open the one it printed"),
        ({"origin": "http://bench.example"}, b"a=1", 403, "open its address again"),
        ({}, iter([b"a=1"]), 411, "how long it is"),
        ({}, b"x" * (MOST_BYTES + 1), 413, f"At most {MOST_BYTES // 1024 // 1024} MB"),
    ],
)
def test_what_is_refused_is_told_on_a_page_as_strict_as_all(
    headers: dict[str, str], content: Any, status: int, told: str
) -> None:
    with browser() as at:
        answer = at.post("/rack/undo", headers=headers, content=content)
        assert answer.status_code == status
        assert told in words(answer.text)
        assert "To the jobs" in answer.text
        assert answer.headers["content-security-policy"] == CONTENT_POLICY
        assert answer.headers["content-type"].startswith("text/html")


def test_every_answer_says_what_a_browser_may_do_with_it() -> None:
    with browser() as at:
        for place in ("/", "/static/bench.js", "/no/such/page"):
            headers = at.get(place).headers
            assert "default-src 'none'" in headers["content-security-policy"], place
            assert "unsafe" not in headers["content-security-policy"], place
            assert headers["x-content-type-options"] == "nosniff", place
        assert HERE.startswith("http://127.")
