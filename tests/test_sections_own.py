"""Sections of the workshop's own: figures as stated, or those of a strip folded at right angles."""

from __future__ import annotations

import math

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Family, Notation, OwnSection, details_of, folded_strip, read_section, sizes
from cutplan.units import MM

RAIL = OwnSection(
    name="Slotted rail 41",
    height=41 * MM,
    width=41 * MM,
    thickness=2_500_000,
    area_um2=309_000_000,
    mass_per_metre=2_450_000,
    surface_mm2_per_metre=240_000,
    material="stainless 304",
    basis="mass as stated",
)
NOTATION = Notation(own=(RAIL,))


@pytest.mark.parametrize("typed", ["Slotted rail 41", " slotted  RAIL 41", "SlottedRail41"])
def test_found_by_its_name(typed: str) -> None:
    section = read_section(typed, standard=None, standard_of=DEFAULT_STANDARD.__getitem__, notation=NOTATION)
    assert (section.family, section.designation, section.standard) == (Family.OWN, "Slotted rail 41", "own drawing")
    assert (section.mass_per_metre, section.density, section.height) == (2_450_000, 7930, 41 * MM)
    assert section.listed
    assert [detail.what for detail in details_of(section, NOTATION)] == [
        *("height", "width", "wall", "area", "mass", "surface", "density")
    ]


def test_listed_as_the_family_own() -> None:
    found = sizes("own", standard=None, standard_of=DEFAULT_STANDARD.__getitem__, notation=NOTATION)
    assert [section.designation for section in found] == ["Slotted rail 41"]


def test_unknown_without_the_workshop_file() -> None:
    with pytest.raises(Refused):
        read_section("Slotted rail 41", standard=None, standard_of=DEFAULT_STANDARD.__getitem__)


def test_a_folded_channel_by_hand() -> None:
    # 40 x 80 x 40, 2 mm thick, folds of 2 mm inside: flat parts 40 - 4, 80 - 8, 40 - 4 = 144 mm; two quarter rings of
    # radii 2 and 4.
    area, surface = folded_strip((40 * MM, 80 * MM, 40 * MM), 2 * MM, 2 * MM)
    assert area == round((144 * 2 + 2 * math.pi / 4 * (16 - 4)) * 10**6)
    assert surface == round((2 * 144 + 2 * math.pi / 2 * 6 + 4) * 1000)


def test_a_sharp_fold_is_its_plates() -> None:
    # An angle 50 x 50 x 5 bent with no inside radius lacks the outer corner: 25 - 25 pi / 4.
    area, _ = folded_strip((50 * MM, 50 * MM), 5 * MM, 0)
    assert area == round((5 * (50 + 50 - 5) - (25 - 25 * math.pi / 4)) * 10**6)


@pytest.mark.parametrize("legs", [(4, 40), (40, 7, 40)])
def test_a_leg_must_hold_its_bends(legs: tuple[int, ...]) -> None:
    with pytest.raises(Refused, match="legs longer than the bends"):
        folded_strip(tuple(leg * MM for leg in legs), 2 * MM, 2 * MM)


@pytest.mark.parametrize("change", [{"thickness": 0}, {"thickness": 42 * MM}, {"area_um2": 0}, {"mass_per_metre": -1}])
def test_impossible_figures_raise(change: dict[str, int]) -> None:
    values = {name: getattr(RAIL, name) for name in RAIL.__slots__}
    with pytest.raises(ValueError, match=r"out of order|more than 0"):
        OwnSection(**{**values, **change})
