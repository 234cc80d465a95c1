"""Allowances and what follows from them; how ends lean is in the outlines."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import SQUARE, Allowance, Purpose
from cutplan.model.section_totals import finished_mass
from tests.builders import mm, part

WHOLE = part("P", 1, 500)


def added(purpose: Purpose, length: float) -> Allowance:
    return Allowance(purpose=purpose, length=mm(length))


def test_a_square_end_counts_from_square() -> None:
    assert SQUARE.angle == 0


def test_an_allowance_is_part_of_the_sawn_length() -> None:
    ground = replace(WHOLE, allowances=(added(Purpose.GRINDING, 1), added(Purpose.FIT, 20)))
    assert (ground.length, ground.allowance, ground.finished) == (mm(500), mm(21), mm(479))
    assert ground.cut_to_fit
    assert not replace(WHOLE, allowances=(added(Purpose.GRINDING, 1),)).cut_to_fit
    # 3 kg a metre of what is left once the allowances are off.
    assert finished_mass(ground) == 1_437_000


@pytest.mark.parametrize(
    ("allowances", "told"),
    [
        ((added(Purpose.FIT, 500),), "the mitres cross"),
        ((added(Purpose.FIT, 1), added(Purpose.FIT, 1)), "given twice"),
    ],
)
def test_allowances_that_cannot_be(allowances: tuple[Allowance, ...], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        replace(WHOLE, allowances=allowances)
    with pytest.raises(ValueError, match="more than 0"):
        added(Purpose.FIT, 0)


def test_the_finished_part_must_be_a_part() -> None:
    mitred = part("P", 1, 90, mitres=(45, 45))
    assert mitred.short_point == mm(10)
    with pytest.raises(ValueError, match="the mitres cross"):
        replace(mitred, allowances=(added(Purpose.FIT, 11),))
