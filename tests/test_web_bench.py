"""All addresses together: whatever is asked or sent, an answer that is no fault of the program."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.routing import Mount, Route
from starlette.testclient import TestClient

from cutplan import web
from cutplan.model import Plan
from cutplan.web import plan_runs
from cutplan.web.bench import bench
from tests.benches import HERE, browser
from tests.effort import examples

ROUTES = [route for route in bench().routes if isinstance(route, Route)]
"""Every address there is: one that is added is asked and sent to as well."""
PLACES = sorted({route.path for route in ROUTES if "GET" in (route.methods or ())})
WRITES = sorted({route.path for route in ROUTES if "POST" in (route.methods or ())})
ASKED = re.compile(r'form\.(?:text|number)\(\s*"([a-z_]+)"')
FIELDS = (
    *sorted({name for path in Path(web.__path__[0]).glob("*.py") for name in ASKED.findall(path.read_text())}),
    # Cells of a list and keys of the workshop file, which are named by their place.
    "c1-3", "saw.kerf", "1.name", "1.out", "column", "over",
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
        here.setattr(plan_runs, "MOST_AT_ONCE", 0)  # a search is asked for, and no process is started
        with browser() as client:
            yield client


JOBS = st.one_of(st.just("frame.csv"), st.text(max_size=12))
OTHERS = st.one_of(st.sampled_from(["A1", "plan.json", "part", "rack", "section"]), st.text(max_size=12))


def address(place: str, job: str, other: str) -> str:
    """A route's path with what stands in it filled in."""
    return re.sub(r"\{(\w+)[^}]*\}", lambda found: quote(job if found[1] == "job" else other), place)


def test_every_route_is_tried_and_every_field_sent() -> None:
    assert len(ROUTES) == sum(1 for route in bench().routes if not isinstance(route, Mount))
    assert {"/", "/job/{job:path}/saw", "/job/{job:path}/drill"} <= set(PLACES)
    assert {"/job/{job:path}/tick", "/job/{job:path}/plan"} <= set(WRITES)
    assert {"plan", "bar", "part", "usable", "pin", "rows"} <= set(FIELDS)
    assert address("/job/{job:path}/file/{file}", "a b/c", "d") == "/job/a%20b/c/file/d"


@given(place=st.sampled_from(PLACES), job=JOBS, other=OTHERS, asked=TYPED)
@settings(max_examples=examples(200), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_address_is_a_fault(at: TestClient, place: str, job: str, other: str, asked: str) -> None:
    answer = at.get(address(place, job, other), params={"bar": asked, "plan": asked, "mark": asked})
    assert answer.status_code < 500, answer.text


@given(
    place=st.sampled_from(WRITES),
    job=JOBS,
    other=OTHERS,
    sent=st.dictionaries(st.sampled_from(FIELDS), TYPED),
    as_json=st.booleans(),
)
@settings(max_examples=examples(400), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_that_is_sent_is_a_fault(
    at: TestClient, place: str, job: str, other: str, sent: dict[str, str], as_json: bool
) -> None:
    body = {"json": sent} if as_json else {"data": sent}
    answer = at.post(address(place, job, other), follow_redirects=False, **body)  # type: ignore[arg-type]
    assert answer.status_code < 500, answer.text


@given(
    body=st.binary(max_size=60), kind=st.sampled_from(["application/json", "multipart/form-data; boundary=x", "a/b"])
)
@settings(max_examples=examples(100), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_body_is_a_fault(at: TestClient, body: bytes, kind: str) -> None:
    answer = at.post("/job/frame.csv/tick", content=body, headers={"content-type": kind, "origin": HERE})
    assert answer.status_code < 500, answer.text
