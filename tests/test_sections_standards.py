"""Names of standards as people write them."""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections.section import Family
from cutplan.sections.standards import STANDARDS, read_standard


@pytest.mark.parametrize(
    ("typed", "family", "standard"),
    [
        ("EN 10219-2", Family.SHS, "EN 10219-2"),
        ("en10219", Family.SHS, "EN 10219-2"),
        ("BS EN 10219-1", Family.RHS, "EN 10219-2"),
        ("BS EN 10219-2:2019", Family.CHS, "EN 10219-2"),
        ("DIN EN 10210", Family.SHS, "EN 10210-2"),
        ("I.S. EN 10210-2", Family.SHS, "EN 10210-2"),
        ("AS/NZS 1163", Family.SHS, "AS/NZS 1163"),
        ("AS1163", Family.SHS, "AS/NZS 1163"),
        ("AS/NZS 3679.1:2016", Family.EA, "AS/NZS 3679.1"),
        ("AS 3679", Family.UA, "AS/NZS 3679.1"),
        ("IS 4923", Family.RHS, "IS 4923"),
        ("is 808:2021", Family.EA, "IS 808"),
        ("A500", Family.SHS, "ASTM A500"),
        ("astm a36", Family.FLAT, "ASTM A36"),
        ("EN 10056", Family.EA, "EN 10056-1"),
        ("EN 10278", Family.ROUND, "EN 10278"),
    ],
)
def test_usual_spellings(typed: str, family: Family, standard: str) -> None:
    assert read_standard(typed, family) == standard


def test_unknown_standard_is_refused_with_those_known_for_the_family() -> None:
    with pytest.raises(Refused) as refusal:
        read_standard("EN 10255", Family.CHS)
    assert refusal.value.found == "EN 10255"
    assert refusal.value.accepted == (
        "a standard for circular hollow section: EN 10219-2, EN 10210-2, AS/NZS 1163, IS 1161, ASTM A500, EN 755"
    )


def test_standard_of_another_family_is_refused() -> None:
    with pytest.raises(Refused):
        read_standard("EN 10058", Family.SHS)


def test_near_miss_is_offered() -> None:
    with pytest.raises(Refused) as refusal:
        read_standard("EN 10219-3", Family.SHS)
    assert refusal.value.hint == 'did you mean "EN 10219-2"?'


def test_every_known_standard_reads_back_to_itself() -> None:
    for family, standards in STANDARDS.items():
        assert [read_standard(standard, family) for standard in standards] == list(standards)


def test_every_default_of_the_workshop_is_known() -> None:
    for family, standard in DEFAULT_STANDARD.items():
        assert standard in STANDARDS[family]
