"""Extruded aluminium against the tables of the Aluminum Design Manual, as held in efficalc 1.2.7.

Its tube has sharp corners and its density is 0.098 lb/in3, that is 2713 kg/m3. Its angles have fillets and rounded
toes, which EN 755 has not, and their weights are printed to 0.01 lb/ft.
"""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.sections import Notation, read_section

US_DENSITY = Notation(materials=(("aluminium", 2713),))

TUBES = [
    ('1"x1"x0.065" square tube', 156.8, 0.4256),
    ('1"x1"x0.125" square tube', 282.6, 0.7664),
    ('1.5"x1.5"x0.125" square tube', 443.9, 1.2039),
    ('2"x2"x0.125" square tube', 605.2, 1.637),
    ('CHS 1.5"x0.125"', 348.4, 0.945),
    ('CHS 1.625"x0.125"', 380.0, 1.0313),
]
ANGLES = [
    ("L 1-1/2x1-1/2x1/4", 443.9, 1.2054),
    ("L 1-1/2x1-1/2x1/8", 232.3, 0.625),
    ("L 2x2x1/4", 609.0, 1.6519),
    ("L 2x2x1/8", 316.8, 0.8631),
]


@pytest.mark.parametrize(
    ("name", "area", "mass", "within"),
    [*((*row, 0.005) for row in TUBES), *((*row, 0.018) for row in ANGLES)],
)
def test_area_and_mass(name: str, area: float, mass: float, within: float) -> None:
    section = read_section(
        f"{name} aluminium", standard=None, standard_of=DEFAULT_STANDARD.__getitem__, notation=US_DENSITY
    )
    assert section.standard == "EN 755"
    assert section.area_um2 / 10**6 == pytest.approx(area, rel=within)
    assert section.mass_per_metre / 10**6 == pytest.approx(mass, rel=within)
