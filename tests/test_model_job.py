"""Job, its pieces and how it splits into groups, against sums done by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from cutplan.model import EndCut
from cutplan.units import DEGREE
from tests.builders import job, mm, offcut, offer, part

WHOLE = part("P", 1, 500)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: replace(WHOLE, mark=""), "a part has a mark"),
        (lambda: replace(WHOLE, quantity=0), "quantity of at least 1"),
        (lambda: replace(WHOLE, length=0), "and a length"),
        (lambda: replace(WHOLE, end_a=EndCut(angle=DEGREE)), "P: a mitre needs the depth it runs across"),
        (lambda: part("P", 1, 79, mitres=(45, 45)), "P: the mitres cross before the short point"),
        (lambda: replace(offer("A", 6000, 1), counted=mm(6001)), "A: the length counted on"),
        (lambda: replace(offer("A", 6000, 1), counted=0), "A: the length counted on"),
        (lambda: offer("A", 6000, -1), "A: a price is not negative"),
        (lambda: offer("A", 6000, 1, available=-1), "A: the number available is not negative"),
        (lambda: replace(offcut("R", 500), mark=""), "an offcut has a mark"),
        (lambda: offcut("R", 0), "an offcut has a mark, a length"),
        (lambda: offcut("R", 500, -1), "a book value that is not negative"),
        (lambda: job([WHOLE, WHOLE], []), "a mark is used twice"),
        (lambda: job([WHOLE], [offer("A", 6000, 1), offer("A", 7000, 1)]), "a offer is used twice"),
        (lambda: job([WHOLE], [], [offcut("R", 500), offcut("R", 600)]), "a offcut mark is used twice"),
        (lambda: job([], []), "at least one part"),
    ],
)
def test_each_piece_checks_itself(make: Callable[[], object], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        make()
