"""What a length cut for the carry can hold, as the checker bounds it: by hand."""

from __future__ import annotations

import pytest

from cutplan.checking.proof import review_proof
from cutplan.model import Leaf, Merchant, Proof, Status, groups_of
from cutplan.units import CURRENCY, MM
from tests.builders import job, offer, part

SCALE = 1000
"""The denominator of the duals."""


@pytest.mark.parametrize(
    ("length", "mitres", "bound"),
    [(2600, (0, 0), 40), (2600, (45, 45), 40), (2600, (45, 0), 40), (2006, (45, 45), 40), (2005, (45, 45), 0)],
)
def test_each_piece_holds_what_can_be_carried(length: int, mitres: tuple[int, int], bound: int) -> None:
    """8 m cost 10.00 and a cut 10.00. Of four parts worth 10.00 each two pieces hold two at most, worth what both cost.

    Seen as one bar they would hold three of 2.6 m. A piece of 4 m is counted on for 3995 mm and has 3975 mm between
    its trims. Two parts with a shared cut take 2 x 2006 - 40 + 3.6 = 3975.6 mm, and those of 2005 mm 3973.6 mm: then
    a length holds four, worth 20.00 more than it costs, and four lengths leave nothing of the 40.00.
    """
    made = job(
        [part("A", 4, length, mitres=mitres)],
        [offer("P1", 8000, 10)],
        kerf="2.5",
        end_trim=10,
        longest_carry=4000,
        share_mitres=True,
        merchants=[Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=10 * CURRENCY, carry_cuts_squared=True)],
    )
    (group,) = groups_of(made)
    leaf = Leaf(ranges=((0, 4),), duals=(10 * CURRENCY * SCALE,))
    proof = Proof(sources=("P1",), status=Status.RECHECKED, denominator=SCALE, step=MM // 10, bound=0, leaves=(leaf,))
    found = review_proof(made, group, proof)
    assert found.failures == ()
    assert found.bound is not None
    assert max(0, found.bound) == bound * CURRENCY
