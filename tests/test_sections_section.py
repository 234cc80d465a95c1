"""A Section checks itself and answers for a piece of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.sections.section import Family
from cutplan.units import MM
from tests.builders import mm, square_tube


def test_every_family_has_a_title() -> None:
    assert [family.title for family in Family] == [
        "square hollow section",
        "rectangular hollow section",
        "circular hollow section",
        "pipe by nominal bore",
        "equal angle",
        "unequal angle",
        "flat bar",
        "square bar",
        "round bar",
        "hexagon bar",
        "channel",
        "beam",
        "tee cut from a beam",
        "section of one's own",
    ]


def test_key_is_designation_with_standard() -> None:
    assert square_tube().key == "SHS 40x40x3 to EN 10219-2"


def test_mass_of_a_piece_is_rounded_to_the_nearest_milligram() -> None:
    section = square_tube()
    assert section.mass_of(mm(2000)) == 6_000_000
    assert section.mass_of(mm("0.0001")) == 0
    assert replace(section, mass_per_metre=3_303_451).mass_of(mm(500)) == 1_651_726


def test_mitre_depth_is_one_unless_the_sides_differ() -> None:
    section = square_tube()
    assert section.mitre_depths == (40 * MM,)
    assert replace(section, height=60 * MM).mitre_depths == (60 * MM, 40 * MM)


def test_the_wide_side_comes_first_where_a_beam_is_wider_than_high() -> None:
    # HEA 100 is 96 mm high and 100 mm wide.
    beam = replace(square_tube(), family=Family.BEAM, height=96 * MM, width=100 * MM)
    assert beam.mitre_depths == (100 * MM, 96 * MM)
    with pytest.raises(ValueError, match="out of order"):
        replace(beam, family=Family.RHS)


@pytest.mark.parametrize(
    "change",
    [
        {"height": mm(30)},
        {"thickness": 0},
        {"thickness": mm(41)},
        {"area_um2": 0},
        {"mass_per_metre": 0},
        {"surface_mm2_per_metre": 0},
    ],
)
def test_impossible_figures_raise(change: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"out of order|more than 0"):
        replace(square_tube(), **change)
