"""What a section is called where people work in inches: ``SHS 50.8x50.8x3.175`` is ``HSS 2x2x1/8``.

Fractions down to 64ths; of a round tube three decimals, as in AISC's names of round HSS (Manual of Steel
Construction, 15th edition, 2017, table 1-13). A name without a fraction has an inch mark, or it would be millimetres.
"""

from __future__ import annotations

import re
from fractions import Fraction

_WORDS = (
    {"EA": "L", "UA": "L"}
    | dict.fromkeys(("SHS", "RHS", "CHS"), "HSS ")
    | {w: f"{w} " for w in ("FL", "SQ", "RD", "HEX")}
)
_ALONE = {"FL": "flat", "SQ": "square", "RD": "round", "HEX": "hexagon"}
_SIZE = re.compile(r"(?P<word>[A-Z]+) (?P<sides>[\d.]+(?:x[\d.]+)*)(?P<rest>.*)")
_INCH = Fraction(254, 10)


def inch_name(designation: str) -> str:
    """The designation in inches; as it is where a side is no whole number of 64ths, or the family is named alike."""
    found = _SIZE.fullmatch(designation)
    if found is None or found["word"] not in _WORDS:
        return designation
    sides = [Fraction(side) / _INCH for side in found["sides"].split("x")]
    round_tube = found["word"] == "CHS"
    texts = [_decimals(side) if round_tube else _fraction(side) for side in sides]
    if "" in texts:
        return designation
    if not round_tube and found["word"] in ("SHS", "RHS") and len(texts) != 3:
        return designation
    named = _WORDS[found["word"]] + "x".join(texts)
    marked = (
        named if round_tube or any("/" in text for text in texts) or found["word"] in ("SHS", "RHS") else f'{named}"'
    )
    return marked + found["rest"]


def inch_family(word: str) -> str:
    """What a family is called there by itself: ``HSS``, ``L``, ``flat``; as it is where its name is the same."""
    return _ALONE.get(word) or _WORDS.get(word, word).strip()


def _fraction(inches: Fraction) -> str:
    """``1-1/2``; blank where it is no whole number of 64ths."""
    if (inches * 64).denominator != 1:
        return ""
    whole, rest = divmod(inches, 1)
    return "-".join(text for text in (str(whole) if whole else "", str(rest) if rest else "") if text)


def _decimals(inches: Fraction) -> str:
    """``1.660``; blank where three decimals do not give it."""
    thousandths = inches * 1000
    return f"{int(thousandths) // 1000}.{int(thousandths) % 1000:03}" if thousandths.denominator == 1 else ""
