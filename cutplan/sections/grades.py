"""Which delivered grade serves which asked grade by the standards: the same strength, and a quality at least as tough.

Only what follows from the names that a standard itself gives: the yield in them is the same, so that nothing weaker and
nothing stronger is taken without a word; a stronger grade may weld or bend otherwise, and is the workshop's to add.

References
----------
EN 10025-2:2019, EN 10210-1:2006, EN 10219-1:2006 (names after EN 10027-1): JR, J0 and J2 are tested with 27 J at +20, 0
and -20 degrees Celsius, K2 with 40 J at -20; H is a hollow section. AS/NZS 1163:2016, AS/NZS 3679.1:2016: L0 and L15
are tested at 0 and -15 degrees, the same grade without is not. ASTM A36, A500 and A572 name no quality beside the
yield: A500 grade C has the higher yield of grade B but less elongation (21 and 23 %), so that none serves another here.
All from memory of the texts, but the yields, which stand in the names.
"""

from __future__ import annotations

import re

from cutplan.problems import Refused

_TOUGHNESS = {"": 0, "JR": 1, "J0": 2, "J2": 3, "K2": 4, "L0": 1, "L15": 2}
"""Qualities of each system of names, the toughest last; the name without one leaves it open."""
_NAMES = (
    re.compile(r"(?P<strength>S(?:185|235|275|355|420|450|460))(?P<quality>JR|J0|J2|K2|)(?P<hollow>H?)"),
    re.compile(r"(?P<strength>C?(?:250|300|350|400|450))(?P<quality>L0|L15|)(?P<hollow>)"),
)

_YIELDS = (
    ("EN", re.compile(r"S(?P<least>185|235|275|355|420|450|460)(?:JR|J0|J2|K2|)H?")),
    ("AS/NZS", re.compile(r"C?(?P<least>250|300|350|400|450)(?:L0|L15|)")),
    ("ASTM", re.compile(r"A572[ -]?(?:GR\.? ?|GRADE )?(?P<least>42|50|55|60|65)")),
)
"""Names that say the least yield, by the system of names: in N/mm2, those of ASTM in ksi."""
_YIELDS_OF = {
    **{"A36": ("ASTM", 36), "A992": ("ASTM", 50)},
    **{"A": ("A500", 39), "B": ("A500", 46), "C": ("A500", 50), "D": ("A500", 36)},
}
"""Yields in ksi of grades that do not say it, those of A500 for square and rectangular tube; from memory."""

PAIR_FORMS = "a grade asked and those that serve it, such as S235JRH: S275J0H, S355J2H; B: C"

Pairs = frozenset[tuple[str, str]]
"""Grades asked, each with one delivered."""


def pairs_of(text: str) -> Pairs:
    """The pairs named in a text, with semicolons between grades asked: ``S235JRH: S275J0H, S355J2H; B: C``.

    Raises
    ------
    Refused
        When a grade asked, or what serves it, is not named.
    """
    found = set()
    for words in filter(None, (words.strip() for words in text.upper().split(";"))):
        asked, _, rest = words.partition(":")
        delivered = [" ".join(grade.split()) for grade in rest.split(",")]
        if not asked.strip() or not all(delivered):
            raise Refused(words, PAIR_FORMS, code="workshop.grades")
        found |= {(" ".join(asked.split()), grade) for grade in delivered}
    return frozenset(found)


def lower_yield(delivered: str, asked: str) -> bool | None:
    """Has the grade delivered a lower yield than the one asked? None where their names do not tell."""
    given, wanted = _least_yield(delivered), _least_yield(asked)
    return None if not given or not wanted or given[0] != wanted[0] else given[1] < wanted[1]


def _least_yield(grade: str) -> tuple[str, int] | None:
    for system, name in _YIELDS:
        if found := name.fullmatch(grade):
            return system, int(found["least"])
    return _YIELDS_OF.get(grade)


def serves_by_standard(delivered: str, asked: str) -> bool:
    """May a bar of the grade delivered be cut into parts of the grade asked, by the names of the standards?

    Both as lists have them, upper case. A grade that no standard here names serves itself alone.
    """
    if delivered == asked:
        return True
    for name in _NAMES:
        given, wanted = name.fullmatch(delivered), name.fullmatch(asked)
        if given and wanted:
            return (
                given["strength"] == wanted["strength"]
                and _TOUGHNESS[given["quality"]] >= _TOUGHNESS[wanted["quality"]]
                and given["hollow"] >= wanted["hollow"]
            )
    return False
