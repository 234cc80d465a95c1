"""Ends of which those of one hand meet those of the other alone: what sets take by how the hands are matched.

A cut that two mitres share has one of either hand. Let every end of the hand with fewer of them in the group count
with the whole saving. In a bar the shared cuts are no more than its ends of either hand, so that each end of that hand
without a partner has its saving taken back. Parts with two mitres, t of them, share no more than t - 1 cuts among
themselves, so that one is taken back where hands are even and no other part has a mitre.

References
----------
Worked out here, and held to trying every order, turn and roll by ``tests/test_checking_hands.py``.
"""

from __future__ import annotations

from typing import NamedTuple

LACKING = 10
"""Ends without a partner that are followed; of more, no more are counted."""


class Matched(NamedTuple):
    """A set by its hands: ends of the fewer hand without a partner, None where nobody knows and none is counted.

    ``open`` tells that ends of the other hand are over, ``mixed`` that a part has one mitre and one square end, and
    ``mitred`` that there are mitres at all.
    """

    lacking: int | None = 0
    open: bool = False
    mixed: bool = False
    mitred: bool = False


def matched(state: Matched, hands: tuple[int, int], copies: int) -> Matched:
    """The state with more parts whose ends are of some hands: -1 is the fewer one, 1 the other, 0 is square."""
    if state.lacking is None:
        return state
    over = copies * sum(hands)
    if state.open and over < 0:
        # How many were over is not known.
        return Matched(None, True, True, True)
    over += int(state.open) - state.lacking
    return Matched(
        min(LACKING, max(0, -over)), over > 0, state.mixed or (0 in hands and any(hands)), state.mitred or any(hands)
    )


def taken_back(state: Matched) -> int:
    """How many savings are taken back at least."""
    if state.lacking is None or state.open or not state.mitred:
        return 0
    return state.lacking if state.mixed else max(1, state.lacking)
