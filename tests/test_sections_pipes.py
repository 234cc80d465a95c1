"""Pipe goes by its bore: the same name has another wall in another standard."""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import read_section
from cutplan.sections.listed_sizes import pipe_names, pipe_size
from cutplan.sections.pipes import BORE_OF_INCHES, CLASSED
from cutplan.sections.section import Family
from cutplan.sections.spelling import parse
from cutplan.sections.standards import STANDARDS, US_PIPE, US_PIPE_SIZES


def mass(typed: str, standard: str | None = None) -> float:
    section = read_section(typed, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__)
    return section.mass_per_metre / 10**6


def test_older_walls_are_another_standard() -> None:
    # EN 10255 and IS 1239:2004 3.56 kg/m, wall 3.2: mpdpipes.com. DIN 2440 and IS 1239:1979 3.61, wall 3.25:
    # veekaspipes.com.
    assert round(mass("40 NB medium"), 2) == round(mass("40 NB medium", "IS 1239"), 2) == 3.56
    assert round(mass("40 NB medium", "DIN 2440"), 2) == 3.61


def test_the_form_of_the_american_tables_names_their_standard() -> None:
    assert parse("Pipe1-1/2STD").standard == parse("PIPE 2XS").standard == US_PIPE
    assert parse("1-1/2 inch pipe STD").standard == parse("NPS 1-1/2 sch 40").standard == US_PIPE_SIZES
    assert parse("40 NB medium").standard == ""


@pytest.mark.parametrize("standard", STANDARDS[Family.PIPE])
def test_every_standard_has_sizes_that_are_read_back(standard: str) -> None:
    names = pipe_names(standard)
    assert names
    for name in names:
        size = pipe_size(name, standard)
        assert parse(name).designation == name
        assert size is not None
        assert size.source
        assert 0 < 2 * size.wall < size.diameter


def test_every_bore_in_inches_has_a_medium_wall() -> None:
    assert all(pipe_size(f"PIPE {bore} NB medium", CLASSED) for bore in BORE_OF_INCHES.values())


def test_size_that_a_standard_does_not_make_is_refused_with_those_of_the_same_bore() -> None:
    with pytest.raises(Refused) as refusal:
        mass("40 NB heavy", "DIN 2440")
    assert refusal.value.accepted == "a size of DIN 2440, such as PIPE 40 NB medium"
    assert refusal.value.hint == "PIPE 40 NB heavy to DIN 2440"
    with pytest.raises(Refused) as refusal:
        mass("NPS 2 sch 80", "EN 10255")
    assert refusal.value.accepted == (
        "a size of EN 10255, such as PIPE 15 NB light or PIPE 15 NB medium or PIPE 15 NB heavy"
    )
