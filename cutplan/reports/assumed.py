"""Which of the things assumed change what is done at the saw: those stand on the sheet to cut from."""

from __future__ import annotations

from collections.abc import Iterable

_OF_THE_CUT = (
    "Kerf ",
    "End trim ",
    "The end trim ",
    "Mill ends ",
    "The vice ",
    "The saw's scale ",
    "Bars are counted ",
    "Two mitres ",
    "Mitred parts ",
    "Added to parts ",
    "Offcut ends ",
    "Opposite hand ",
)
"""How the sentences begin that :mod:`cutplan.reading.assumptions` has for them; a test holds the two together."""


def changing_the_cut(assumptions: Iterable[str]) -> tuple[str, ...]:
    """The sentences that speak of kerf, trim, clamping, lengths counted on and mitres, in their order."""
    return tuple(text for text in assumptions if text.startswith(_OF_THE_CUT))
