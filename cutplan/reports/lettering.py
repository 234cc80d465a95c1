"""How wide a text is in the font that is shipped for paper, read from the font's own tables.

What the font lacks is left to the typesetter, which knows what other fonts there are. The font is DejaVu Sans
Condensed; its licence lies beside it.
"""

from __future__ import annotations

import struct
import unicodedata
from functools import cache, lru_cache
from pathlib import Path

from cutplan.model.joining import TOGETHER

FONTS = Path(__file__).parent / "fonts"
FAMILY = "DejaVu Sans"
STRETCH = 87.5
"""Percent of the normal width, as the font states it."""
POINT_MM = 25.4 / 72
CAPITAL = 0.729
"""Height of a capital letter or a digit over the size of the font; from its OS/2 table."""
HEAD_POINTS, _HEAD_MM = 12, 180.0
"""The size of a job's name in the head line of a page, and how wide it is in two lines at most. [pt, mm]"""
MISSING = "\N{REPLACEMENT CHARACTER}"

_FILES = {False: "DejaVuSansCondensed.ttf", True: "DejaVuSansCondensed-Bold.ttf"}


@lru_cache(maxsize=16_384)
def text_mm(text: str, points: float, *, bold: bool = False) -> float:
    """Width of a line of text, without kerning. [mm]"""
    widths, per_em = _widths(bold)
    # A letter of another font is taken for as wide as it is high, as those of Chinese and Japanese are.
    return sum(widths.get(char, per_em) for char in printable(text)) / per_em * points * POINT_MM


def printable(text: str) -> str:
    """The text with its accents put together, as the font has them."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def in_head(name: str) -> str:
    """The name of a job as the head line of a page has room for; of very many planned together how many more."""
    jobs = name.split(TOGETHER)
    shown = printable(name)
    for kept in range(len(jobs) - 1, 0, -1):
        if text_mm(shown, HEAD_POINTS, bold=True) <= _HEAD_MM:
            break
        shown = printable(f"{TOGETHER.join(jobs[:kept])}{TOGETHER}{len(jobs) - kept} more")
    return shown


def lacking(text: str) -> frozenset[str]:
    """Letters that the font lacks."""
    if text.isascii():
        return frozenset()
    widths, _ = _widths(True)
    return frozenset(char for char in set(printable(text)) if char not in widths and not char.isspace())


@cache
def _widths(bold: bool) -> tuple[dict[str, int], int]:
    """Advance width of every character of the basic plane, and the units of an em.

    References
    ----------
    ISO/IEC 14496-22 (OpenType), tables head, hhea, hmtx and cmap format 4.
    """
    data = (FONTS / _FILES[bold]).read_bytes()
    count = struct.unpack_from(">H", data, 4)[0]
    tables = {}
    for i in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sIII", data, 12 + 16 * i)
        tables[tag.decode()] = offset
    per_em = struct.unpack_from(">H", data, tables["head"] + 18)[0]
    measured = struct.unpack_from(">H", data, tables["hhea"] + 34)[0]
    advances = struct.unpack_from(">" + "Hh" * measured, data, tables["hmtx"])[::2]
    return {
        chr(code): advances[min(glyph, measured - 1)] for code, glyph in _glyphs(data, tables["cmap"]) if glyph
    }, per_em


def _glyphs(data: bytes, cmap: int) -> list[tuple[int, int]]:
    """Every code point of the basic plane with its glyph."""
    for i in range(struct.unpack_from(">H", data, cmap + 2)[0]):
        platform, encoding, offset = struct.unpack_from(">HHI", data, cmap + 4 + 8 * i)
        start = cmap + offset
        if (platform, encoding) == (3, 1) and struct.unpack_from(">H", data, start)[0] == 4:
            break
    else:
        raise ValueError("the font has no table of the basic plane")
    segments = struct.unpack_from(">H", data, start + 6)[0] // 2
    ends = struct.unpack_from(f">{segments}H", data, start + 14)
    starts = struct.unpack_from(f">{segments}H", data, start + 16 + 2 * segments)
    deltas = struct.unpack_from(f">{segments}H", data, start + 16 + 4 * segments)
    ranges_at = start + 16 + 6 * segments
    ranges = struct.unpack_from(f">{segments}H", data, ranges_at)
    found = []
    for i, (first, last, delta, reach) in enumerate(zip(starts, ends, deltas, ranges, strict=True)):
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code
            if reach:
                glyph = struct.unpack_from(">H", data, ranges_at + 2 * i + reach + 2 * (code - first))[0]
            if glyph or not reach:
                found.append((code, (glyph + delta) & 0xFFFF))
    return found
