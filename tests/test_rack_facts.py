"""A fact says only what differs from the plan."""

from __future__ import annotations

from cutplan.rack.facts import BarFact


def test_a_bar_of_which_nothing_is_said_was_cut_as_planned() -> None:
    assert BarFact() == BarFact(cut=None, left=None, spoiled=(), scrapped=False, note="")
