"""Leaves of a gate from its opening and gaps, by sums in the head."""

from __future__ import annotations

import pytest

from cutplan.calculators import Answer, braced, gate
from cutplan.problems import Refused
from cutplan.units import DEGREE, INCH
from tests.builders import mm


def made(width: float, height: float, **gaps: float) -> Answer:
    lengths = {name: mm(gaps.get(name, usual)) for name, usual in (("hinge", 25), ("latch", 15), ("below", 50))}
    leaves = int(gaps.get("leaves", 1))
    return gate(mm(width), mm(height), mm(40), **lengths, leaves=leaves, joint="mitred", unit="mm")


@pytest.mark.parametrize(
    ("opening", "gaps", "leaf", "quantity"),
    [
        ((1000, 1450), {}, (960, 1400), 2),  # 1000 - 25 - 15; 1450 - 50
        ((3000, 1450), {"leaves": 2}, (1467.5, 1400), 4),  # (3000 - 50 - 15) / 2
        ((3000.1, 1450), {"leaves": 2}, (1467.5, 1400), 4),  # 1467.55: no saw is set finer than a tenth
        ((1000, 1450), {"hinge": 0, "latch": 0, "below": 0}, (1000, 1450), 2),
    ],
)
def test_the_frame_of_each_leaf(
    opening: tuple[float, float], gaps: dict[str, float], leaf: tuple[float, float], quantity: int
) -> None:
    found = made(*opening, **gaps)
    assert [(piece.quantity, piece.length, piece.angle) for piece in found.pieces] == [
        (quantity, mm(side), 45 * DEGREE) for side in leaf
    ]


def test_two_leaves_in_inches_go_down_to_a_sixty_fourth() -> None:
    """(120 1/64 - 2 x 1 - 3/8) / 2 = 58 105/128 in, so 58 13/16 + 0/64: 58 52/64."""
    found = gate(120 * INCH + INCH // 64, 40 * INCH, 2 * INCH, hinge=INCH, latch=3 * INCH // 8, below=0, leaves=2,
                 joint="width through", unit="in")  # fmt: skip
    assert found.pieces[0].length == 58 * INCH + 52 * INCH // 64


def test_a_brace_in_each_leaf() -> None:
    """Inside 1387.5 x 1320: the brace of that opening, one for each leaf."""
    found = braced(made(3000, 1450, leaves=2), mm(40), 2, "mm")
    alone = braced(made(3000, 1450, leaves=2), mm(40), 1, "mm").pieces[-1]
    assert (found.pieces[-1].name, found.pieces[-1].quantity, alone.quantity) == ("brace", 2, 1)
    inside = {step.name: step.length for step in found.steps}
    assert (inside["w, width inside"], inside["h, height inside"]) == (mm("1387.5"), mm(1320))
    assert inside["brace: a, between the sides it bears against"] == mm(1320)


@pytest.mark.parametrize(("width", "height", "gaps"), [(120, 1450, {}), (1000, 130, {}), (30, 1450, {"leaves": 2})])
def test_gaps_that_leave_no_leaf_are_refused(width: float, height: float, gaps: dict[str, float]) -> None:
    with pytest.raises(Refused, match="more than 80 mm, two depths, both ways"):
        made(width, height, **gaps)
