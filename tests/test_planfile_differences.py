"""Lists read again are held against the plan file: what somebody typed cannot be changed in the file unnoticed."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Job, Plan
from cutplan.planfile import differences_from, files_written_again, to_document
from tests.effort import THOROUGH
from tests.plan_values import changed, full_job, others_than, pattern, values_of
from tests.properties.test_tampering_files import FROM_THE_LISTS


@pytest.fixture(scope="module")
def full() -> tuple[Job, Plan]:
    return full_job()


@pytest.fixture(scope="module")
def document(full: tuple[Job, Plan]) -> dict[str, Any]:
    return to_document(*full)


def test_lists_that_say_the_same(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    assert differences_from(full[0], document) == ()
    assert files_written_again(full[0], document) == ()


def test_every_value_that_comes_from_the_lists_is_compared(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    """All of them: also what nothing else in the file could give away."""
    of_the_job = {"job", "workshop", "sections", "parts", "marking", "offers", "offcuts", "others"}
    missed, seen = set(), set()
    every = list(values_of(document))
    for place, value in every if THOROUGH else {pattern(place): (place, value) for place, value in every}.values():
        if place[0] in of_the_job:
            seen.add(pattern(place))
            for other in others_than(value):
                if other != value:
                    with changed(document, place, other):
                        missed |= {pattern(place)} if not differences_from(full[0], document) else set()
    assert missed == {"job.files.sha256"}
    assert seen >= FROM_THE_LISTS, "the sample has something in every field of the table"


def test_another_file_is_named(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    with changed(document, ("job", "files", 0, "sha256"), "0" * 64):
        assert files_written_again(full[0], document) == ("liste für Rahmen.csv",)


def test_what_came_and_what_went_is_told_once(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    fewer = copy.deepcopy(document)
    gone = fewer["offers"].pop(1)["id"]
    assert differences_from(full[0], fewer) == (f"offers[{gone}]: is in the lists and not in the plan file",)
    without = replace(full[0], offers=(full[0].offers[0], full[0].offers[2]))
    assert differences_from(without, document) == (f"offers[{gone}]: is no longer in the lists",)


def test_another_order_is_told(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    turned = replace(full[0], offers=full[0].offers[::-1])
    assert differences_from(turned, document) == ("offers: stand in another order in the lists",)


def test_the_place_and_both_values_are_named(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    with changed(document, ("parts", 1, "note"), "left hand"):
        assert differences_from(full[0], document) == (
            'parts.P2.note: "left hand" is stated, the lists say "both hands"',
        )


def test_offcuts_that_the_plan_leaves_alone_may_come_and_go(full: tuple[Job, Plan], document: dict[str, Any]) -> None:
    emptied = replace(full[0], offcuts=())
    about = "offcuts[R1]: is no longer in the lists"
    assert about in differences_from(emptied, document)
    assert about in differences_from(emptied, document, {"R1"})
    assert about not in differences_from(emptied, document, set())
