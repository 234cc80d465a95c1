"""The sizes that a person can choose from."""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Family, Section, known_families, sizes
from cutplan.units import MM


def found(word: str, standard: str | None = None, up_to: int | None = None) -> tuple[Section, ...]:
    return sizes(word, standard=standard, standard_of=DEFAULT_STANDARD.__getitem__, up_to=up_to)


@pytest.mark.parametrize("word", known_families())
def test_every_word_lists_sizes_that_are_listed_and_in_order(word: str) -> None:
    everything = found(word)
    assert everything or word == "OWN"
    assert all(section.listed for section in everything)
    by_standard = {(section.family, section.standard) for section in everything}
    for key in by_standard:
        heights = [section.height for section in everything if (section.family, section.standard) == key]
        assert heights == sorted(heights)


def test_a_series_is_a_part_of_its_family() -> None:
    beams = {section.key for section in found("beam")}
    assert {section.key for section in found("IPE")} < beams
    assert {section.designation[:3] for section in found("HE")} == {"HEA", "HEB", "HEM"}
    assert {section.standard for section in found("UB")} == {"EN 10365", "AS/NZS 3679.1"}
    assert {section.standard for section in found("UB", "AS 3679")} == {"AS/NZS 3679.1"}


def test_another_standard_lists_other_sizes() -> None:
    assert {section.standard for section in found("SHS")} == {"EN 10219-2"}
    assert {section.standard for section in found("SHS", "A500")} == {"ASTM A500"}
    assert {section.family for section in found("HSS")} == {Family.SHS, Family.RHS, Family.CHS}


def test_up_to_counts_the_larger_side() -> None:
    assert all(section.height <= 60 * MM for section in found("RHS", up_to=60 * MM))
    assert found("RHS", up_to=60 * MM) != found("RHS")
    assert found("SHS", up_to=MM) == ()


def test_unknown_word_is_refused_with_those_known() -> None:
    with pytest.raises(Refused) as refusal:
        found("SSH")
    assert refusal.value.accepted == f"one of {', '.join(known_families())}"
    assert refusal.value.hint == 'did you mean "SHS"?'
