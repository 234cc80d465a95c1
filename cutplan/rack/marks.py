"""Marks to paint on pieces: a letter and a number, read aloud without doubt and never given twice.

The letters that look or sound like another, or like a digit, are left out. A mark starts with its letter, so that
6 and 9 cannot be taken for one another on a piece that lies upside down. The letter changes first: marks given one
after another differ in their letters, and pieces cut on one day are told apart at a glance.
"""

from __future__ import annotations

from cutplan.problems import Refused

LETTERS = "ACEFHJKMPRTWXY"
"""Not in it: B D G I L O Q S Z, which look like 8 0 6 1 1 0 0 5 2, N beside M, and U V beside Y and W (own choice)."""

LONGEST_MARK = 20
MARK_FORMS = f"a mark of at most {LONGEST_MARK} letters, digits, hyphens, full stops and slashes, such as K7"

_LOOK_ALIKE = str.maketrans("OQDILSZBG", "000115286")


def mark_of(number: int) -> str:
    """The mark with this number, counted from 0: A1, C1, E1, ... Y1, A2, ..."""
    if number < 0:
        raise ValueError("marks are counted from 0")
    return f"{LETTERS[number % len(LETTERS)]}{number // len(LETTERS) + 1}"


def look_of(mark: str) -> str:
    """What two marks share when one could be read as the other: ``ko`` and ``K0`` have one look."""
    return tidy_mark(mark).translate(_LOOK_ALIKE)


def tidy_mark(text: str) -> str:
    """A mark as it is kept: capitals, no spaces.

    Raises
    ------
    Refused
        When the text cannot be a mark.
    """
    mark = "".join(text.split()).upper()
    plain = mark.replace("-", "").replace(".", "").replace("/", "").replace("_", "")
    if not plain or len(mark) > LONGEST_MARK or not plain.isalnum():
        raise Refused(text, MARK_FORMS, code="rack.mark")
    return mark
