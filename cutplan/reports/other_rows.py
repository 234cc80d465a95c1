"""Rows of what is bought beside steel and not cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.model import OtherLine

TITLE = "Other things"
NO_PRICE = "no price"


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherRow:
    """One line that is not cut; ``text`` says what and how many, for which assembly and from whom."""

    text: str
    line: OtherLine


def other_row(line: OtherLine) -> OtherRow:
    """``12 x hinge 100 mm for gate, from Ironmonger``; the note behind it."""
    text = f"{line.quantity} x {line.name}"
    if line.assembly:
        text += f" for {line.assembly}"
    text += "".join(f", {words}" for words in (line.merchant and f"from {line.merchant}", line.note) if words)
    return OtherRow(text=text, line=line)


def no_price(rows: Sequence[OtherRow]) -> tuple[str, ...]:
    """Names of the lines that the money leaves out."""
    return tuple(row.line.name for row in rows if row.line.price_each is None)
