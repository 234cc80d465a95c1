"""The material is a part of the name, so that no plan mixes two."""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Notation, Section, details_of, material_in_name, material_of_grade, read_section
from cutplan.sections.spelling import parse

BRASS = Notation(materials=(("brass", 8470), ("stainless 304", 7900)))


def read(text: str, notation: Notation = BRASS, density: int = 7850) -> Section:
    return read_section(
        text, standard=None, standard_of=DEFAULT_STANDARD.__getitem__, density=density, notation=notation
    )


@pytest.mark.parametrize(
    ("typed", "designation"),
    [
        ("stainless 304 SHS 40x40x3", "SHS 40x40x3 stainless 304"),
        ("SHS 40x40x3 stainless steel 304L", "SHS 40x40x3 stainless 304"),
        ("304 stainless SHS 40x40x3", "SHS 40x40x3 stainless 304"),
        ("SS316 round 20", "RD 20 stainless 316"),
        ("RD 20 1.4404", "RD 20 stainless 316"),
        ("aluminium RHS 50x25x3", "RHS 50x25x3 aluminium"),
        ("50x6 aluminum flat", "FL 50x6 aluminium"),
        ("1 NB sch 40 pipe 316 stainless", "PIPE NPS 1 Sch 40 stainless 316"),
        ("brass RD 20", "RD 20 brass"),
        ("carbon steel RD 20", "RD 20"),
        ("UPN 100 stainless 304", "UPN 100 stainless 304"),
    ],
)
def test_read_as_and_read_back(typed: str, designation: str) -> None:
    assert parse(typed, BRASS).designation == designation
    assert read(designation) == read(typed)


def test_density_is_the_material_s_own_or_what_the_workshop_says() -> None:
    # 3141.59 mm2 of a round of 20 mm is 314.159 mm2; x density is mg/m. Densities: see MATERIALS.
    plain = Notation()
    masses = {name: read(f"RD 20{name}", plain).mass_per_metre for name in ("", " stainless 316", " aluminium")}
    assert masses == {"": 2_466_150, " stainless 316": 2_506_991, " aluminium": 848_230}
    assert read("RD 20 stainless 304", plain).density == 7930
    assert read("RD 20 stainless 304").density == 7900
    assert read("RD 20 brass").density == 8470
    assert read("RD 20", density=7849).density == 7849


def density_told(name: str, notation: Notation = BRASS, density: int = 7850) -> tuple[str, str]:
    """The density that the sources of a section name, and where it is from."""
    detail = details_of(read(name, notation, density), notation)[-1]
    assert detail.what == "density"
    return detail.value, detail.source


def test_a_density_says_whether_it_is_a_standard_s_common_practice_or_the_workshop_s() -> None:
    plain, practice = Notation(), "common practice, as in density charts of merchants; EN 10088-1, from memory:"
    steel = "SSAB structural hollow sections; Tata Steel blue book, general notes"
    assert density_told("SHS 40x40x3") == ("7850 kg/m3", steel)
    assert density_told("SHS 40x40x3", density=7849) == ("7849 kg/m3", "the workshop file")
    assert density_told("RD 20 brass") == ("8470 kg/m3", "the workshop file")
    assert density_told("RD 20 stainless 304") == ("7900 kg/m3", "the workshop file")
    assert density_told("RD 20 stainless 304", plain) == ("7930 kg/m3", f"{practice} 7900")
    assert density_told("RD 20 stainless 316", plain) == ("7980 kg/m3", f"{practice} 8000")
    told = "technical specifications of an extruder, for 6060, 6063 and 6082"
    assert density_told("FL 50x6 aluminium", plain) == ("2700 kg/m3", told)


def test_another_material_is_another_section() -> None:
    assert read("SHS 40x40x3").key == "SHS 40x40x3 to EN 10219-2"
    assert read("SHS 40x40x3 stainless 304").key == "SHS 40x40x3 stainless 304 to EN 10219-2"
    assert read("SHS 40x40x3 stainless 304").listed


def test_aluminium_is_extruded_with_sharp_corners_unless_another_standard_is_said() -> None:
    extruded = read("SHS 40x40x3 aluminium")
    assert (extruded.standard, extruded.area_um2) == ("EN 755", (40**2 - 34**2) * 10**6)
    assert extruded.surface_mm2_per_metre == 160_000
    assert not extruded.listed


@pytest.mark.parametrize(
    ("typed", "accepted", "hint"),
    [
        (
            "stainless SHS 40x40x3",
            "the kind of stainless too, such as SHS 40x40x3 stainless 304 or SHS 40x40x3 stainless 316",
            "",
        ),
        ("aluminium RD 20 1.4301", "one material in a name", "two materials: aluminium and stainless 304"),
    ],
)
def test_refused(typed: str, accepted: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(typed)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (typed, accepted, hint)


def test_material_alone() -> None:
    assert material_in_name("RD 20 aluminium") == "aluminium"
    assert material_in_name("RD 20") == ""


@pytest.mark.parametrize(
    ("grade", "material"),
    [
        *(
            ("304", "stainless 304"),
            ("304L", "stainless 304"),
            ("1.4301", "stainless 304"),
            ("AISI 316", "stainless 316"),
        ),
        *(
            ("1.4404", "stainless 316"),
            ("6082-T6", "aluminium"),
            ("EN AW-6060 T66", "aluminium"),
            ("6005A", "aluminium"),
        ),
        *(("S275JR", ""), ("S355", ""), ("A36", ""), ("C350", ""), ("", ""), ("43A", "")),
    ],
)
def test_material_that_a_grade_belongs_to(grade: str, material: str) -> None:
    assert material_of_grade(grade) == material
