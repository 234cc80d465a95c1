"""Indian sections and pipe against the whole lists of steel-sections: IS 808:2021, and ASME pipe.

Its pipe masses are printed to 0.01 kg/m, its equal angles to IS 808:2021 with areas to three figures.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
import steel_sections

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.sections import Section, read_section
from cutplan.sections.gauges import GAUGES
from cutplan.sections.listed_sizes import pipe_names


def section(name: str, standard: str) -> Section:
    return read_section(name, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__)


def kg_per_m(found: Section) -> float:
    return found.mass_per_metre / 10**6


# Areas printed one step of their third figure below area x density = mass, which is printed and agrees.
AREA_SHORT = {"ISA 70 x 70 x 8", "ISA 75 x 75 x 8", "ISA 110 x 110 x 8", "ISA 130 x 130 x 8"}


@pytest.mark.parametrize(("series", "length"), [("ISMB", 14), ("ISMC", 11), ("ISA", 72)])
def test_every_indian_section_weighs_what_is_printed(series: str, length: int) -> None:
    # Heavier channels of one size share a name with the lighter ones and are set apart there by a note in brackets.
    rows = [row for row in steel_sections.series(series) if "(" not in row.section]
    assert len(rows) == length
    for row in rows:
        found = section(row.section, "IS 808")
        assert kg_per_m(found) == pytest.approx(row.mass_kg_m, rel=0.005), row.section
        rel = 0.008 if row.section in AREA_SHORT else 0.005
        assert found.area_um2 / 10**8 == pytest.approx(row.area_cm2, rel=rel), row.section


def test_every_pipe_by_schedule_weighs_what_is_printed() -> None:
    names = pipe_names("ASME B36.10M")
    assert len(names) == 53
    for name in names:
        _, _, size, *rest = name.split()
        row = steel_sections.pipe(size, rest[-1])
        found = section(name, "ASME B36.10M")
        assert found.height == round(Fraction(str(row.od_in)) * 25_400_000)
        assert kg_per_m(found) == pytest.approx(row.weight_kg_m, rel=0.003, abs=0.006), name


def test_american_sheet_gauge() -> None:
    for number, inches in GAUGES["US sheet"].items():
        assert float(inches) == steel_sections.gauge(number).inch
