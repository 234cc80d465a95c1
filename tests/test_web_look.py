"""Pages: every text escaped, nothing in them that the content policy forbids, refusals as pages and as values."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cutplan.web.look import whole
from tests.benches import JOB, VALUES, browser

pytestmark = pytest.mark.usefixtures("parts_planned")


def test_what_is_typed_is_text_and_never_part_of_a_page() -> None:
    Path("<b>bad.csv").write_text("Mark,Quantity,Section,Length\n<script>x</script>,1,<img src=x>,1200\n")
    with browser() as at:
        page = at.get("/job/%3Cb%3Ebad.csv").text
    assert "&lt;img src=x&gt;" in page
    assert "<img" not in page
    assert "<b>bad" not in page


@pytest.mark.parametrize("place", ["/", JOB, f"{JOB}/saw", f"{JOB}/ending", "/nowhere"])
def test_no_page_has_a_style_or_a_script_of_its_own(place: str) -> None:
    with browser() as at:
        page = at.get(place).text
    assert "style=" not in page
    assert "<style" not in page
    assert not re.search(r"<script(?! src=\"/static/bench.js\")", page)
    assert not re.search(r"\son[a-z]+=", page)
    # The names of XML are no addresses.
    assert not re.findall(r"https?://(?!www\.w3\.org/2000/svg)\S+", page)


def test_a_refusal_is_a_page_or_values_as_asked_for() -> None:
    with browser() as at:
        sent = {"plan": "another", "step": "cut", "part": "A", "bar": "1", "copy": "1"}
        as_page = at.post(f"{JOB}/tick", data=sent)
        as_values = at.post(f"{JOB}/tick", data=sent, headers=VALUES)
    assert as_page.status_code == as_values.status_code == 409
    assert "a plan that is another by now" in as_page.text
    assert as_values.json()["problems"][0]["code"] == "bench.changed"


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("cut 3 3/4 off", "cut 3_3/4 off"),
        ("of ~7' 10 13/16\", 2 x 1/2", "of ~7'_10_13/16\", 2 x 1/2"),
        ("bar 2, 1200 mm", "bar 2, 1200 mm"),
        ("tool 3 1/4, 2 off", "tool 3_1/4, 2 off"),
    ],
)
def test_no_line_ends_within_a_length(text: str, kept: str) -> None:
    assert whole(text) == kept.replace("_", "\N{NO-BREAK SPACE}")
