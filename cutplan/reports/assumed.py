"""What of the things assumed a reader needs where: at the saw, and on a screen that has room for little."""

from __future__ import annotations

from collections.abc import Iterable

from cutplan.model import Assumption, Fate, Plan, SourceKind

_OF_THE_CUT = {
    "assumed.kerf",
    "assumed.end_trim",
    "assumed.end_trim_cut",
    "assumed.mill_ends",
    "assumed.safe_hold",
    "assumed.clamp",
    "assumed.square_reads",
    "assumed.swings",
    "assumed.full_length",
    "assumed.lean",
    "assumed.length_is",
    "assumed.allowance",
    "assumed.offcut_ends",
    "assumed.opposite_hand",
}

_OF_PRINT = {
    "assumed.workshop_file",
    "assumed.ledger",
    "assumed.holes_sheet",
    "assumed.paper",
    "assumed.labels",
    "assumed.currency",
    "assumed.heavy",
    "assumed.density",
}
"""What changes neither what is bought nor how it is cut, whatever the plan."""


def changing_the_cut(assumptions: Iterable[Assumption]) -> tuple[str, ...]:
    """The sentences that speak of kerf, trim, clamping, lengths counted on and mitres, in their order."""
    return tuple(one.text for one in assumptions if one.code in _OF_THE_CUT)


def bearing_on(plan: Plan, assumptions: Iterable[Assumption]) -> tuple[str, ...]:
    """The sentences that could have made this plan another one, in their order.

    Left out are those of a rule that nothing in the plan comes under: of offcuts where none is used, of left overs
    kept where none is, of lengths to buy where the rack is enough.
    """
    idle = _OF_PRINT | _idle_in(plan)
    return tuple(one.text for one in assumptions if one.code not in idle)


def _idle_in(plan: Plan) -> set[str]:
    kinds = {bar.kind for bar in plan.bars}
    fates = {bar.drop.fate for bar in plan.bars}
    idle = set()
    if SourceKind.BOUGHT not in kinds:
        idle |= {"assumed.carry", "assumed.full_length", "assumed.merchant_charges", "assumed.on_sale"}
    if SourceKind.OFFCUT not in kinds:
        idle |= {"assumed.offcut_ends", "assumed.book_value"}
    if Fate.KEEP not in fates:
        idle.add("assumed.offcut_value")
    if fates <= {Fate.NONE}:
        idle.add("assumed.keep")
    return idle
