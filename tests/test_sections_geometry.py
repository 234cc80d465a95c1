"""Formulas of area and outline against an outline drawn point by point, and the rules of each standard."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from cutplan.problems import Refused
from cutplan.sections.geometry import AS_ACTUAL_THICKNESS, CORNERS, figures
from cutplan.sections.section import Family
from cutplan.sections.standards import EXTRUDED, STANDARDS
from cutplan.sections.values import PI

Point = tuple[float, float]


def arc(centre: Point, radius: float, start: float, turn: float, steps: int = 400) -> list[Point]:
    """Points on an arc; angles in degrees, ``turn`` negative for clockwise."""
    return [
        (
            centre[0] + radius * math.cos(math.radians(start + turn * i / steps)),
            centre[1] + radius * math.sin(math.radians(start + turn * i / steps)),
        )
        for i in range(steps + 1)
    ]


def shoelace(points: list[Point]) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True))) / 2


def walk(points: list[Point]) -> float:
    return sum(math.dist(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True))


def rounded_rectangle(height: float, width: float, radius: float) -> list[Point]:
    x, y = width / 2 - radius, height / 2 - radius
    return (
        arc((x, y), radius, 0, 90)
        + arc((-x, y), radius, 90, 90)
        + arc((-x, -y), radius, 180, 90)
        + arc((x, -y), radius, 270, 90)
    )


def angle_outline(a: float, b: float, t: float, root: float, toe: float) -> list[Point]:
    """Heel at the origin, legs along x (b) and y (a); toes rounded on the inside only."""
    return [
        (0.0, 0.0),
        (b, 0.0),
        *arc((b - toe, t - toe), toe, 0, 90),
        *arc((t + root, t + root), root, 270, -90),
        *arc((t - toe, a - toe), toe, 0, 90),
        (0.0, a),
    ]


def of(family: Family, standard: str, *sizes: float | str) -> tuple[float, float, float]:
    height, width, thickness = (Fraction(str(size)) for size in sizes)
    found = figures(family, height, width, thickness, standard)
    return float(found.area), float(found.mass_area), float(found.outline)


@pytest.mark.parametrize(
    ("standard", "sizes", "outside", "inside"),
    [
        ("EN 10219-2", (40, 40, 4), 8, 4),
        ("EN 10219-2", (200, 100, 8), 20, 12),
        ("EN 10219-2", (200, 200, 12.5), 37.5, 25),
        ("EN 10210-2", (60, 40, 4), 6, 4),
        ("AS/NZS 1163", (40, 40, 3), 6, 3),
        ("AS/NZS 1163", (40, 40, 4), 10, 6),
        ("IS 4923", (50, 25, 2.9), 5.8, 2.9),
    ],
)
def test_hollow_section_equals_its_drawn_outline(
    standard: str, sizes: tuple[float, float, float], outside: float, inside: float
) -> None:
    height, width, wall = sizes
    outer = rounded_rectangle(height, width, outside)
    inner = rounded_rectangle(height - 2 * wall, width - 2 * wall, inside)
    area, mass_area, outline = of(Family.SHS if height == width else Family.RHS, standard, *sizes)
    assert area == pytest.approx(shoelace(outer) - shoelace(inner), rel=2e-5)
    assert mass_area == area
    assert outline == pytest.approx(walk(outer), rel=1e-5)


def test_us_tube_has_area_on_the_design_wall_and_mass_on_the_nominal_wall() -> None:
    side, wall = 50.8, 6.35
    design = 0.93 * wall

    def tube(t: float) -> float:
        return shoelace(rounded_rectangle(side, side, 2 * t)) - shoelace(
            rounded_rectangle(side - 2 * t, side - 2 * t, t)
        )

    area, mass_area, outline = of(Family.SHS, "ASTM A500", "50.8", "50.8", "6.35")
    assert area == pytest.approx(tube(design), rel=2e-5)
    assert mass_area == pytest.approx(tube(wall), rel=2e-5)
    assert outline == pytest.approx(walk(rounded_rectangle(side, side, 2.25 * design)), rel=1e-5)
    round_area, round_mass_area, _ = of(Family.CHS, "ASTM A500", "48.26", "48.26", "3.683")
    assert round_area == pytest.approx(math.pi / 4 * (48.26**2 - (48.26 - 2 * 0.93 * 3.683) ** 2))
    assert round_mass_area == pytest.approx(math.pi / 4 * (48.26**2 - (48.26 - 2 * 3.683) ** 2))


@pytest.mark.parametrize(
    ("standard", "sizes", "thickness", "root", "toe"),
    [
        ("EN 10056-1", (50, 50, 5), 5, 7, 3.5),
        ("EN 10056-1", (75, 50, 6), 6, 7, 3.5),
        ("AS/NZS 3679.1", (50, 50, 5), 4.6, 6, 3),
        ("AS/NZS 3679.1", (100, 100, 10), 9.5, 8, 5),
        ("AS/NZS 3679.1", (50, 50, 6), 6, 6, 3),
        ("IS 808", (50, 50, 5), 5, 6, 0),
        ("ASTM A36", (50.8, 50.8, 6.35), 6.35, 0, 0),
    ],
)
def test_angle_equals_its_drawn_outline(
    standard: str, sizes: tuple[float, float, float], thickness: float, root: float, toe: float
) -> None:
    outline_points = angle_outline(sizes[0], sizes[1], thickness, root, toe)
    family = Family.EA if sizes[0] == sizes[1] else Family.UA
    area, mass_area, outline = of(family, standard, *sizes)
    assert area == pytest.approx(shoelace(outline_points), rel=2e-5)
    assert mass_area == area
    assert outline == pytest.approx(walk(outline_points), rel=1e-5)
    first, second, third = (Fraction(str(size)) for size in sizes)
    found = figures(family, first, second, third, standard)
    assert found.thickness == Fraction(str(thickness))
    assert found.radii_listed


def test_solid_sections_are_rectangle_and_circle() -> None:
    assert of(Family.FLAT, "EN 10058", 50, 6, 6) == (300, 300, 112)
    assert of(Family.SQUARE, "EN 10059", 12, 12, 12) == (144, 144, 48)
    area, _, outline = of(Family.ROUND, "EN 10060", 16, 16, 16)
    assert area == pytest.approx(math.pi * 64)
    assert outline == pytest.approx(math.pi * 16)
    area, _, outline = of(Family.CHS, "EN 10219-2", "48.3", "48.3", "3.2")
    assert area == pytest.approx(math.pi / 4 * (48.3**2 - 41.9**2))
    assert outline == pytest.approx(math.pi * 48.3)


def test_pi_is_carried_beyond_double_precision() -> None:
    # 3.14159265358979323846264338327950288... (Abramowitz and Stegun, Handbook of Mathematical Functions, table 1.1).
    assert abs(PI - Fraction("3.14159265358979323846264338327950288")) < Fraction(1, 10**28)


@pytest.mark.parametrize(
    ("standard", "sizes", "offered"),
    [
        ("EN 10219-2", (10, 10, 4), "SHS 10x10x2.5"),
        ("EN 10219-2", (60, 20, 8), "RHS 60x20x5"),
        ("AS/NZS 1163", (20, 20, 5), "SHS 20x20x4"),
    ],
)
def test_wall_too_thick_for_its_corners_is_refused_with_one_that_fits(
    standard: str, sizes: tuple[float, float, float], offered: str
) -> None:
    with pytest.raises(Refused) as refusal:
        of(Family.SHS, standard, *sizes)
    assert refusal.value.accepted.endswith(f"such as {offered}")
    assert standard in refusal.value.accepted


def test_legs_without_listed_radii_borrow_and_say_so() -> None:
    found = figures(Family.EA, Fraction(55), Fraction(55), Fraction(5), "EN 10056-1")
    assert not found.radii_listed
    assert found.basis == "formula with root radius 7 mm and toe radius 3.5 mm, borrowed from a neighbouring size"
    unequal = figures(Family.UA, Fraction(75), Fraction(50), Fraction(6), "AS/NZS 3679.1")
    assert not unequal.radii_listed
    assert "root radius 6 mm and toe radius 3 mm" in unequal.basis
    smallest = figures(Family.EA, Fraction(15), Fraction(15), Fraction(3), "EN 10056-1")
    assert "root radius 3.5 mm" in smallest.basis


def test_radii_that_do_not_fit_give_way_to_square_corners() -> None:
    found = figures(Family.EA, Fraction(50), Fraction(50), Fraction(2), "EN 10056-1")
    assert found.area == 2 * (100 - 2)
    assert found.outline == 200
    assert not found.radii_listed
    assert "square corners" in found.basis


def test_every_thickness_changed_by_as_nzs_is_thinner_than_its_name() -> None:
    assert all(0 < name - actual <= Fraction(1, 2) for name, actual in AS_ACTUAL_THICKNESS.items())


def test_every_hollow_standard_has_corners_with_the_inside_one_wall_smaller_or_rounder() -> None:
    assert set(CORNERS) == set(STANDARDS[Family.SHS]) == set(STANDARDS[Family.RHS])
    for standard, corners in CORNERS.items():
        assert [corner.wall_up_to for corner in corners] == sorted(corner.wall_up_to for corner in corners)
        assert corners[-1].wall_up_to > 100
        if standard != EXTRUDED:
            assert all(0 < corner.inside < corner.outside <= corner.inside + 1 for corner in corners)
