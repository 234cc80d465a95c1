"""The typesetter's PDF made smaller: what is no stream of its own is packed into compressed object streams.

Every cell of a table is tagged, which is one object each, and the typesetter writes those plainly: of a plan of
400 bars they are most of the file.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

_TOGETHER = 500
"""Objects in one stream; a reader unpacks a stream as a whole."""
_TRAILER = re.compile(rb"xref\n0 (\d+)\n(.*)trailer\n<</Size \d+(.*)>>\nstartxref\n\d+\n%%EOF\s*\Z", re.DOTALL)
_OBJECT = re.compile(rb"(\d+) 0 obj\s(.*\S)\s*endobj\s*\Z", re.DOTALL)
_PLACE, _FREE, _PLAIN, _PACKED = 4, 0, 1, 2


@dataclass(frozen=True, slots=True)
class Written:
    """A document as the typesetter wrote it: what precedes its objects, where each stands, and its trailer's entries.

    ``size`` is one more than the highest number of an object.
    """

    pdf: bytes
    head: bytes
    size: int
    trailer: bytes
    _places: tuple[int, ...]

    def objects(self) -> Iterator[tuple[int, bytes]]:
        """Number and content of each object, in the order of the file."""
        for start, end in pairwise(self._places):
            found = _OBJECT.match(self.pdf[start:end])
            if found is None:
                raise ValueError(f"no object at byte {start}")
            yield int(found[1]), found[2]


def written(pdf: bytes) -> Written:
    """Take a document of the typesetter apart.

    Raises
    ------
    ValueError
        When it has no plain cross-reference table.
    """
    begins = int(pdf[pdf.rindex(b"startxref") :].split()[1])
    trailer = _TRAILER.match(pdf, begins)
    if trailer is None:
        raise ValueError("a PDF without the plain cross-reference table the typesetter writes")
    offsets = sorted(int(entry[:10]) for entry in trailer[2].splitlines() if entry.rstrip().endswith(b"n"))
    return Written(
        pdf=pdf,
        head=pdf[: offsets[0]],
        size=int(trailer[1]),
        trailer=trailer[3],
        _places=(*offsets, begins),
    )


def is_stream(content: bytes) -> bool:
    """Is it an object with data of its own, which no object stream may hold?"""
    return content.endswith(b"endstream")


@dataclass(slots=True)
class Packer:
    """A document being written: streams as they come, all else gathered in object streams once it is finished."""

    out: bytearray
    _places: dict[int, tuple[int, int, int]] = field(default_factory=lambda: {0: (_FREE, 0, 65535)})
    _loose: list[tuple[int, bytes]] = field(default_factory=list)
    _full: list[tuple[list[int], bytes, bytes]] = field(default_factory=list)

    def add(self, number: int, content: bytes) -> None:
        """One object under its number."""
        if is_stream(content):
            self._places[number] = (_PLAIN, len(self.out), 0)
            self.out += b"%d 0 obj\n%b\nendobj\n" % (number, content)
            return
        self._loose.append((number, content))
        if len(self._loose) == _TOGETHER:
            self._pack()

    def finished(self, size: int, trailer: bytes) -> bytes:
        """The whole document; ``size`` is one more than the highest number given, ``trailer`` the trailer's entries."""
        if self._loose:
            self._pack()
        following = size
        for numbers, entries, data in self._full:
            self._places |= {number: (_PACKED, following, index) for index, number in enumerate(numbers)}
            self._places[following] = (_PLAIN, len(self.out), 0)
            self.out += _stream(following, entries, data)
            following += 1
        self._places[following] = (_PLAIN, len(self.out), 0)
        start = len(self.out)
        table = b"".join(
            kind.to_bytes(1) + at.to_bytes(_PLACE) + index.to_bytes(2)
            for kind, at, index in (self._places.get(number, (_FREE, 0, 65535)) for number in range(following + 1))
        )
        head = b"/Type/XRef/Size %d/W[1 %d 2]%b" % (following + 1, _PLACE, trailer)
        self.out += _stream(following, head, zlib.compress(table, 9))
        self.out += b"startxref\n%d\n%%%%EOF\n" % start
        return bytes(self.out)

    def _pack(self) -> None:
        index, body = [], bytearray()
        for each, content in self._loose:
            index.append(b"%d %d" % (each, len(body)))
            body += content + b"\n"
        head = b" ".join(index) + b"\n"
        entries = b"/Type/ObjStm/N %d/First %d" % (len(self._loose), len(head))
        self._full.append(([number for number, _ in self._loose], entries, zlib.compress(head + body, 9)))
        self._loose.clear()


def packed(pdf: bytes) -> bytes:
    """The same document with its objects in compressed streams and a cross-reference stream.

    Parameters
    ----------
    pdf
        As the typesetter writes it: PDF 1.5 or newer, one plain cross-reference table, not encrypted.

    References
    ----------
    ISO 32000-1:2008, 7.5.7 object streams and 7.5.8 cross-reference streams.
    """
    plain = written(pdf)
    packer = Packer(bytearray(plain.head))
    for number, content in plain.objects():
        packer.add(number, content)
    return packer.finished(plain.size, plain.trailer)


def _stream(number: int, entries: bytes, data: bytes) -> bytes:
    head = b"%d 0 obj\n<<%b/Filter/FlateDecode/Length %d>>\nstream\n" % (number, entries, len(data))
    return head + data + b"\nendstream\nendobj\n"
