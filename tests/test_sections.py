"""The face of the sections room: from a name to a Section, whole numbers rounded once."""

from __future__ import annotations

import csv
import re
import subprocess
import sys
from pathlib import Path

import pytest

from cutplan import sections
from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Family, Section, finish_in_name, read_section
from cutplan.sections.geometry import CORNER_SOURCES
from cutplan.units import INCH, MM


def read(text: str, standard: str | None = None, density: int = 7850) -> Section:
    return read_section(text, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__, density=density)


def test_a_tube_in_full() -> None:
    section = read("40 x 40 x 3.0 SHS")
    # By hand: 2 x 3 x (40 + 40 - 6) - (4 - pi) x (36 - 9) = 420.8230... mm2; x 7850 = 3303460.6 mg/m;
    # 160 - (8 - 2 pi) x 6 = 149.699112 mm.
    assert section == Section(
        family=Family.SHS,
        designation="SHS 40x40x3",
        standard="EN 10219-2",
        height=40 * MM,
        width=40 * MM,
        thickness=3 * MM,
        area_um2=420_823_002,
        mass_per_metre=3_303_461,
        surface_mm2_per_metre=149_699,
        density=7850,
        source="formula with corner radii 2 t outside and 1 t inside; size listed in: "
        "SSAB, Structural hollow sections, table 1",
        listed=True,
    )


@pytest.mark.parametrize(
    ("text", "height", "width", "thickness"),
    [
        ("RHS 25x50x2", 50, 25, 2),
        ("CHS 48.3x3.2", 48.3, 48.3, 3.2),
        ("UA 50x75x6", 75, 50, 6),
        ("FL 6x50", 50, 6, 6),
        ("SQ 12", 12, 12, 12),
        ("RD 16", 16, 16, 16),
    ],
)
def test_sides_are_in_order(text: str, height: float, width: float, thickness: float) -> None:
    section = read(text)
    assert (section.height, section.width, section.thickness) == tuple(
        round(size * MM) for size in (height, width, thickness)
    )


def test_standard_typed_comes_before_the_word_and_the_word_before_the_workshop() -> None:
    assert read("SHS 2x2x1/8").standard == "EN 10219-2"
    assert read("HSS 2x2x1/8").standard == "ASTM A500"
    assert read("HSS 2x2x1/8", "BS EN 10219").standard == "EN 10219-2"
    assert read("ISA 50x50x5").standard == "IS 808"
    assert read("SHS 40x40x3", " ").standard == "EN 10219-2"


def test_angle_to_as_nzs_is_thinner_than_its_name() -> None:
    section = read("EA 50x50x5", "AS/NZS 3679.1")
    assert section.designation == "EA 50x50x5"
    assert section.thickness == 4_600_000
    assert "5 in the name is 4.6 mm" in section.source


def test_inches_stay_exact() -> None:
    section = read("HSS 2x2x3/16")
    assert section.designation == "SHS 50.8x50.8x4.7625"
    assert (section.height, section.thickness) == (2 * INCH, INCH * 3 // 16)
    assert read(section.designation, "ASTM A500") == section


def test_density_changes_mass_alone() -> None:
    steel, stainless = read("RD 20"), read("RD 20", density=8000)
    assert stainless.area_um2 == steel.area_um2
    # pi x 100 mm2 x 8000 kg/m3
    assert stainless.mass_per_metre == 2_513_274
    assert stainless.density == 8000


def test_size_that_no_table_holds_is_allowed_and_marked() -> None:
    section = read("SHS 41x41x3")
    assert not section.listed
    assert section.source.endswith("size not listed here")


def test_size_listed_by_name_but_with_borrowed_radii_is_marked() -> None:
    assert not read("EA 55x55x5").listed


def test_unknown_standard_is_refused_by_its_own_text() -> None:
    with pytest.raises(Refused) as refusal:
        read("SHS 40x40x3", "EN 99999")
    assert refusal.value.found == "EN 99999"
    assert "EN 10219-2, EN 10210-2" in refusal.value.accepted


def test_wall_that_a_standard_cannot_bend_is_refused_by_the_name() -> None:
    with pytest.raises(Refused) as refusal:
        read("square tube 10x10x4")
    assert refusal.value.found == "square tube 10x10x4"
    assert refusal.value.accepted == (
        "a wall that leaves room for the corners, 2 walls each in EN 10219-2, such as SHS 10x10x2.5"
    )
    assert refusal.value.hint == "a wall of 4 on sides of 10x10"
    assert read("SHS 10x10x2.5").designation == "SHS 10x10x2.5"


@pytest.mark.parametrize(
    ("text", "finish"),
    [
        ("5/8 round bright", "bright"),
        ("1 in BRIGHT round bar", "bright"),
        ("galv SHS 40x40x3", "galvanised"),
        ("SHS 40x40x3, galvanized", "galvanised"),
        ("primed RHS 60x40x3", "primed"),
        ("black flat 50x6", "black"),
        ("SHS 40x40x3", ""),
    ],
)
def test_finish_typed_in_a_name(text: str, finish: str) -> None:
    assert finish_in_name(text) == finish


def test_finish_of_no_section_is_refused() -> None:
    with pytest.raises(Refused):
        finish_in_name("bright")


def test_importing_reads_no_table_and_loads_nothing_heavy() -> None:
    script = (
        "import sys; import cutplan.sections as s; from cutplan.sections import listed_sizes, rolled; "
        "assert listed_sizes._sizes.cache_info().misses == listed_sizes.angle_radii.cache_info().misses == 0; "
        "assert not {'pint', 'numpy', 'pandas', 'csv', 'ortools'} & set(sys.modules); "
        "s.read_section('RD 16', standard='EN 10060', standard_of=lambda family: ''); "
        "assert listed_sizes._sizes.cache_info().misses == 1 and listed_sizes.angle_radii.cache_info().misses == 0"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


def test_sources_name_books_and_standards_and_no_link() -> None:
    """A link rots, and a reader cannot look it up in a book."""
    tables = Path(sections.__file__).parent.glob("tables/*.csv")
    rows = [row for table in tables for row in csv.DictReader(table.open(encoding="utf-8"))]
    sources = {row["source"] for row in rows} | set(CORNER_SOURCES.values())
    assert len(sources) > 20
    assert [each for each in sources if re.search(r"https?:|www\.|[a-z]\.(com|co|eu|org|net|info|in)\b", each)] == []
