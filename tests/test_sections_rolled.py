"""Channels, beams and tees: tables in order, and the formula of the outline against outlines drawn point by point."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from cutplan.sections.listed_sizes import rows_of
from cutplan.sections.rolled import SERIES, Shape, bare, find, rolled_figures, shapes
from cutplan.sections.section import Family
from cutplan.sections.standards import STANDARDS
from tests.test_sections_geometry import Point, arc, shoelace, walk

ROLLED = [shape for family in (Family.CHANNEL, Family.BEAM) for shape in shapes(family).values()]


@pytest.mark.parametrize("table", ["rolled_channels.csv", "rolled_beams.csv"])
def test_every_row_is_found_under_its_own_designation(table: str) -> None:
    rows = rows_of(table)
    for row in rows:
        shape = find(row["designation"])
        assert shape is not None
        assert (shape.designation, shape.standard, shape.source) == (row["designation"], row["standard"], row["source"])
    assert len({row["designation"] for row in rows}) == len(rows)


def test_every_shape_is_sound_and_has_a_source() -> None:
    for shape in ROLLED:
        assert shape.series in SERIES[shape.family]
        assert shape.standard in STANDARDS[shape.family]
        assert shape.source
        assert 0 < shape.web < shape.flange * 3 < shape.height
        assert shape.toe_radius <= shape.root_radius < shape.width / 3
        assert bool(shape.taper) == (shape.series in ("UPN", "C", "MC", "S", "ISMB", "ISMC"))


def test_numbers_are_compared_without_trailing_zeros() -> None:
    assert bare("150UB14.0") == bare("150 ub 14") == "150UB14"
    assert bare("UB 203x133x25") == "UB203X133X25"
    assert find("IPE 90") is None


def half_flange(shape: Shape, reach: float, upper: bool) -> list[Point]:
    """Inner edge of one flange to the right of a web face at x = 0, from the web outwards; y up from the outer face."""
    slope, flange = float(shape.taper), float(shape.flange)
    root, toe = float(shape.root_radius), float(shape.toe_radius)
    angle = math.degrees(math.atan(slope))
    at_web = flange + slope * float(shape.flange_at)

    def edge(x: float) -> float:
        return at_web - slope * x

    secant = math.sqrt(1 + slope**2)
    # The fillet touches the web (x = 0) and the sloped face; its centre lies one radius from both.
    centre_root = (root, edge(root) + root * secant)
    centre_toe = (reach - toe, edge(reach - toe) - toe * secant)
    points = [
        *arc(centre_root, root, 180, 90 - angle),
        *arc(centre_toe, toe, 90 - angle, -(90 - angle)),
        (reach, 0.0),
    ]
    return points if upper else [(x, -y) for x, y in points]


def drawn(shape: Shape) -> tuple[float, float]:
    """Area and outline of a channel or beam, drawn as a polygon."""
    height, width, web = float(shape.height), float(shape.width), float(shape.web)
    if shape.family is Family.CHANNEL:
        lower = [(web + x, y) for x, y in half_flange(shape, width - web, True)]
        upper = [(x, height - y) for x, y in lower]
        polygon = [(0.0, 0.0), *reversed(lower), *upper, (0.0, height)]
    else:
        right = [(web / 2 + x, y) for x, y in half_flange(shape, (width - web) / 2, True)]
        left = [(-x, y) for x, y in right]
        polygon = [
            *reversed(right),
            *[(x, height - y) for x, y in right],
            *[(x, height - y) for x, y in reversed(left)],
            *left,
        ]
    return shoelace(polygon), walk(polygon)


@pytest.mark.parametrize(
    "designation", ["IPE 100", "HEA 200", "UB 203x133x25", "200UB25.4", "PFC 100x50x10", "UPE 100", "100PFC"]
)
def test_parallel_flanges_equal_their_drawn_outline(designation: str) -> None:
    shape = find(designation)
    assert shape is not None
    found = rolled_figures(designation)
    area, outline = drawn(shape)
    assert float(found.area) == pytest.approx(area, rel=1e-5)
    assert float(found.outline) == pytest.approx(outline, rel=1e-5)
    assert found.mass_area == found.area


@pytest.mark.parametrize("designation", ["UPN 80", "UPN 100", "UPN 200", "ISMC 100", "ISMB 150"])
def test_taper_flanges_have_the_surface_of_their_drawn_outline_and_the_area_of_the_table(designation: str) -> None:
    shape = find(designation)
    assert shape is not None
    found = rolled_figures(designation)
    area, outline = drawn(shape)
    assert float(found.outline) == pytest.approx(outline, rel=1e-4)
    assert found.area == shape.area
    # IS 808 does not say at which point its flanges are measured.
    assert float(found.area) == pytest.approx(area, rel=0.013 if designation.startswith("IS") else 0.005)


def test_american_shapes_weigh_what_their_name_says() -> None:
    # W8X31: 31 lb/ft; 1 lb = 0.45359237 kg, 1 ft = 0.3048 m (NIST Handbook 44, appendix C).
    for designation, pounds in (("W8X31", "31"), ("C4X5.4", "5.4"), ("MC6X12", "12"), ("S3X5.7", "5.7")):
        mass = float(rolled_figures(designation).mass_area) * 7850 / 10**6
        assert mass == pytest.approx(float(pounds) * 0.45359237 / 0.3048, abs=1e-4)


def test_a_tee_is_half_its_beam_with_the_cut_face_to_paint() -> None:
    beam, tee = rolled_figures("IPE 200"), rolled_figures("T from IPE 200")
    assert tee.area * 2 == beam.area
    assert tee.mass_area * 2 == beam.mass_area
    assert tee.height * 2 == beam.height == 200
    assert tee.outline == beam.outline / 2 + Fraction("5.6")
    assert "half of its beam" in tee.basis


def test_what_is_in_no_table_is_a_slip_of_the_program() -> None:
    with pytest.raises(ValueError, match="in no table"):
        rolled_figures("IPE 90")


def test_every_number_has_its_source() -> None:
    details = {detail.what: detail for detail in rolled_figures("UPN 100").details}
    assert details["flange thickness"].value == "8.5 mm"
    assert list(details) == [
        *("height", "flange width", "web thickness", "flange thickness", "root radius", "toe radius"),
        *("area", "mass", "surface"),
    ]
    assert all(detail.source for detail in details.values())
