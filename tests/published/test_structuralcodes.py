"""Open sections against the outlines of structuralcodes: drawn with fillets, toes and tapers, by other people.

Every profile of theirs that the tables here hold, and all of their angles, which are computed here by formula. Area is
held to 0.5 % and outline to 1 %; what is further off is listed with the reason, and every exception is needed.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import Any

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.sections import read_section
from cutplan.sections.rolled import Shape, find, rolled_figures, shapes
from cutplan.sections.section import Family
from cutplan.sections.spelling import parse
from cutplan.units import MM

pytestmark = pytest.mark.thorough

# Their release 0.7.2 rounds the dimensions of UC to whole millimetres and gives them root radii of 13 and 20 mm; the
# masses that mills print need the 10.2, 12.7 and 15.2 mm of BS 4-1.
ROOT_RADIUS_OF_UC = {
    *("UC203x203x46", "UC203x203x52", "UC203x203x60"),
    *("UC254x254x73", "UC254x254x89", "UC254x254x107", "UC254x254x132", "UC254x254x167"),
    "UC305x305x97",
}
# Sizes in inches with legs that EN 10056-1 does not list, whose radii are borrowed here.
BORROWED_RADII = {f"L203x203x{thickness}" for thickness in ("19", "22.2", "25.4", "28.6")}

COUNTS = {"IPE": 18, "HE": 72, "UPN": 18, "UPE": 14, "UB": 48, "UC": 14}
"""How many of each series both have; all of theirs but the larger beams."""


@cache
def theirs() -> Any:
    """Their profiles; loading them takes a second of every worker that collects tests."""
    from structuralcodes.geometry import profiles

    return profiles


def held_here(series: str) -> dict[str, Shape]:
    """Our shape by their name, for every profile of a series that both have."""
    found = {name: find(name) for name in getattr(theirs(), series).parameters}
    return {name: shape for name, shape in found.items() if shape is not None and shape.standard == "EN 10365"}


def outline_of(series: str, name: str) -> Any:
    return getattr(theirs(), series)(name).polygon


@pytest.mark.parametrize("series", COUNTS)
def test_rolled_shapes(series: str) -> None:
    both = held_here(series)
    assert len(both) == COUNTS[series]
    further_off = set()
    for name, shape in both.items():
        polygon, found = outline_of(series, name), rolled_figures(shape.designation)
        area, outline = float(found.area) / polygon.area, float(found.outline) / polygon.length
        if abs(area - 1) > 0.005 or abs(outline - 1) > 0.01:
            further_off.add(name)
            assert float(found.area) == pytest.approx(polygon.area, rel=0.025)
    assert further_off == {name for name in both if name in ROOT_RADIUS_OF_UC}


def test_angles() -> None:
    names = [(series, name) for series in ("L", "LI") for name in getattr(theirs(), series).parameters]
    assert len(names) == 95
    further_off = set()
    for series, name in names:
        polygon = outline_of(series, name)
        section = read_section(name, standard="EN 10056-1", standard_of=DEFAULT_STANDARD.__getitem__)
        assert section.area_um2 / 1e6 == pytest.approx(polygon.area, rel=0.005)
        if abs(section.surface_mm2_per_metre / 1e3 / polygon.length - 1) > 0.01:
            further_off.add(name)
    assert further_off == BORROWED_RADII


def test_angle_sizes_and_radii_that_name_this_source_are_in_it() -> None:
    both = (*theirs().L.parameters.values(), *theirs().LI.parameters.values())
    sizes_of_theirs = {(each["h"], each["b"], each["t"]): each["r1"] for each in both}
    sizes = [row for row in _rows("sizes_angle.csv") if "structuralcodes" in row["source"]]
    assert len(sizes) > 70
    for row in sizes:
        name = parse(row["designation"])
        assert tuple(side / MM for side in (name.height, name.width, name.thickness)) in sizes_of_theirs
    radii = [row for row in _rows("angle_radii.csv") if "structuralcodes" in row["source"]]
    assert len(radii) > 20
    for row in radii:
        legs = float(row["long_leg"]), float(row["short_leg"])
        assert {root for size, root in sizes_of_theirs.items() if size[:2] == legs} == {float(row["root_radius"])}


def _rows(table: str) -> list[dict[str, str]]:
    text = (files("cutplan.sections") / "tables" / table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def test_american_beams() -> None:
    """Theirs have metric names (W200x46.1 is W8X31) and dimensions rounded to 0.1 mm and fillets of their own."""
    outlines = {name: outline_of("W", name) for name in theirs().W.parameters if _metric(name)[0] <= 420}
    matched = 0
    for shape in shapes(Family.BEAM).values():
        if shape.series != "W":
            continue
        near = [
            polygon
            for name, polygon in outlines.items()
            if abs(_metric(name)[1] / float(shape.mass) - 1) < 0.01
            and abs(theirs().W.parameters[name]["h"] - float(shape.height)) < 2
            and abs(theirs().W.parameters[name]["b"] - float(shape.width)) < 2
        ]
        if len(near) == 1:
            matched += 1
            found = rolled_figures(shape.designation)
            assert float(found.area) == pytest.approx(near[0].area, rel=0.02), shape.designation
            assert float(found.outline) == pytest.approx(near[0].length, rel=0.02), shape.designation
    assert matched > 60


def _metric(name: str) -> tuple[float, float]:
    """Nominal depth in mm and mass in kg/m of a metric W name."""
    depth, *_, mass = name.removeprefix("W").split("x")
    return float(depth), float(mass.rstrip("#"))
