"""Exact decimal texts of plan.json and the whole numbers they stand for.

Every quantity is held inside as millionths of the unit it is written in:
nanometres and mm, milligrams and kg, millionths of the currency and the
currency, millionths of a degree and degrees. One rule of writing serves all.
"""

from __future__ import annotations

from functools import lru_cache

MILLION = 1_000_000


@lru_cache(maxsize=1 << 14)
def decimal_text(millionths: int) -> str:
    """A whole number of millionths as the shortest exact decimal: ``1200.5``, ``-0.25``, ``0``."""
    whole, rest = divmod(abs(millionths), MILLION)
    sign = "-" if millionths < 0 else ""
    return f"{sign}{whole}.{rest:06d}".rstrip("0").rstrip(".") if rest else f"{sign}{whole}"


@lru_cache(maxsize=1 << 14)
def millionths(text: str) -> int:
    """The whole number that :func:`decimal_text` wrote; ValueError for any other spelling of it."""
    whole, _, rest = text.removeprefix("-").partition(".")
    if not (whole + rest).isascii() or not whole.isdigit() or len(rest) > 6:
        raise ValueError(f"{text!r} is no exact decimal")
    value = int(whole) * MILLION + int(rest.ljust(6, "0"))
    value = -value if text.startswith("-") else value
    if decimal_text(value) != text:
        raise ValueError(f"{text!r} is not the shortest spelling of its value")
    return value
