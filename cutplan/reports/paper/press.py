"""Typesetting: a template and its data become a PDF, offline and the same each time. The only user of typst.

No font but the shipped one is seen; a warning of the typesetter is a fault, because it would replace a font or a
letter in silence.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from cutplan.reports.lettering import FONTS
from cutplan.reports.paper.packing import packed

SHEETS = Path(__file__).parent / "sheets"


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

    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    compiler = typst.Compiler(
        input=str(SHEETS / f"{template}.typ"), root=str(SHEETS), font_paths=_fonts(), sys_inputs={"data": text}
    )
    made, warnings = compiler.compile_with_warnings(**how)
    if warnings:
        raise NotSet("; ".join(str(warning) for warning in warnings))
    return [page for page in (made if isinstance(made, list) else [made]) if page is not None]


@cache
def _fonts() -> Any:
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
