"""A part, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.units import DEGREE
from tests.builders import mm, part, part_of


def test_short_point() -> None:
    """500 long over a depth of 40: 45 degrees take 40, 22.5 degrees 40 x 0.41421 = 16.57, rounded up to 16.6."""
    assert part("P", 1, 500).short_point == mm(500)
    assert part("P", 1, 500, mitres=(45, 0)).short_point == mm(460)
    assert part("P", 1, 500, mitres=(45, 22.5)).short_point == mm("443.4")
    assert part("P", 1, 500, mitres=(22.5, 45)).steeper_angle == 45 * DEGREE
    assert not part("P", 1, 500).mitred


@pytest.mark.parametrize(
    ("section", "alike"),
    [
        ("SHS 40x40x3", True),
        ("RHS 60x40x3", True),
        ("CHS 48.3x3", True),
        ("flat 50x6", True),
        ("IPE 100", True),
        ("UPN 100", False),
        ("EA 50x50x5", False),
        ("UA 60x40x5", False),
    ],
)
def test_the_opposite_hand_of_what_is_alike_on_all_sides_is_the_same_piece_turned_over(
    section: str, alike: bool
) -> None:
    """A mitre is mirrored into itself by the plane it is drawn in, and so is a section that this plane halves."""
    drawn = part_of(section, mitres=(45, 0))
    assert (drawn.cut_alike == replace(drawn, mark="P2", opposite_hand=True).cut_alike) is alike


def test_mitres_may_meet_at_the_short_point() -> None:
    assert part("P", 1, 80, mitres=(45, 45)).short_point == 0
