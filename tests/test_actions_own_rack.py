"""A rack of its own gives each job what those before it left, piece by piece."""

from __future__ import annotations

from cutplan.actions.own_rack import in_turn
from cutplan.units import MM
from tests import builders


def test_pieces_keep_their_marks_and_new_ones_get_others() -> None:
    """R1, 2,000 mm, gives two of 900 mm; 6,000 less 4,000 are kept of the new bar, by a saw that takes nothing."""
    offers = [builders.offer("P1", 6000, 30)]
    jobs = [builders.job([builders.part("A", 2, 900)], offers), builders.job([builders.part("B", 1, 4000)], offers)]
    first, second = in_turn(jobs, [builders.offcut("R1", 2000)])
    assert (first.used, [piece.mark for piece in first.job.offcuts]) == (("R1",), ["R1"])
    assert second.used == ()
    (kept,) = second.kept
    assert kept != "R1"
    assert (second.on_rack[kept].state.length, second.on_rack[kept].quantity) == (2000 * MM, 1)
