"""What a workshop says of its rack, which no plan needs to know."""

from __future__ import annotations

from dataclasses import dataclass

from cutplan.units import Money

LEDGER = "rack.ledger"
"""The rack's ledger, beside the workshop file unless that says where."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RackRules:
    """How the workshop keeps its rack and goes on with a plan that was begun.

    ``hold_days`` is how long a hold lasts; a piece is old after ``old_after_months``; ``scrap_price_per_kg`` is what
    scrap pays, in millionths of the currency; ``stay`` is what it may cost that bars stay as they were when the rest is
    planned again, in millionths of what the rest costs.
    """

    hold_days: int = 14
    old_after_months: int = 12
    scrap_price_per_kg: Money = 0
    stay: int = 10_000
