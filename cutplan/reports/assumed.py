"""Which of the things assumed change what is done at the saw: those stand on the sheet to cut from."""

from __future__ import annotations

from collections.abc import Iterable

from cutplan.model import Assumption

_OF_THE_CUT = {
    "assumed.kerf",
    "assumed.end_trim",
    "assumed.end_trim_cut",
    "assumed.mill_ends",
    "assumed.safe_hold",
    "assumed.clamp",
    "assumed.square_reads",
    "assumed.full_length",
    "assumed.lean",
    "assumed.length_is",
    "assumed.allowance",
    "assumed.offcut_ends",
    "assumed.opposite_hand",
}


def changing_the_cut(assumptions: Iterable[Assumption]) -> tuple[str, ...]:
    """The sentences that speak of kerf, trim, clamping, lengths counted on and mitres, in their order."""
    return tuple(one.text for one in assumptions if one.code in _OF_THE_CUT)
