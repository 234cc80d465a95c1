"""What a plan uses again of the rack: the values and in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cutplan.units import counted, money_text, stock_text

if TYPE_CHECKING:
    from cutplan.model import Job


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


def reuse_text(job: Job, lines: Sequence[Reused]) -> str:
    """What was reused, in words; blank when nothing was."""
    told = []
    for line in lines:
        mine = counted(line.pieces, "offcut"), counted(line.pieces, "other piece")
        what = f"{mine[0]} of {line.job}" if line.job else f"{mine[1]} of the rack"
        length = stock_text(line.length, job.workshop.printing)
        worth = f"{money_text(line.worth)} {job.workshop.currency}"
        told.append(f"Reused: {what}, {length}; the same length new costs {worth}")
    if told:
        told.append("  at the lowest price on sale; compare --no-rack gives the exact saving")
    return "\n".join(told)
