"""All addresses together: whatever is asked or sent, an answer that is no fault of the program."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from cutplan.model import Plan
from tests.benches import HERE, browser
from tests.effort import examples

PLACES = (
    "/", "/state.json", "/job/{}", "/job/{}/saw", "/job/{}/ticks.json", "/job/{}/ending", "/job/{}/planning",
    "/job/{}/planning/events", "/job/{}/file/plan.json", "/job/{}/list", "/new", "/rack", "/rack/piece/{}", "/code/{}",
    "/workshop", "/workshop/{}", "/merchants", "/prices", "/phones", "/pin",
)  # fmt: skip
WRITES = (
    *tuple(
        f"/job/frame.csv/{what}"
        for what in ("tick", "away", "ordered", "received", "record", "close", "planning/stop", "list")
    ),
    "/new",
    "/pin",
    "/workshop",
    "/workshop/section",
    "/merchants",
    "/prices",
    "/prices/begin",
    "/rack/add",
    "/rack/undo",
    "/rack/piece/A1/move",
    "/rack/piece/A1/scrap",
    "/rack/piece/A1/measure",
)
FIELDS = (
    "plan", "bar", "part", "copy", "step", "measured", "id", "place", "others", "merchant", "number", "name",
    "rows", "section", "length", "quantity", "what", "seen", "c1-3", "pin", "saw.kerf", "1.name",
    "1.out", "column", "over",
)  # fmt: skip
TYPED = st.one_of(
    st.sampled_from(["", "1", "A", "cut", "spoiled", "uncut", "all", "ticked", "Yard", "6 m", "0", "\x00", "é" * 300]),
    st.text(max_size=20),
)


@pytest.fixture(scope="module")
def at(once_planned: tuple[Path, Plan], tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    folder = tmp_path_factory.mktemp("fuzzed")
    shutil.copytree(once_planned[0], folder, dirs_exist_ok=True)
    with pytest.MonkeyPatch.context() as here:
        here.chdir(folder)
        with browser() as client:
            yield client


@given(place=st.sampled_from(PLACES), job=st.one_of(st.just("frame.csv"), st.text(max_size=12)), asked=TYPED)
@settings(max_examples=examples(200), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_address_is_a_fault(at: TestClient, place: str, job: str, asked: str) -> None:
    from urllib.parse import quote

    answer = at.get(place.format(quote(job)), params={"bar": asked})
    assert answer.status_code < 500, answer.text


@given(place=st.sampled_from(WRITES), sent=st.dictionaries(st.sampled_from(FIELDS), TYPED), as_json=st.booleans())
@settings(max_examples=examples(200), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_that_is_sent_is_a_fault(at: TestClient, place: str, sent: dict[str, str], as_json: bool) -> None:
    body = {"json": sent} if as_json else {"data": sent}
    answer = at.post(place, follow_redirects=False, **body)  # type: ignore[arg-type]
    assert answer.status_code < 500, answer.text


@given(
    body=st.binary(max_size=60), kind=st.sampled_from(["application/json", "multipart/form-data; boundary=x", "a/b"])
)
@settings(max_examples=examples(100), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_body_is_a_fault(at: TestClient, body: bytes, kind: str) -> None:
    answer = at.post("/job/frame.csv/tick", content=body, headers={"content-type": kind, "origin": HERE})
    assert answer.status_code < 500, answer.text
