"""The tables in sections/tables: every row has a source, is spelled the one way and belongs to a known standard."""

from __future__ import annotations

import csv
from importlib.resources import files

import pytest

from cutplan.sections.listed_sizes import angle_radii, size_source
from cutplan.sections.section import Family
from cutplan.sections.spelling import parse
from cutplan.sections.standards import STANDARDS

SIZES = ["sizes_hollow.csv", "sizes_angle.csv", "sizes_solid.csv"]


def rows(table: str) -> list[dict[str, str]]:
    text = (files("cutplan.sections") / "tables" / table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.mark.parametrize("table", SIZES)
def test_sizes_are_spelled_the_one_way_and_found(table: str) -> None:
    listed = rows(table)
    assert len({(row["standard"], row["designation"]) for row in listed}) == len(listed) > 0
    for row in listed:
        name = parse(row["designation"])
        assert name.designation == row["designation"]
        assert row["standard"] in STANDARDS[name.family]
        assert row["source"]
        assert size_source(name.family, row["designation"], row["standard"]) == row["source"]


def test_size_not_listed_to_a_standard_has_no_source() -> None:
    assert size_source(Family.SHS, "SHS 40x40x3", "EN 10219-2")
    assert size_source(Family.SHS, "SHS 41x41x3", "EN 10219-2") == ""
    assert size_source(Family.SHS, "SHS 40x40x3", "ASTM A500") == ""


def test_angle_radii_fit_their_legs_and_have_a_source() -> None:
    table = rows("angle_radii.csv")
    assert all(row["source"] for row in table)
    for standard in ("EN 10056-1", "AS/NZS 3679.1", "IS 808"):
        radii = angle_radii(standard)
        assert len(radii) == sum(row["standard"] == standard for row in table) > 0
        for (long_leg, short_leg), found in radii.items():
            root, toe = found.root, found.toe
            assert long_leg >= short_leg > root + toe > 0
            assert toe <= root
    assert angle_radii("EN 1") == {}
