"""QR codes by the thousand: most are not made anew, but put together from those made before.

With the length of a text all else of its code is fixed: the bits of the text, those that correct errors, which follow
from them by sums over GF(2^8), and a mask that is laid over all. So the dots in which two codes of one length differ
depend on nothing but the bits in which their texts differ, and where these are the sum (exclusive or) of differences
met before, so are the dots. Labels of a plan differ in a few figures: some hundred codes give all.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

_RUN = re.compile("1+")
_QUIET = 4
"""Modules left white around a code (ISO/IEC 18004)."""
_DIGITS = bytes.maketrans(b"\x00\x01", b"01")


@dataclass(slots=True)
class _Alike:
    """Texts of one length: the first of them and its code, and differences from it by the highest bit of the text."""

    text: int
    dots: int
    modules: int
    known: dict[int, tuple[int, int]] = field(default_factory=dict)


@dataclass(slots=True)
class Codes:
    """Codes made so far."""

    _by_length: dict[int, _Alike] = field(default_factory=dict)

    def svg(self, text: str) -> tuple[str, int]:
        """The code of an ASCII text as SVG, quiet zone included, and its width in modules.

        References
        ----------
        ISO/IEC 18004:2015, 7.4 data encodation in byte mode, 7.5 error correction, 7.8 masks.
        """
        dots, modules = self._dots(text)
        return _svg(dots, modules), modules + 2 * _QUIET

    def _dots(self, text: str) -> tuple[int, int]:
        """All modules of a code, row by row, the first of them the highest bit; and how many stand in a row."""
        bits = int.from_bytes(text.encode("ascii"))
        alike = self._by_length.get(len(text))
        if alike is None:
            dots, modules = _made(text)
            self._by_length[len(text)] = _Alike(bits, dots, modules)
            return dots, modules
        rest, dots = bits ^ alike.text, alike.dots
        while rest and (step := alike.known.get(rest.bit_length())):
            rest, dots = rest ^ step[0], dots ^ step[1]
        if rest:
            made, _ = _made(text)
            alike.known[rest.bit_length()] = (rest, dots ^ made)
            return made, alike.modules
        return dots, alike.modules


def _made(text: str) -> tuple[int, int]:
    import segno

    # One mask for all: to weigh eight for each label takes ten times as long, and every code is read back by a test.
    code = segno.make(text, error="m", mode="byte", encoding="ascii", eci=False, micro=False, mask=0)
    return int(b"".join(code.matrix).translate(_DIGITS), 2), len(code.matrix)


@lru_cache(maxsize=20_000)
def _row(digits: str) -> tuple[str, str]:
    """The path of a row, before and behind how far down it stands; blank of an empty one. Codes share most rows."""
    path: list[str] = []
    first, at = "", 0
    for run in _RUN.finditer(digits):
        start, end = run.span()
        if not first:
            first = f"M{start + _QUIET}"
            path.append(f"h{end - start}")
        else:
            path.append(f"m{start - at} 0h{end - start}")
        at = end
    return first, "".join(path)


def _svg(dots: int, modules: int) -> str:
    digits = f"{dots:0{modules * modules}b}"
    path = []
    for row in range(modules):
        first, rest = _row(digits[row * modules : (row + 1) * modules])
        if first:
            path.append(f"{first} {row + _QUIET}.5{rest}")
    side = modules + 2 * _QUIET
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}">'
        f'<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path stroke="#000" d="{"".join(path)}"/></svg>'
    )
