"""What is used again of the rack, in words."""

from __future__ import annotations

from cutplan.units import CURRENCY, MM
from cutplan.words.reused import Reused, reuse_text
from tests.builders import job, offer, part

JOB = job([part("A", 1, 1400)], [offer("P1", 3000, 9)])


def test_nothing_was_used_again() -> None:
    assert reuse_text(JOB, ()) == ""


def test_pieces_that_a_job_left_and_others() -> None:
    lines = (
        Reused(job="gate", pieces=2, length=2400 * MM, worth=9 * CURRENCY),
        Reused(job="", pieces=1, length=800 * MM, worth=0),
    )
    assert reuse_text(JOB, lines).splitlines() == [
        "Reused: 2 offcuts of gate, 2.4 m; the same length new costs 9.00 EUR",
        "Reused: 1 other piece of the rack, 0.8 m; the same length new costs 0.00 EUR",
        "  at the lowest price on sale; compare --no-rack gives the exact saving",
    ]
