"""Sizes to choose from: those the tables here list."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cache
from importlib.resources import files

from cutplan.sections.section import Family


@cache
def _listed() -> tuple[tuple[str, str], ...]:
    """Designation and standard of every size listed, in the tables' order, family by family."""
    found: dict[tuple[str, str], None] = {}
    for table in sorted((files("cutplan.sections") / "tables").iterdir(), key=lambda each: each.name):
        if table.name.startswith("sizes_"):
            rows = csv.DictReader(table.read_text(encoding="utf-8").splitlines())
            found.update(dict.fromkeys((row["designation"], row["standard"]) for row in rows))
    return tuple(found)


def usual_sizes(standard_of: Callable[[Family], str]) -> tuple[str, ...]:
    """Designations listed to the standard that a workshop uses for their family, in the order of the families."""
    order = {family.value: place for place, family in enumerate(Family)}
    sizes = [
        designation
        for designation, standard in _listed()
        if (word := designation.split(" ")[0]) in order and standard == standard_of(Family(word))
    ]
    return tuple(sorted(dict.fromkeys(sizes), key=lambda size: order[size.split(" ")[0]]))
