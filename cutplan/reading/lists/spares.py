"""How many more than are needed: free where a left over gives them, or bought."""

from __future__ import annotations

import re
from dataclasses import dataclass

from cutplan.problems import Refused
from cutplan.units import MAX_QUANTITY, parse_quantity

SPARES_FORMS = "a whole number such as 2, of spares that come free from left overs; or 2 bought; blank is none"


@dataclass(frozen=True, slots=True)
class Spares:
    """How many come free from left overs, where there are any, and how many are bought."""

    free: int = 0
    bought: int = 0


def parse_spares(text: str) -> Spares:
    """``2``, ``2 free``, ``2 bought``, ``1 free, 1 bought``; raises Refused."""
    if text == "0":
        return Spares()
    found = {"free": 0, "bought": 0}
    for word in re.split(r"\s*[,+]\s*|\s+and\s+", text.lower()):
        match = re.fullmatch(r"(\d{1,6})\s*(free|bought|buy)?", word)
        kind = "bought" if match and match[2] in ("bought", "buy") else "free"
        if match is None or found[kind]:
            raise Refused(text, SPARES_FORMS, code="spares.unreadable")
        try:
            found[kind] = parse_quantity(match[1])
        except Refused:
            raise Refused(text, f"at most {MAX_QUANTITY} spares; {SPARES_FORMS}", code="spares.most") from None
    return Spares(**found)
