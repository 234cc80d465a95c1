"""What the offcuts of earlier jobs saved a plan, in figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from cutplan.actions.rack_plans import draws_from_ledger

if TYPE_CHECKING:
    from cutplan.actions.racking import Rack
    from cutplan.model import Job, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Reused:
    """Pieces that one job left and this plan uses; ``job`` is blank for those that no job left.

    Parameters
    ----------
    length
        Of the bars, together. [nm]
    worth
        What as much length costs new, at the cheapest price a length on sale has for the section; pieces of sections
        without a price are left out. [millionths of the currency]
    """

    job: str
    pieces: int
    length: int
    worth: int


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


def reuse_text(job: Job, lines: Sequence[Reused]) -> str:
    """What was reused, in words; blank when nothing was."""
    from cutplan.units import money_text, stock_text

    told = []
    for line in lines:
        whose = f"offcuts of {line.job}" if line.job else "other pieces of the rack"
        length = stock_text(line.length, job.workshop.printing)
        worth = f"{money_text(line.worth)} {job.workshop.currency}"
        told.append(f"Reused: {line.pieces} {whose}, {length}; as much length costs {worth} new")
    if told:
        told.append("  at the cheapest price on sale; compare --no-rack gives the exact saving")
    return "\n".join(told)
