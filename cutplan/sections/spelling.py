"""The names of sections: what people type, and the one spelling used here.

A name is a family word and dimensions, in either order: ``SHS 40x40x3``,
``30 x 30 x 2.0 square tube``, ``Ø48.3x3.2 tube``, ``1/4 x 2 flat``. Spaces, case
and the sign between dimensions do not matter; nothing that changes the section
is repaired. A fraction or an inch mark anywhere makes the whole name inches,
and so does the word HSS; otherwise dimensions are millimetres.

The one spelling is the word of the family and the dimensions in millimetres as
exact decimals without trailing zeros, larger side first, thickness last. An
inch is 25.4 mm, so the decimals of an inch size always end: HSS 2x2x1/8 is
SHS 50.8x50.8x3.175. One exception keeps the spelling readable back: a round
tube of exactly 48 mm is CHS 48.0x3, because CHS 48x3 is taken for a slip of
48.3 and refused.

Channels, beams and pipe go by sizes of tables, with a spelling of their own each:
UPN 100, 100PFC, UB 203x133x25, W8X31, PIPE 40 NB medium, T from IPE 100.

What is not read here: standard, grade and length have places of their own.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from cutplan.problems import Refused
from cutplan.sections.dimensioned import BY_WORDS, HINTS, VOCABULARY, NotRead, no_family
from cutplan.sections.materials import take_material
from cutplan.sections.names import ACCEPTED, LONGEST_NAME, PLAIN, Name, Notation, plain_capitals
from cutplan.sections.own import OWN_STANDARD, same_name
from cutplan.sections.pipes import read_pipe
from cutplan.sections.rolled_names import read_rolled
from cutplan.sections.section import Family
from cutplan.sections.typed import take_apart

_COMMA = re.compile(r"\d,\d")
_AS_DIGITS = str.maketrans("OoIlS", "00115")
_LOOK_LIKE_DIGITS = re.compile(r"(?<![A-WYZa-wyz])(?:[OoIl]|S(?=[\dxX.OoIl]))+(?![A-WYZa-wyz])")
"""Letters in the place of numbers: no other letter beside them but the sign x. An S at the end of a number says more,
such as stainless."""
_OPEN_COMMA = "a comma between digits may be decimal or separate: write a point, or set workshop.decimal_sign"
_GRADE = re.compile(r"\b(?:[SCE]\d{3}[A-Z\d]*|A36|A53|A500)\b")
_STANDARD = re.compile(r"\b(?:EN|ASTM|AS/NZS|AS|NZS|IS|BS|DIN)\s*\d")


def parse(text: str, notation: Notation = PLAIN) -> Name:
    """Read the name of a section.

    Parameters
    ----------
    text
        As typed, e.g. ``50x50x5 EA``, ``1 in round bright``, ``HSS2X2X1/8``, ``203x133x25 UB``.
    notation
        How the workshop writes decimals, and the gauge table of its merchant.

    Returns
    -------
    Name
        Family and exact dimensions or the size of a table, with the finish and the standard that the words name.

    Raises
    ------
    Refused
        When the name is incomplete, ambiguous, impossible or of a family not known here; the readings that
        would be accepted are offered.
    """
    outcome = _outcome(text, notation)
    if isinstance(outcome, Name):
        return outcome
    found, accepted, hint, code = outcome
    raise Refused(found, accepted, hint, code=code)


@lru_cache(maxsize=4096)
def _outcome(text: str, notation: Notation) -> Name | tuple[str, str, str, str]:
    # Refusals are kept too: a list repeats its mistakes as often as its sections.
    try:
        return _read(text, notation)
    except NotRead as not_read:
        refused = _refused(text, not_read, notation)
    except Refused as raised:
        refused = raised
    meant = _digits_meant(text, notation)
    if meant:
        return refused.found, refused.accepted, meant, refused.code
    return refused.found, refused.accepted, refused.hint, refused.code


def _refused(text: str, not_read: NotRead, notation: Notation) -> Refused:
    """The refusal of ``text``; offers only readings that really are accepted."""
    sound = list(dict.fromkeys(reading for reading in not_read.readings if _is_read(reading, notation)))
    if not sound:
        return Refused(text, ACCEPTED, not_read.hint or not_read.accepted, code=not_read.code)
    return Refused(text, f"{not_read.accepted}, such as {' or '.join(sound)}", not_read.hint, code=not_read.code)


def _digits_meant(text: str, notation: Notation) -> str:
    """Hint at letters that stand where digits make a name of it; blank where they do not."""
    letters = sorted({letter for run in _LOOK_LIKE_DIGITS.findall(text) for letter in run})
    meant = _LOOK_LIKE_DIGITS.sub(lambda run: run[0].translate(_AS_DIGITS), text)
    if not letters or not _is_read(meant, notation):
        return ""
    if len(letters) == 1:
        return f'letter {letters[0]} where a digit is expected: did you mean "{meant}"?'
    return f'letters {" and ".join(letters)} where digits are expected: did you mean "{meant}"?'


def _is_read(text: str, notation: Notation) -> bool:
    try:
        _read(text, notation)
    except (Refused, NotRead):
        return False
    return True


def _read(text: str, notation: Notation) -> Name:
    if len(text) > LONGEST_NAME:
        raise Refused(text, ACCEPTED, "this is too long for the name of a section", code="section.long")
    for own in notation.own:
        if same_name(own.name) == same_name(text):
            return Name(family=Family.OWN, label=own.name, standard=OWN_STANDARD)
    capitals = plain_capitals(text)
    if notation.decimal_comma:
        capitals = re.sub(r"(?<=\d),(?=\d)", ".", capitals)
    elif _COMMA.search(capitals):
        raise Refused(text, ACCEPTED, _OPEN_COMMA, code="section.comma")
    for pattern, what, where in ((_STANDARD, "standard", "Standard"), (_GRADE, "grade", "Grade")):
        if pattern.search(capitals):
            raise Refused(
                text, ACCEPTED, f"a {what} goes into the column {where}, not into the name", code="section.words"
            )
    capitals, material = take_material(text, capitals, notation.materials)
    return replace(_named(text, capitals, notation), material=material)


def _named(text: str, capitals: str, notation: Notation) -> Name:
    named = read_pipe(text, capitals) or read_rolled(text, capitals)
    if named is not None:
        return named
    typed = take_apart(text, capitals, notation, VOCABULARY, HINTS)
    if not typed.sizes:
        raise Refused(text, ACCEPTED, "dimensions are missing" if typed.words else "", code="section.dimensions")
    reader = BY_WORDS.get(typed.words)
    if reader is None:
        raise no_family(typed)
    return reader(typed)
