"""What the readers of names share."""

from __future__ import annotations

import pytest

from cutplan.sections.names import Name, meant_diameter, plain_capitals
from cutplan.sections.section import Family
from cutplan.units import MM


def test_a_label_is_the_one_spelling() -> None:
    assert Name(family=Family.CHANNEL, label="UPN 100").designation == "UPN 100"
    assert Name(family=Family.HEXAGON, height=24 * MM, width=24 * MM, thickness=24 * MM).designation == "HEX 24"


@pytest.mark.parametrize(("typed", "plain"), [(" ½ ipe 100 ", "1/2 IPE 100"), ("30×30*2", "30X30X2"), ("2″", '2"')])
def test_capitals_with_one_sign_and_one_quote(typed: str, plain: str) -> None:
    assert plain_capitals(typed) == plain


def test_a_whole_number_is_a_slip_of_the_listed_diameter_half_a_millimetre_away() -> None:
    assert meant_diameter(48 * MM) == 48_300_000
    assert meant_diameter(50 * MM) == 0
    assert meant_diameter(48_300_000) == 0
