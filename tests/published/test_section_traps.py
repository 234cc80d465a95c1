"""Names that have misled buyers: one name and several sections, and names that leave something open.

Masses of the first part are printed ones, with the source beside each; the second part goes through the ways in which
designations are written in Europe, Britain, Australia, North America and India.
"""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Notation, Section, read_section
from cutplan.sections.spelling import parse


def read(text: str, standard: str | None = None) -> Section:
    return read_section(text, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__)


def kg_per_m(text: str, standard: str | None = None) -> float:
    return read(text, standard).mass_per_metre / 10**6


@pytest.mark.parametrize(
    ("name", "standard", "printed"),
    [
        # SSAB table 1; UK tables of steelsnakes 0.0.1a11; Australian mills' design tables, recalled.
        *(("SHS 40x40x4", "EN 10219-2", 4.20), ("SHS 40x40x4", "EN 10210-2", 4.39), ("SHS 40x40x4", "AS 1163", 4.09)),
        *(("SHS 50x50x5", "EN 10219-2", 6.56), ("SHS 50x50x5", "EN 10210-2", 6.85), ("SHS 50x50x5", "AS 1163", 6.39)),
        # UK tables; IS 808:2021; InfraBuild catalogue 2019: the Australian angle is 4.6 mm thick.
        *(("EA 50x50x5", "EN 10056-1", 3.77), ("EA 50x50x5", "IS 808", 3.79), ("EA 50x50x5", "AS 3679.1", 3.48)),
        # mpdpipes.com IS 1239:2004; veekaspipes.com DIN 2440, whose wall is 3.25.
        *(("40 NB medium", "IS 1239", 3.56), ("40 NB medium", "EN 10255", 3.56), ("40 NB medium", "DIN 2440", 3.61)),
        # IS 808:2021; the handbook of 1964 has 11.5, which is another beam.
        ("ISMB 100", None, 8.95),
        # AISC v16: printed weight, of the nominal wall.
        ("HSS2x2x1/4", None, 8.05),
        # UK PFC table; Australian mill catalogue; EN 10365 tables; IS 808:2021. The 10 of the first is its mass.
        *(("PFC 100x50x10", None, 10.2), ("100PFC", None, 8.33), ("UPN 100", None, 10.6), ("UPE 100", None, 9.8)),
        ("ISMC 100", None, 9.56),
    ],
)
def test_one_name_is_another_section_in_another_standard(name: str, standard: str | None, printed: float) -> None:
    assert kg_per_m(name, standard) == pytest.approx(printed, rel=0.005)


def test_square_corners_would_overstate_a_tube() -> None:
    # 4t(b - t) x 7850: 4.52 kg/m for 40x40x4 and 7.07 for 50x50x5.
    assert kg_per_m("SHS 40x40x4") < 0.93 * 4.52
    assert kg_per_m("SHS 50x50x5") < 0.93 * 7.07


def test_the_mass_of_american_tube_never_comes_from_its_printed_area() -> None:
    section = read("HSS2x2x1/4")
    assert section.area_um2 / 10**6 * 7850 / 10**6 == pytest.approx(7.65, rel=0.005)
    assert section.mass_per_metre / 10**6 == pytest.approx(8.05, rel=0.005)


def test_a_nominal_name_is_not_the_listed_size() -> None:
    # India sells 49.5x49.5x2.9 as 50x50; Australia calls 88.9 tube 89x89.
    assert read("SHS 49.5x49.5x2.9", "IS 4923").listed
    assert not read("SHS 50x50x2.9", "IS 4923").listed
    assert read("SHS 89x89x3.5", "AS/NZS 1163").listed
    assert not read("SHS 88.9x88.9x3.5", "AS/NZS 1163").listed


SPELLINGS = {
    # Europe and Britain.
    "SHS 50x50x3": "SHS 50x50x3",
    "RSA 50x50x5": "EA 50x50x5",
    "LNP 50x50x5": "EA 50x50x5",
    "U 100": "UPN 100",
    "UNP 100": "UPN 100",
    "IPBl 100": "HEA 100",
    "IPB 100": "HEB 100",
    "HE 100 A": "HEA 100",
    "FL 50x6": "FL 50x6",
    "RD 12": "RD 12",
    "SQ 12": "SQ 12",
    "box section 50x25x2": "RHS 50x25x2",
    # Australia and New Zealand.
    "50x50x3 SHS": "SHS 50x50x3",
    "40 NB medium": "PIPE 40 NB medium",
    "50x50x5 EA": "EA 50x50x5",
    "75x50x6 UA": "UA 75x50x6",
    "100PFC": "100PFC",
    "200UB25.4": "200UB25.4",
    "100UC14.8": "100UC14.8",
    "50x6 FMS": "FL 50x6",
    "12 rod": "RD 12",
    # North America.
    "HSS2X2X1/8": "SHS 50.8x50.8x3.175",
    "HSS1.900X0.145": "CHS 48.26x3.683",
    "TS2x2x1/8": "SHS 50.8x50.8x3.175",
    "Pipe1-1/2STD": "PIPE NPS 1-1/2 Sch 40",
    "Pipe1-1/2XS": "PIPE NPS 1-1/2 Sch 80",
    "Pipe2XXS": "PIPE NPS 2 XXS",
    "C4X5.4": "C4X5.4",
    "W6X15": "W6X15",
    "S3X5.7": "S3X5.7",
    "FB 1/4 x 2": "FL 50.8x6.35",
    "1/2 in round": "RD 12.7",
    # India.
    "ISA 50x50x5": "EA 50x50x5",
    "50x50x5 ISA": "EA 50x50x5",
    "ISMC 100": "ISMC 100",
    "ISMB 150": "ISMB 150",
    "40 NB B class": "PIPE 40 NB medium",
    "MS flat 50x6": "FL 50x6",
}


@pytest.mark.parametrize("typed", SPELLINGS)
def test_the_ways_of_each_country_are_read(typed: str) -> None:
    assert parse(typed).designation == SPELLINGS[typed]


def test_decimal_comma_where_the_workshop_has_it() -> None:
    comma = Notation(decimal_comma=True)
    assert parse("48,3x3,2 CHS", comma).designation == "CHS 48.3x3.2"
    assert parse("CHS 48,0x3", comma).designation == "CHS 48.0x3"
    assert parse("200UB25,4", comma).designation == "200UB25.4"


@pytest.mark.parametrize(
    "open_name",
    [
        # No family: tube, angle, channel and flat share the figures.
        *("50x50x5", "50x25x2", "2x2x1/4", "50x5"),
        # No thickness, no class, no kind.
        *("SHS 30x30", "angle 50x50", "1 inch pipe", "25 mm pipe", "1 1/2 pipe", "1 inch tube"),
        # No listed diameter; a gauge with four meanings; a thickness where a mass belongs; a mass missing.
        *("CHS 48x3", "16 ga tube", "11 ga tube", "PFC 100x50x6", "UB 203", "200UB"),
        # A length in the name; a square called a flat.
        *("30x30x2x6000", "flat 10x10"),
        # Other products.
        *("M12 rod", "12 rebar", "N12", "tee 50x50x6", "3 mm sheet", "10 mm plate"),
        # No section at all.
        *("SHS 40x40x20", "CHS 20x10", "angle 50x50x25", "SHS 0x0x0", "SHS -40x40x3", "SHS 2 inx50 mmx3 mm"),
    ],
)
def test_what_leaves_something_open_is_refused(open_name: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(open_name)
    assert refusal.value.found == open_name
    assert "such as" in refusal.value.accepted


@pytest.mark.parametrize("short_name", ["MC 100", "MC6x12", "MB 150"])
def test_what_means_another_section_elsewhere_is_refused_outside_its_region(short_name: str) -> None:
    with pytest.raises(Refused):
        read(short_name)
