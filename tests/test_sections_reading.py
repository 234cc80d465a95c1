"""Which standard a section is to, and names that hold for one standard alone."""

from __future__ import annotations

import pytest

from cutplan.model.workshop import DEFAULT_STANDARD
from cutplan.problems import Refused
from cutplan.sections import Family, details_of, read_section
from cutplan.sections.section import Section


def read(text: str, standard: str | None = None, **standards: str) -> Section:
    usual = {**DEFAULT_STANDARD, **{Family[family]: name for family, name in standards.items()}}
    return read_section(text, standard=standard, standard_of=usual.__getitem__)


def test_a_rolled_name_means_its_standard_whatever_the_workshop_says() -> None:
    assert read("100PFC").standard == "AS/NZS 3679.1"
    assert read("PFC 100x50x10", CHANNEL="AS/NZS 3679.1").standard == "EN 10365"
    assert read("UB 203x133x25", "BS 4-1").standard == "EN 10365"
    assert read("W8X31", "A992").standard == "ASTM A6"


def test_a_rolled_name_to_another_standard_is_refused_at_the_standard() -> None:
    with pytest.raises(Refused) as refusal:
        read("100PFC", "EN 10365")
    assert (refusal.value.found, refusal.value.accepted) == (
        "EN 10365",
        "AS/NZS 3679.1, to which 100PFC is rolled, or a blank cell",
    )


@pytest.mark.parametrize(
    ("typed", "standard", "accepted", "hint"),
    [
        (
            "MC 100",
            "IS 808",
            "the full name, ISMC 100, or the standard IS 808 beside it",
            "MB and MC are short names of IS 808, and MC is an American channel elsewhere",
        ),
        (
            "MB 150",
            "IS 808",
            "the full name, ISMB 150, or the standard IS 808 beside it",
            "MB and MC are short names of IS 808, and MC is an American channel elsewhere",
        ),
        (
            "MC6x12",
            "ASTM A6",
            "the standard ASTM A6 beside it or in the workshop file",
            "MC is also a medium channel of IS 808",
        ),
    ],
)
def test_short_names_are_refused_outside_their_region(typed: str, standard: str, accepted: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        read(typed)
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (typed, accepted, hint)
    assert read(typed, standard).standard == standard
    assert read(typed, CHANNEL=standard, BEAM=standard).standard == standard


def test_details_belong_to_the_section() -> None:
    details = {detail.what: detail.value for detail in details_of(read("EA 50x50x5", "AS/NZS 3679.1"))}
    assert (details["thickness"], details["root radius"]) == ("4.6 mm", "6 mm")
    assert {detail.value for detail in details_of(read("40 NB medium"))} >= {"48.3 mm", "3.2 mm"}
