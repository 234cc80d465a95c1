"""A fact says only what differs from the plan."""

from __future__ import annotations

from dataclasses import replace

from cutplan.model.cut_facts import BarFact, Spoiled, came_short, left_after, more_kerf
from tests import nested_row
from tests.builders import mm


def test_a_bar_of_which_nothing_is_said_was_cut_as_planned() -> None:
    assert BarFact() == BarFact(cut=None, left=None, spoiled=(), scrapped=False, note="")


def test_what_is_left_after_so_many_cuts() -> None:
    ends = ((1210, 3), (2413, 3), (2990, 0))
    assert [left_after(3000, ends, cut) for cut in range(4)] == [3000, 1787, 584, 10]
    assert left_after(2412, ends, 2) == 0, "a bar that came short leaves nothing, not less"


def test_what_a_spoiled_part_came_short_is_on_its_bar_still() -> None:
    """By hand: two A that came 10 short, a B that came 5 long, and a C that is scrap and was cut at its length."""
    spoiled = (Spoiled(mark="A", quantity=2, measured=1190), Spoiled(mark="B", measured=855), Spoiled(mark="C"))
    assert came_short({"A": 1200, "B": 850, "C": 400}, spoiled) == 15


def test_a_wider_kerf_takes_more_at_every_cut() -> None:
    """By hand, 2.5 and 3.5: along the bar 3.6 and 5 at 45 degrees. Four cuts of a frame, of which three are shared."""
    cuts = nested_row.row().cuts
    for count, more in ((0, 0), (1, "1.4"), (4, "5.6")):
        assert more_kerf(cuts, count, mm("2.5"), mm("3.5")) == mm(more)
    assert more_kerf(cuts, 4, mm("3.5"), mm("2.5")) == 0
    square_behind = (replace(cuts[0], angle_b=0), cuts[1])
    assert more_kerf(square_behind, 1, mm("2.5"), mm("3.5")) == mm(1)
    assert more_kerf(square_behind, 2, mm("2.5"), mm("3.5")) == mm("2.8"), "the next one is mitred where they meet"
