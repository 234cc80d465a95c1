"""The typesetter's PDF made smaller: what is no stream of its own is packed into compressed object streams.

Every cell of a table is tagged, which is one object each, and the typesetter writes those plainly: of a plan of
400 bars they are most of the file.
"""

from __future__ import annotations

import re
import zlib
from itertools import pairwise

_TOGETHER = 500
"""Objects in one stream; a reader unpacks a stream as a whole."""
_TRAILER = re.compile(rb"xref\n0 (\d+)\n(.*)trailer\n<</Size \d+(.*)>>\nstartxref\n\d+\n%%EOF\s*\Z", re.DOTALL)
_OBJECT = re.compile(rb"(\d+) 0 obj\s(.*\S)\s*endobj\s*\Z", re.DOTALL)
_PLACE, _FREE, _PLAIN, _PACKED = 4, 0, 1, 2


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
    begins = int(pdf[pdf.rindex(b"startxref") :].split()[1])
    trailer = _TRAILER.match(pdf, begins)
    if trailer is None:
        raise ValueError("a PDF without the plain cross-reference table the typesetter writes")
    offsets = sorted(int(entry[:10]) for entry in trailer[2].splitlines() if entry.rstrip().endswith(b"n"))
    out = bytearray(pdf[: offsets[0]])
    places: dict[int, tuple[int, int, int]] = {0: (_FREE, 0, 65535)}
    loose: list[tuple[int, bytes]] = []
    for start, end in pairwise((*offsets, begins)):
        found = _OBJECT.match(pdf[start:end])
        if found is None:
            raise ValueError(f"no object at byte {start}")
        number, content = int(found[1]), found[2]
        if content.endswith(b"endstream"):
            places[number] = (_PLAIN, len(out), 0)
            out += pdf[start:end]
        else:
            loose.append((number, content))
    following = int(trailer[1])
    for first in range(0, len(loose), _TOGETHER):
        chunk = loose[first : first + _TOGETHER]
        places |= {number: (_PACKED, following, index) for index, (number, _) in enumerate(chunk)}
        places[following] = (_PLAIN, len(out), 0)
        out += _object_stream(following, chunk)
        following += 1
    places[following] = (_PLAIN, len(out), 0)
    start = len(out)
    table = b"".join(
        kind.to_bytes(1) + at.to_bytes(_PLACE) + index.to_bytes(2)
        for kind, at, index in (places.get(number, (_FREE, 0, 65535)) for number in range(following + 1))
    )
    head = b"/Type/XRef/Size %d/W[1 %d 2]%b" % (following + 1, _PLACE, trailer[3])
    out += _stream(following, head, table)
    out += b"startxref\n%d\n%%%%EOF\n" % start
    return bytes(out)


def _object_stream(number: int, objects: list[tuple[int, bytes]]) -> bytes:
    index, body = [], bytearray()
    for each, content in objects:
        index.append(b"%d %d" % (each, len(body)))
        body += content + b"\n"
    head = b" ".join(index) + b"\n"
    return _stream(number, b"/Type/ObjStm/N %d/First %d" % (len(objects), len(head)), head + body)


def _stream(number: int, entries: bytes, content: bytes) -> bytes:
    data = zlib.compress(content, 9)
    head = b"%d 0 obj\n<<%b/Filter/FlateDecode/Length %d>>\nstream\n" % (number, entries, len(data))
    return head + data + b"\nendstream\nendobj\n"
