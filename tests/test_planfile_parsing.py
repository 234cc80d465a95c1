"""From plain values back to the same Job and Plan, and values that cannot be either."""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Earlier, GivenCopy
from cutplan.planfile import from_document, to_document
from cutplan.planfile.files import schema_problems
from cutplan.problems import ProblemsFound
from tests.test_planfile_document import every_feature, told_apart


def test_the_rest_of_an_earlier_plan() -> None:
    job, plan = every_feature()
    job = replace(job, earlier=Earlier(bars=12, copies=(GivenCopy("P1", 4), GivenCopy("Q1", 9)), stay=(3, 11)))
    document = to_document(job, plan)
    assert schema_problems(document) == ()
    assert from_document(document) == (job, plan)
    document["job"]["earlier"]["stay"] = [13]
    with pytest.raises(ProblemsFound, match="a bar that stays has a number that was given"):
        from_document(document)


def test_round_trip() -> None:
    tiny, plan = every_feature()
    assert from_document(to_document(tiny, plan)) == (tiny, plan)
    assert from_document(to_document(*told_apart())) == told_apart()


def set_key(*path: Any, to: Any) -> Callable[[Any], None]:
    def change(document: Any) -> None:
        for step in path[:-1]:
            document = document[step]
        document[path[-1]] = to

    return change


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (set_key("parts", 1, "mark", to="P1"), "a mark is used twice"),
        (set_key("parts", 0, "section", to="SHS 1x1x1"), "nothing is called 'SHS 1x1x1'"),
        (set_key("sections", 0, "designation", to="SHS 41x41x3"), "should be called 'SHS 41x41x3 to EN 10219-2'"),
        (set_key("sections", 0, "thickness", to="90"), "dimensions out of order"),
        (set_key("offers", 0, "counted", to="6001"), "A: the length counted on"),
        (set_key("parts", 1, "depth", to="0"), "P2: a mitre needs the depth"),
        (set_key("groups", 0, "bars", 0, "cuts", to=[]), "bar 1 holds no part"),
        (set_key("workshop", "saw", "end_trim", to="1"), "at least one kerf"),
        (set_key("workshop", "unit", to="yd"), "unit is mm or in"),
        (set_key("result", "cost", to="31.50"), "shortest spelling"),
    ],
)
def test_values_that_cannot_be_a_plan(change: Callable[[Any], None], told: str) -> None:
    document = copy.deepcopy(to_document(*every_feature()))
    change(document)
    with pytest.raises(ProblemsFound) as refused:
        from_document(document, "old.json")
    (problem,) = refused.value.problems
    assert problem.where == "old.json"
    assert told in problem.found
