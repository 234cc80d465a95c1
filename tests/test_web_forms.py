"""What a page sends."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.web.forms import Form


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
