"""Which parts a saw takes, and the workshop as it is at one of several saws."""

from __future__ import annotations

import pytest

from cutplan.model import Saw, Workshop
from cutplan.sections.section import Family
from cutplan.units import DEGREE
from tests.builders import mm, part_of


@pytest.mark.parametrize(
    ("saw", "section", "angle", "takes"),
    [
        ({}, "UB 203x133x25", 60, True),
        ({"families": (Family.SHS, Family.RHS)}, "SHS 40x40x3", 0, True),
        ({"families": (Family.SHS, Family.RHS)}, "FL 40x5", 0, False),
        ({"largest": mm(100)}, "RHS 100x50x4", 0, True),
        ({"largest": mm(99)}, "RHS 100x50x4", 0, False),  # the wide side, however it lies
        ({"largest": mm(300)}, "UB 203x133x25", 0, True),
        ({"largest": mm(200)}, "UB 203x133x25", 0, False),  # 203.2 high
        ({"steepest": 45 * DEGREE}, "SHS 40x40x3", 45, True),
        ({"steepest": 45 * DEGREE}, "SHS 40x40x3", 46, False),
        ({"steepest": 0}, "SHS 40x40x3", 0, True),
        ({"steepest": 0}, "SHS 40x40x3", 5, False),
    ],
)
def test_what_a_saw_takes(saw: dict[str, object], section: str, angle: int, takes: bool) -> None:
    part = part_of(section, 3000, (0, angle)) if angle else part_of(section, 3000)
    assert Saw(**saw).takes(part.section, part.steeper_angle) is takes  # type: ignore[arg-type]


def test_the_workshop_at_each_of_two_saws() -> None:
    mitre, band = Saw(name="mitre saw", kerf=mm(2)), Saw(name="band saw", kerf=mm(1))
    shop = Workshop(saw=mitre, saws=(mitre, band))
    assert (shop.at_saw("band saw").saw, shop.at_saw("mitre saw"), shop.at_saw("")) == (band, shop, shop)
    thinner = shop.with_saws([mitre, Saw(name="band saw", kerf=mm("0.9"))])
    assert thinner.at_saw("band saw").saw.kerf == mm("0.9")


def test_a_workshop_with_one_saw_stays_with_that() -> None:
    shop = Workshop(saw=Saw(kerf=mm(2)))
    assert shop.all_saws == (shop.saw,)
    assert shop.with_saws([Saw(kerf=mm(3))]) == Workshop(saw=Saw(kerf=mm(3)))


@pytest.mark.parametrize(
    "saws", [(Saw(name="a"), Saw(name="a")), (Saw(name="a"), Saw()), (Saw(name="b"),)], ids=["twice", "none", "other"]
)
def test_saws_without_names_of_their_own_are_no_workshop(saws: tuple[Saw, ...]) -> None:
    with pytest.raises(ValueError, match="a name of its own"):
        Workshop(saw=Saw(name="a"), saws=saws)


def test_a_saw_of_no_size_is_no_saw() -> None:
    with pytest.raises(ValueError, match="some size"):
        Saw(largest=-1)
