"""parse(print(x)) == x for every section that the grammar can name, and no text brings it down."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Section, read_section
from cutplan.sections.listed_sizes import rows_of
from cutplan.sections.names import Name
from cutplan.sections.rolled import shapes
from cutplan.sections.section import ROLLED, Family
from cutplan.sections.spelling import parse
from cutplan.sections.standards import STANDARDS
from cutplan.units import INCH, MM
from tests.effort import examples

mm_sizes = st.integers(5 * MM, 2500 * MM)
tenths = st.integers(50, 5000).map(lambda tenth: tenth * MM // 10)
inch_sizes = st.integers(13, 24 * 64).map(lambda part: part * INCH // 64)
sizes = st.one_of(mm_sizes, tenths, inch_sizes)
walls = st.one_of(
    st.integers(400_000, 100 * MM),
    st.integers(4, 250).map(lambda tenth: tenth * MM // 10),
    st.integers(2, 64).map(lambda part: part * INCH // 64),
)


@st.composite
def names(draw: st.DrawFn) -> Name:
    family = draw(st.sampled_from([family for family in Family if family not in (Family.PIPE, Family.OWN, *ROLLED)]))
    if family in (Family.SQUARE, Family.ROUND, Family.HEXAGON):
        side = draw(sizes.filter(lambda size: size <= 500 * MM))
        return Name(family=family, height=side, width=side, thickness=side)
    sides = draw(st.tuples(sizes, sizes))
    wall = draw(walls)
    height, width = max(sides), min(sides)
    if family is Family.FLAT:
        assume(height != wall)
        wide, thin = max(height, wall), min(height, wall)
        assume(thin <= 100 * MM)
        return Name(family=family, height=wide, width=thin, thickness=thin)
    if family in (Family.SHS, Family.CHS, Family.EA):
        width = height
    else:
        assume(width < height)
    assume(2 * wall < width)
    return Name(family=family, height=height, width=width, thickness=wall)


@given(names())
@example(Name(family=Family.CHS, height=48 * MM, width=48 * MM, thickness=3 * MM))
@example(Name(family=Family.SHS, height=2 * INCH, width=2 * INCH, thickness=INCH // 8))
def test_one_spelling_reads_back(name: Name) -> None:
    assert parse(name.designation) == name


@given(names(), st.sampled_from(["{}", "{} ", " {}", "{} bright", "MS {}"]), st.booleans())
def test_case_blanks_and_fillers_do_not_change_the_section(name: Name, around: str, lower: bool) -> None:
    typed = around.format(name.designation.replace("x", " × "))
    assert parse(typed.lower() if lower else typed).designation == name.designation


def section_or_refusal(name: Name, standard: str) -> Section | Refused:
    try:
        return read_section(name.designation, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__)
    except Refused as refusal:
        return refusal


def name_or_refusal(text: str) -> Name | Refused:
    try:
        return parse(text)
    except Refused as refusal:
        return refusal


@given(names(), st.data())
def test_a_section_is_refused_for_its_corners_or_has_sound_figures(name: Name, data: st.DataObject) -> None:
    section = section_or_refusal(name, data.draw(st.sampled_from(STANDARDS[name.family])))
    if isinstance(section, Refused):
        assert name.family in (Family.SHS, Family.RHS)
        assert "room for the corners" in section.accepted
    else:
        assert 0 < section.area_um2 <= name.height * name.width // MM + 1
        assert section.thickness <= name.thickness


@given(
    st.one_of(
        st.text(alphabet="SHRCELUAFQDXIPWTBNM0123456789 x×*.,/-\"'Ømtubeangelinschga", max_size=24),
        st.text(max_size=30),
    )
)
def test_any_text_is_read_or_refused(text: str) -> None:
    name = name_or_refusal(text)
    if isinstance(name, Refused):
        assert name.found == text
        assert name.accepted
    else:
        assert parse(name.designation).designation == name.designation


@pytest.mark.parametrize("family", [family for family in Family if family is not Family.OWN])
def test_every_family_is_named(family: Family) -> None:
    sizes = {Family.SHS: "40x40x3", Family.RHS: "60x40x3", Family.CHS: "48.3x3", Family.EA: "50x50x5"}
    sizes |= {Family.UA: "75x50x6", Family.FLAT: "50x6", Family.SQUARE: "12", Family.ROUND: "16"}
    sizes |= {Family.PIPE: "25 NB light", Family.HEXAGON: "16"}
    rolled = {Family.CHANNEL: "UPN 80", Family.BEAM: "IPE 80", Family.TEE: "T from IPE 80"}
    assert parse(rolled.get(family) or f"{family.value} {sizes[family]}").family is family


def catalogue() -> list[tuple[str, str]]:
    """Designation and standard of every size in every table."""
    tables = ("sizes_hollow.csv", "sizes_angle.csv", "sizes_solid.csv", "pipes.csv")
    listed = [(row["designation"], row["standard"]) for table in tables for row in rows_of(table)]
    rolled = [shape for family in (Family.CHANNEL, Family.BEAM) for shape in shapes(family).values()]
    tees = [(f"T from {shape.designation}", shape.standard) for shape in rolled if shape.family is Family.BEAM]
    return listed + [(shape.designation, shape.standard) for shape in rolled] + tees


CATALOGUE = catalogue()


@settings(max_examples=examples(400))
@given(st.sampled_from(CATALOGUE), st.sampled_from([str, str.lower, lambda text: text.replace("x", " × ")]))
def test_every_listed_size_reads_back_to_itself(size: tuple[str, str], written: Callable[[str], str]) -> None:
    designation, standard = size
    section = read_section(written(designation), standard=standard, standard_of=DEFAULT_STANDARD.__getitem__)
    assert (section.designation, section.standard) == size
    assert parse(designation).designation == designation
    assert read_section(section.designation, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__) == section


def test_the_whole_catalogue_is_spelled_the_one_way_and_listed() -> None:
    for designation, standard in CATALOGUE:
        section = read_section(designation, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__)
        assert (section.designation, section.standard) == (designation, standard)
        assert "size listed in" in section.source
