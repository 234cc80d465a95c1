"""What is text: the one rule for every cell, key and word that is read, so that all that prints can take it.

Letters of every script are text. What nobody can see is none: marks that a file begins with and that stand in the
middle where two were joined, marks of direction and breaks of no width are dropped, blanks of any kind are blanks.
What is no letter at all is refused, and so is what shows letters in another order than they are in: nobody knows which
of the two was meant.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

LONGEST_TEXT = 32_000
"""Characters in a cell. A spreadsheet program holds 32,767, and what is read has to go into a workbook whole."""
TEXT_FORMS = f"text that can be printed, at most {LONGEST_TEXT} characters"

_JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"
"""Of what nobody can see, these alone change how letters beside them look, in Persian and in the scripts of India."""
_BREAKS = "\t\n\r"
"""Blanks that a cell may hold to begin a new line or a column."""
_OVERRIDES = "\N{LEFT-TO-RIGHT OVERRIDE}\N{RIGHT-TO-LEFT OVERRIDE}"
"""Of the marks of direction, these alone turn round letters that have a direction of their own: T21 is seen for T12."""
_NO_LETTERS = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


def seen_text(text: str) -> str:
    """A text without what nobody can see, and with plain blanks."""
    if text.isprintable():
        return text
    return "".join(map(_seen, text))


@cache
def _seen(letter: str) -> str:
    if letter in _BREAKS or letter in _JOINERS or letter in _OVERRIDES:
        return letter
    if letter.isspace():
        return " "
    return "" if unicodedata.category(letter) == "Cf" else letter


def text_fault(text: str) -> str:
    """What keeps a text from being printed or put into a workbook as it is, in words; blank when nothing does."""
    if len(text) > LONGEST_TEXT:
        return f"a text of {len(text)} characters"
    if text.isprintable():
        return ""
    turned = next((letter for letter in text if letter in _OVERRIDES), "")
    if turned:
        return f"a character that shows letters in another order, U+{ord(turned):04X}"
    match = _NO_LETTERS.search(" ".join(text.split()))
    return f"a character that cannot be printed, U+{ord(match[0]):04X}" if match else ""
