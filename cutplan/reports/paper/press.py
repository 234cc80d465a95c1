"""Typesetting: a template and its data become a PDF, offline and the same each time. The only user of typst.

A letter that the shipped font lacks is set in another font where the system has one that can show it, else as the
replacement character. Without such letters no font but the shipped one is seen. A warning of the typesetter is a fault,
because it would replace a font or a letter in silence.
"""

from __future__ import annotations

import json
import re
import threading
import unicodedata
from collections.abc import Callable, Collection, Mapping
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from cutplan.reports.lettering import FAMILY, FONTS, MISSING, lacking, printable
from cutplan.reports.paper.packing import packed

SHEETS = Path(__file__).parent / "sheets"
NEIGHBOURS = 128
ONE_BY_ONE = 8
"""Letters of one stretch of so many code points are asked about together, and up to so many alone."""

ASIDE = "cutplan typesetting"
"""The name of a thread in which the typesetter is at work."""
_LOOK = 0.5
"""How often to look for Ctrl-C where waiting for a thread cannot be interrupted. [s]"""

_Made = TypeVar("_Made")

_ESCAPE = re.compile(r"\\(u[0-9a-f]{4}|.)")
_NO_LETTERS = re.compile("[\x7f-\x9f\ud800-\udfff]")
"""Controls that JSON does not escape, and halves of letters."""


class NotSet(Exception):
    """The typesetter found fault with a template or its data: a fault in the program, not in the input."""


def pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """The template of that name filled with the data, as a tagged PDF."""
    return packed(typeset(template, data))


def typeset(template: str, data: Mapping[str, Any]) -> bytes:
    """As :func:`pdf`, but not packed: a piece to be joined."""
    return _set(template, data, format="pdf", timestamp=0, pdf_standards=["ua-1"])[0]


def pictures(template: str, data: Mapping[str, Any], dots_per_inch: float) -> list[bytes]:
    """Every page as a PNG."""
    return _set(template, data, format="png", ppi=dots_per_inch)


def _set(template: str, data: Mapping[str, Any], **how: Any) -> list[bytes]:
    import typst

    text = text_of(data)
    strange = lacking(text)
    shown = shown_elsewhere(strange) if strange else strange
    if strange - shown:
        text = text.translate(dict.fromkeys(map(ord, strange - shown), MISSING))
    compiler = typst.Compiler(
        input=str(SHEETS / f"{template}.typ"),
        root=str(SHEETS),
        font_paths=_fonts(bool(shown)),
        sys_inputs={"data": text},
    )
    made, warnings = _aside(lambda: compiler.compile_with_warnings(**how))
    if warnings:
        raise NotSet("; ".join(str(warning) for warning in warnings))
    return [page for page in (made if isinstance(made, list) else [made]) if page is not None]


def _aside(work: Callable[[], _Made]) -> _Made:
    """What a library in C or Rust makes in one go, in a thread of its own, so that Ctrl-C need not wait for its end.

    The thread is left to itself then, and a process that ends does not wait for it either: see ``cli.process``.
    """
    made: list[_Made] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            made.append(work())
        except BaseException as failure:  # it belongs to whoever waits
            failed.append(failure)

    thread = threading.Thread(target=run, name=ASIDE, daemon=True)
    thread.start()
    while thread.is_alive():
        thread.join(_LOOK)
    if failed:
        raise failed[0]
    return made[0]


def text_of(data: Mapping[str, Any]) -> str:
    """The data as JSON. A file's name can hold what is no letter: it is replaced here, before an escape hides it."""
    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    if "\\" in text:
        text = _ESCAPE.sub(lambda found: found[0] if found[1] in '"\\/nrt' else MISSING, text)
    return printable(_NO_LETTERS.sub(MISSING, text))


@cache
def _fonts(others: bool = False) -> Any:
    """The shipped font alone, or with those of the system."""
    import typst

    return typst.Fonts(include_system_fonts=others, include_embedded_fonts=False, font_paths=[str(FONTS)])


@cache
def shown_elsewhere(letters: frozenset[str]) -> frozenset[str]:
    """Those of some letters that a font of the system can show, found by setting them.

    All are tried together, then neighbours in Unicode, which one font has or lacks, and last a few one by one.
    """
    letters = frozenset(letter for letter in letters if unicodedata.category(letter) not in ("Cn", "Co"))
    if _can_set(letters):
        return letters
    neighbours: dict[int, list[str]] = {}
    for letter in sorted(letters):
        neighbours.setdefault(ord(letter) // NEIGHBOURS, []).append(letter)
    shown: set[str] = set()
    for near in neighbours.values():
        if _can_set(near):
            shown.update(near)
        elif len(near) <= ONE_BY_ONE:
            shown.update(letter for letter in near if _can_set([letter]))
    return frozenset(shown)


def _can_set(letters: Collection[str]) -> bool:
    import typst

    source = f'#set document(title: "letters")\n#set text(font: "{FAMILY}")\n#sys.inputs.letters'
    words = " ".join(sorted(letters))
    compiler = typst.Compiler(input=source.encode(), font_paths=_fonts(others=True), sys_inputs={"letters": words})
    try:
        compiler.compile(format="pdf", timestamp=0, pdf_standards=["ua-1"])
    except typst.TypstError:
        return False
    return True
