"""A fact says only what differs from the plan."""

from __future__ import annotations

from cutplan.model.cut_facts import BarFact, left_after


def test_a_bar_of_which_nothing_is_said_was_cut_as_planned() -> None:
    assert BarFact() == BarFact(cut=None, left=None, spoiled=(), scrapped=False, note="")


def test_what_is_left_after_so_many_cuts() -> None:
    ends = ((1210, 3), (2413, 3), (2990, 0))
    assert [left_after(3000, ends, cut) for cut in range(4)] == [3000, 1787, 584, 10]
    assert left_after(2412, ends, 2) == 0, "a bar that came short leaves nothing, not less"
