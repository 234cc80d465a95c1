"""A file changed at random: bytes, words that have made trouble, and the XML inside a workbook."""

from __future__ import annotations

import io
import random
import zipfile

TOKENS: tuple[bytes, ...] = (
    *(b"", b"\0", b"\xff", b"\xef\xbb\xbf", b"\r", b'"', b"'", b"=1+1", b"#REF!", b"nan", b"-1", b"0", b"1e999"),
    *(b"0x" + b"f" * 5000, b"9" * 400, b"1/0", b"\xe6\xa2\x81", b"\xed\xa0\x80", b"\x1b[31m", b"\\ud800", b"&amp;"),
    *(b"&#0;", b"SHS 1e9x1e9x1", b"FL 0x0", b"SHS 40x40x40", b"999999999 m", b"0.000000001 mm", b"1 1/9999999 in"),
    *(b"75", b"90", b"A,B;C\tD", b"2 x 9 @ 50 + 50", b"99999999 x 9 @ 1", b"1970-01-01", b"true", b"null", b"[]"),
    *(b"{}", b"NaN", b"Infinity", b"x" * 40_000, b"<c r='D900000000'>", b't="e"', b"<f>", b"]]>", b"<!DOCTYPE a>"),
    *(b"[[merchant]]\n", b"long point", b"\n" * 300, b"," * 300),
)
"""Words that have made trouble, or might."""


def mutated(data: bytes, chance: random.Random) -> bytes:
    """The file with one to four changes; of an archive, mostly of one file in it."""
    if data.startswith(b"PK\x03\x04") and chance.random() < 0.8:
        return _in_archive(data, chance)
    for _ in range(chance.randint(1, 4)):
        data = _changed(data, chance)
    return data


def _changed(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    end = min(len(data), at + min(chance.choice((1, 1, 2, 8, 64, 4096)), max(1, len(data))))
    way = chance.randrange(7)
    if way == 0:
        return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]
    if way == 1:
        return data[:at] + data[end:]
    if way == 2:
        return data[:end] + data[at:end] * chance.choice((1, 2, 50)) + data[end:]
    if way == 3:
        return data[:at]
    if way == 4:
        other = chance.randrange(len(data) + 1)
        return data[:at] + data[other : other + 40] + data[at:]
    token = chance.choice(TOKENS)
    return _in_place(data, token, chance) if way == 5 else data[:at] + token + data[at:]


def _in_place(data: bytes, token: bytes, chance: random.Random) -> bytes:
    """A token in place of what stands between two signs that part words: a cell, a value, a figure."""
    signs = [at for at, byte in enumerate(data) if byte in b",;\n\"'<>=: []{}"]
    if len(signs) < 2:
        return token
    number = chance.randrange(len(signs) - 1)
    return data[: signs[number] + 1] + token + data[signs[number + 1] :]


def _in_archive(data: bytes, chance: random.Random) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        names = source.namelist()
        sheets = [name for name in names if "sheet" in name] or names
        chosen = chance.choice(sheets if chance.random() < 0.8 else names)
        for name in names:
            content = source.read(name)
            if name == chosen:
                for _ in range(chance.randint(1, 3)):
                    content = _changed(content, chance)
            target.writestr(name, content)
    return out.getvalue()
