"""What a page sends."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.web.forms import Form
from tests.benches import VALUES, browser


def test_a_field_that_was_not_sent_is_blank() -> None:
    assert Form({"place": "  left shelf "}).text("place") == "left shelf"
    assert Form({}).text("place") == ""


@pytest.mark.parametrize("typed", ["", "x", "-1", "1.5", "12345678", "²", "٣"])
def test_a_number_is_a_whole_number_or_refused_by_its_field(typed: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        Form({"bar": typed}).number("bar")
    (problem,) = refused.value.problems
    assert (problem.code, problem.where, problem.found) == ("bench.field", "bar", typed)
    assert Form({"bar": "12"}).number("bar") == 12


@pytest.mark.usefixtures("parts")
@pytest.mark.parametrize("place", ["/new", "/pin", "/rack/add", "/workshop"])
@pytest.mark.parametrize(
    ("body", "where", "found"),
    [(r'{"rows": "a\ud800"}', "rows", r"a\ud800"), (r'{"\udc00": "a"}', r"\udc00", "a")],
)
def test_half_a_letter_is_refused_wherever_it_is_sent(place: str, body: str, where: str, found: str) -> None:
    with browser() as at:
        answer = at.post(place, content=body, headers={**VALUES, "content-type": "application/json"})
    assert answer.status_code == 400
    (problem,) = answer.json()["problems"]
    assert (problem["code"], problem["where"], problem["found"]) == ("bench.field", where, found)
