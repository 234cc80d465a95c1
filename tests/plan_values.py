"""A plan file with something in every list, and every one of its values changed to another that the schema takes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from cutplan.model import Job, Plan
from cutplan.planfile import schema
from cutplan.units import DEGREE
from tests.drilled import hole
from tests.first_fit import first_fit_plan
from tests.test_planfile_document import every_feature

Place = tuple[str | int, ...]
"""Keys and numbers from the whole document down to one value."""


def full_job() -> tuple[Job, Plan]:
    """Holes, a landing and a saw whose scale reads 90 at square, beside what else there is."""
    job, _ = every_feature()
    first, *rest = job.parts
    holes = (hole(100, size="M12 clear", note="from this side"), hole(300, face=3, through=False), hole(700, size=""))
    shop = replace(job.workshop, saw=replace(job.workshop.saw, square_reads=90 * DEGREE))
    hinge, *more = job.others
    hinge = replace(hinge, price_each=2_500_000)
    job = replace(job, parts=(replace(first, holes=holes), *rest), workshop=shop, others=(hinge, *more))
    return job, first_fit_plan(job)


def values_of(document: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every value that holds no others, with its place."""
    inner = document.items() if isinstance(document, dict) else enumerate(document)
    for key, value in inner:
        if isinstance(value, dict | list):
            yield from values_of(value, (*place, key))
        else:
            yield (*place, key), value


def others_than(value: Any) -> tuple[Any, ...]:
    """Values of the same kind: the next one, and every other word where there is a choice of words."""
    if isinstance(value, bool):
        return (not value,)
    if isinstance(value, int):
        return value + 1, max(0, value - 1)
    if value is None:
        return ("1",)
    if re.fullmatch(r"-?\d+(\.\d+)?", value):
        return str(int(float(value)) + 1), "0" if value != "0" else "2"
    choices = [each["enum"] for each in schema()["$defs"].values() if value in each.get("enum", ())]
    return (value + "x", *(word for words in choices for word in words if word != value))


@contextmanager
def changed(document: Any, place: Place, value: Any) -> Iterator[None]:
    """The document with another value at a place; the old one is put back."""
    node = document
    for step in place[:-1]:
        node = node[step]
    before, node[place[-1]] = node[place[-1]], value
    try:
        yield
    finally:
        node[place[-1]] = before


def pattern(place: Place) -> str:
    """A place with every number left out: ``parts.holes.face``."""
    return ".".join(step for step in place if isinstance(step, str))
