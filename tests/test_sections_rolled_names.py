"""Short names that mean this section in one country and another one elsewhere, and what beams are offered."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.sections.names import plain_capitals
from cutplan.sections.rolled import shapes
from cutplan.sections.rolled_names import read_rolled
from cutplan.sections.section import Family
from cutplan.sections.spelling import parse


@pytest.mark.parametrize("typed", ["SHS 40x40x3", "50x50x5 EA", "12 rod", "M12 rod", "zebra", "zebra crossing"])
def test_names_of_other_families_are_left_alone(typed: str) -> None:
    assert read_rolled(typed, plain_capitals(typed)) is None


@pytest.mark.parametrize(
    ("typed", "designation", "standard"),
    [("MC 100", "ISMC 100", "IS 808"), ("MB 150", "ISMB 150", "IS 808"), ("MC6x12", "MC6X12", "ASTM A6")],
)
def test_short_names_are_for_one_standard_alone(typed: str, designation: str, standard: str) -> None:
    name = parse(typed)
    assert (name.designation, name.standard, name.only_there) == (designation, standard, True)


def test_full_names_hold_everywhere() -> None:
    assert not parse("ISMC 100").only_there
    assert not parse("C4X5.4").only_there


def test_finish_may_stand_in_the_name() -> None:
    assert (parse("galv 100 PFC").finish, parse("primed UB 203x133x25").finish) == ("galvanised", "primed")


def test_every_american_tee_is_half_a_listed_beam() -> None:
    # WT names are half depth and half weight of the W they are cut from (AISC Manual, part 1).
    for designation, beam in (("WT4X15.5", "W8X31"), ("WT2X6.5", "W4X13"), ("WT5X6", "W10X12"), ("WT3X12.5", "W6X25")):
        assert parse(designation).designation == f"T from {beam}"
    with pytest.raises(Refused, match="the beam that the tee is cut from"):
        parse("WT4X99")


def test_every_beam_can_be_cut_to_tees_and_no_channel() -> None:
    for shape in shapes(Family.BEAM).values():
        assert parse(f"1/2 {shape.designation}").designation == f"T from {shape.designation}"
    for shape in shapes(Family.CHANNEL).values():
        with pytest.raises(Refused):
            parse(f"1/2 {shape.designation}")
