"""What the offcuts of earlier jobs saved a plan, in figures."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from cutplan.actions.rack_plans import draws_from_ledger
from cutplan.words.reused import Reused

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan


def reused(job: Job, plan: Plan, rack: Rack) -> tuple[Reused, ...]:
    """What a plan uses of the rack, by the job that left it, in the order of the bars."""
    from cutplan.model import SourceKind
    from cutplan.rack.history import left_by

    bars = [bar for bar in plan.bars if bar.kind is SourceKind.OFFCUT]
    if not bars or not draws_from_ledger(job):
        return ()
    offcuts = {offcut.mark: offcut for offcut in job.offcuts}
    with rack.open(read_only=True) as ledger:
        origins = left_by(ledger, [bar.source for bar in bars])
    found: dict[str, list[tuple[int, Fraction]]] = defaultdict(list)
    for bar in bars:
        offcut = offcuts[bar.source]
        rates = [
            Fraction(offer.bar_price, offer.length)
            for offer in job.offers
            if offer.bar_price is not None and (offer.section.key, offer.finish) == (offcut.section.key, offcut.finish)
        ]
        found[origins[bar.source]].append((bar.length, min(rates, default=Fraction(0)) * bar.length))
    return tuple(
        Reused(
            job=name,
            pieces=len(pieces),
            length=sum(length for length, _ in pieces),
            worth=round(sum((worth for _, worth in pieces), Fraction(0))),
        )
        for name, pieces in found.items()
    )
