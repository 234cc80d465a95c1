"""Which grade serves which, held to the names of the standards; the yield stands in them.

Toughness: EN 10025-2:2019 table 9 (27 J at +20, 0, -20 degrees for JR, J0, J2; 40 J at -20 for K2), EN 10219-1:2006 and
EN 10210-1:2006 annex A and B, AS/NZS 1163:2016 clause on impact (L0 at 0 degrees); all from memory.
"""

from __future__ import annotations

import re
from itertools import product

import pytest

from cutplan.sections.grades import serves_by_standard

TEMPERATURE = {"JR": 20, "J0": 0, "J2": -20, "K2": -20}
ENERGY = {"JR": 27, "J0": 27, "J2": 27, "K2": 40}


@pytest.mark.parametrize(
    ("asked", "delivered"),
    [
        ("S355", "S355J2H"),
        ("S355", "S355JR"),
        ("S235", "S235JRH"),
        ("S275J0", "S275J2H"),
        ("S355J0H", "S355J2H"),
        ("S355J2H", "S355K2H"),
        ("C350", "C350L0"),
        ("300", "300L15"),
        ("300L0", "300L15"),
        ("A36", "A36"),
        ("", ""),
    ],
)
def test_it_serves(asked: str, delivered: str) -> None:
    assert serves_by_standard(delivered, asked)


@pytest.mark.parametrize(
    ("asked", "delivered"),
    [
        ("S355", "S275J2H"),  # a lower yield
        ("S235", "S355J2H"),  # a higher one: the workshop's word
        ("S355J2H", "S355J0H"),  # less tough
        ("S355J2H", "S355J2"),  # not of a hollow section
        ("S355J2H", "S355"),  # of no quality stated
        ("C350L0", "C350"),
        ("C250", "C350L0"),
        ("C350", "350L0"),  # a hollow section's and a rolled section's
        ("B", "C"),  # ASTM A500: less elongation
        ("A36", "A572-50"),
        ("304", "316"),
        ("6060", "6082"),
        ("S355", ""),
        ("", "S355"),
    ],
)
def test_it_does_not_serve(asked: str, delivered: str) -> None:
    assert not serves_by_standard(delivered, asked)


def test_no_yield_is_lower_and_no_quality_less_tough() -> None:
    names = [f"S{strength}{quality}{hollow}" for strength, quality, hollow in product(
        ("235", "275", "355"), ("JR", "J0", "J2", "K2"), ("", "H")
    )]  # fmt: skip
    for asked, delivered in product(names, names):
        want, given = (re.fullmatch(r"S(\d+)(J.|K2)(H?)", name) for name in (asked, delivered))
        assert want
        assert given
        same = want[1] == given[1] and (given[3] or not want[3])
        tough = TEMPERATURE[given[2]] <= TEMPERATURE[want[2]] and ENERGY[given[2]] >= ENERGY[want[2]]
        assert serves_by_standard(delivered, asked) == bool(same and tough), (asked, delivered)
