"""Numbers as people type them: signs and glyphs made one, fractions and plain decimals read exactly."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from cutplan.problems import Refused

_SIGNS = str.maketrans(
    {
        **dict.fromkeys("″”“„‟ʺ˝＂", '"'),
        **dict.fromkeys("′’‘‚‛ʹ´`＇", "'"),
        **dict.fromkeys("‐‑‒–—−－﹣", "-"),
        **dict.fromkeys("⁄∕／", "/"),
        "\u00a0": " ",
    }
)
"""Typographic primes and quotes, hyphens, minus signs and fraction strokes, each as the plain key."""

_GLYPHS = {
    char: unicodedata.normalize("NFKC", char).replace("\N{FRACTION SLASH}", "/")
    for char in map(chr, (*range(0xBC, 0xBF), *range(0x2150, 0x215F)))
}
"""Every vulgar fraction of Unicode written out: ``½`` is ``1/2``."""
_RAISED = re.compile("([⁰¹²³⁴-⁹]+)[⁄∕/]([₀-₉]+)")
"""A fraction set in raised and lowered figures."""

NUMBER = (
    r"(?:(?P<whole>\d+)(?:\s+|-)(?P<num>\d+)\s*/\s*(?P<den>\d+)"
    r"|(?P<fnum>\d+)\s*/\s*(?P<fden>\d+)"
    r"|(?P<dec>\d+\.\d+|\d+|\.\d+))"
)

FIGURES = r"\d+(?:\.\d+)?"
"""A plain decimal, without a group of its own."""

_SEPARATED = re.compile(r"\d[\d.,]*|[.,]\d[\d.,]*")
_WITH_SIGN = {
    ".": re.compile(r"(?P<whole>[1-9]\d{0,2}(?:,\d{3})+|\d*)(?P<part>\.\d*)?"),
    ",": re.compile(r"(?P<whole>[1-9]\d{0,2}(?:\.\d{3})+|\d*)(?P<part>,\d*)?"),
}
"""A number whose decimal sign is known; the other sign may part its thousands."""

DECIMAL_SIGNS = tuple(_WITH_SIGN)
COMMA = re.compile(r"\d,\d")
"""A comma inside a number, which means one thing or the other as long as nobody says."""

_SAY = "say which sign is the decimal one with workshop.decimal_sign in the workshop file"

QUANTITY_FORMS = "a whole number from 1 to 100000, such as 4"
MAX_QUANTITY = 100_000

LONGEST_NUMBER = 60
"""Characters in a number as typed. Python itself refuses to read whole numbers of more than 4300 digits."""


def tidy_text(text: str) -> str:
    """One kind of quote mark, minus and space, fraction glyphs written out, no blanks around.

    ``47½ ″`` becomes ``47 1/2 "``. Nothing that changes a value is repaired.
    """
    if not text.isascii():
        text = _RAISED.sub(lambda match: f" {unicodedata.normalize('NFKC', match[0])}", text)
        for glyph, plain in _GLYPHS.items():
            if glyph in text:
                text = re.sub(rf"(?<=\d){glyph}", f" {plain}", text).replace(glyph, plain)
        text = text.translate(_SIGNS)
    return " ".join(text.split())


def fraction_of(match: re.Match[str]) -> Fraction:
    """The number an amount holds; a zero denominator raises ZeroDivisionError."""
    if match["whole"]:
        return int(match["whole"]) + Fraction(int(match["num"]), int(match["den"]))
    if match["fnum"]:
        return Fraction(int(match["fnum"]), int(match["fden"]))
    return Fraction(match["dec"])


def unsaid_comma(text: str) -> str:
    """The hint where a comma stands in a number, with what that number may be; blank where none does.

    With letters among its figures it may be anything, and they are named first. In lb the l is none.
    """
    if not COMMA.search(text):
        return ""
    letters = letters_hint(re.sub(r"lbs?\b", "", text))
    if letters:
        return letters
    number = next(match[0] for match in _SEPARATED.finditer(text) if "," in match[0].strip(",")).strip(".,")
    meant = [_plain(read, sign) for sign, form in _WITH_SIGN.items() if (read := form.fullmatch(number))]
    if len(meant) == 1:
        return f"is {meant[0]} meant? write that, or {_SAY}"
    either = " or ".join(meant) or "it with a point for decimals and nothing for thousands"
    return f"a comma may stand for thousands or for decimals: write {either}, or {_SAY}"


def _plain(read: re.Match[str], decimal_sign: str) -> str:
    whole, part = re.sub(r"[.,]", "", read["whole"]) or "0", (read["part"] or "").removeprefix(decimal_sign).rstrip("0")
    return f"{whole}.{part}" if part else whole


def with_point(text: str, decimal_sign: str, accepted: str) -> str:
    """The text with every number in it as a plain decimal with a point, thousands closed up.

    Parameters
    ----------
    text
        As typed: ``1.200,5 mm`` where the sign is a comma, ``1,200.5`` where it is a point.
    decimal_sign
        ``.`` or ``,`` as the workshop says; blank where it has not said, and then a comma in a number is refused.
    accepted
        What is accepted, for the refusal.

    Raises
    ------
    Refused
        When a number's signs do not fit the decimal sign: it may then be meant otherwise.
    """
    if not decimal_sign:
        if COMMA.search(text):
            raise Refused(text, accepted, unsaid_comma(text), code="number.comma")
        return text
    other = "," if decimal_sign == "." else "."

    def plain(match: re.Match[str]) -> str:
        number, dot = match[0], ""
        if number[-1] in ".," and len(number) > 1 and match.end() < len(text):
            number, dot = number[:-1], number[-1]  # a sign that ends a word, not a number
        read = _WITH_SIGN[decimal_sign].fullmatch(number)
        if read is None:
            names = {".": "point", ",": "comma"}
            hint = (
                f"the workshop file says that the decimal sign is a {names[decimal_sign]}; "
                f"a {names[other]} only parts thousands, three figures each"
            )
            raise Refused(text, accepted, hint, code="number.sign")
        return read["whole"].replace(other, "") + (read["part"] or "").replace(decimal_sign, ".") + dot

    return _SEPARATED.sub(plain, text)


def letters_hint(text: str) -> str:
    """Hint at letters typed for digits; blank when there are none."""
    if re.search(r"\d[Oo]|[Oo]\d", text):
        return "letter O where a digit is expected"
    if re.search(r"\d[lI]|[lI]\d", text):
        return "letter l or I where a digit is expected"
    return ""


def parse_decimal(text: str, accepted: str) -> Decimal:
    """A plain decimal number, not negative; raises Refused with ``accepted`` otherwise."""
    tidy = tidy_text(text)
    if len(tidy) > LONGEST_NUMBER:
        raise Refused(text, accepted, code="number.unreadable")
    if COMMA.search(tidy):
        raise Refused(text, accepted, unsaid_comma(tidy), code="number.comma")
    if not re.fullmatch(r"-?(?:\d+\.?\d*|\.\d+)", tidy):
        raise Refused(text, accepted, letters_hint(tidy), code="number.unreadable")
    value = Decimal(tidy)
    if value < 0:
        raise Refused(text, accepted, "a negative amount has no meaning here", code="number.negative")
    return value


_IN_NUMBER = r"(?:pcs?|pieces?|nos?|off|ea|each)\.?"
"""What is written behind a number of pieces and says nothing more."""
_PAIRS = re.compile(r"(?:a|\d+)?\s*(?:pairs?|prs?)\.?", re.IGNORECASE)
_DOZENS = re.compile(r"(?:a|\d+|half(?: a)?)?\s*(?:dozens?|doz)\.?", re.IGNORECASE)

_NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_WORDED = re.compile(
    rf"(?P<word>{'|'.join(_NUMBER_WORDS)})(?:\s+{_IN_NUMBER})?|[x×*]\s*([1-9]\d{{0,4}})|([1-9]\d{{0,4}})\s*[x×*]",
    re.IGNORECASE,
)
"""A number of pieces as a word, or beside a sign of multiplication, as on drawings."""


def parse_quantity(text: str) -> int:
    """A whole number of pieces, 1 to 100,000, as in ``4`` and ``4 pcs``; raises Refused otherwise."""
    tidy = tidy_text(text)
    match = re.fullmatch(rf"(\d{{1,20}})(?:\.0+)?(?:\s*{_IN_NUMBER})?", tidy, re.IGNORECASE)
    if match is None or not 1 <= int(match[1]) <= MAX_QUANTITY:
        raise Refused(text, QUANTITY_FORMS, _quantity_hint(tidy), code="quantity.unreadable")
    return int(match[1])


def _quantity_hint(text: str) -> str:
    """Hint at what a quantity in words may be; blank where nothing is known of it."""
    if _PAIRS.fullmatch(text):
        return "a pair is 2 of a part, or 1 and 1 of opposite hand: say which in figures"
    if _DOZENS.fullmatch(text):
        return "a dozen is 12: say it in figures"
    worded = _WORDED.fullmatch(text)
    if worded is not None:
        word = worded["word"]
        return f"say it in figures: {_NUMBER_WORDS.index(word.casefold()) + 1 if word else worded[2] or worded[3]}"
    return letters_hint(text)
