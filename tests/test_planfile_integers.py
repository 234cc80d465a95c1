"""The solver's whole numbers, against sums done by hand."""

from __future__ import annotations

import pytest

from cutplan.model import Saw, groups_of
from cutplan.planfile.integers import divisor, end_trims, part_width, room
from tests.builders import job, mm, offcut, offer, part


def test_widths_and_divisor() -> None:
    """1200 + 2.5, and 500 + 2.5 / cos 45 = 3.535..., rounded up to 3.6; both are multiples of 0.1 mm."""
    tiny = job([part("P1", 1, 1200), part("P2", 1, 500, mitres=(45, 0))], [offer("A", 6000, 30)], kerf=2.5)
    group, saw = groups_of(tiny)[0], tiny.workshop.saw
    assert [part_width(p, saw) for p in group.parts] == [mm(1202.5), mm(503.6)]
    assert divisor(group, saw) == mm(0.1)


@pytest.mark.parametrize(
    ("saw", "ends", "trims"),
    [
        (Saw(kerf=mm(2), end_trim=mm(10)), None, (10, 10)),
        (Saw(kerf=mm(2), end_trim=mm(10), end_trim_includes_cut=False), None, (12, 12)),
        (Saw(kerf=mm(2), end_trim=mm(10), mill_ends_accepted=True), None, (0, 0)),
        (Saw(kerf=mm(2), end_trim=0, end_trim_includes_cut=False), None, (0, 0)),
        (Saw(kerf=mm(2), end_trim=mm(10)), "mill mill", (10, 10)),
        (Saw(kerf=mm(2), end_trim=mm(10)), "mill sawn", (0, 10)),
        (Saw(kerf=mm(2), end_trim=mm(10)), "sawn mill", (0, 10)),
        (Saw(kerf=mm(2), end_trim=mm(10)), "sawn sawn", (0, 0)),
    ],
)
def test_trims(saw: Saw, ends: str | None, trims: tuple[int, int]) -> None:
    assert end_trims(saw, None if ends is None else offcut("R1", 900, ends=ends)) == (mm(trims[0]), mm(trims[1]))


def test_room() -> None:
    """6000 - 10 - 10 + 2.5: the last part's kerf may lie beyond the far trim."""
    saw = Saw(kerf=mm(2.5), end_trim=mm(10))
    tiny = job([part("P1", 1, 1200)], [offer("A", 6000, 30)], kerf=2.5)
    assert room(groups_of(tiny)[0], mm(6000), (mm(10), mm(10)), saw) == mm(5982.5)
    # With a mitre it is its kerf that may be missing.
    tiny = job([part("P1", 1, 1200), part("P2", 1, 500, mitres=(45, 0))], [offer("A", 6000, 30)], kerf=2.5)
    assert room(groups_of(tiny)[0], mm(6000), (mm(10), mm(10)), saw) == mm(5983.6)
