"""The data of the sheets at the saw."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from cutplan.model import Fate
from cutplan.reports import extent
from cutplan.reports.lettering import printable, text_mm
from cutplan.reports.rows import Block, CutRow, Rows
from cutplan.reports.sentences import GENERAL_CAUTIONS, end_text, strokes_text
from cutplan.reports.svg import svg
from cutplan.units import Printing, length_text, mass_text

_MARK_MM = 40.0
_MARK_SIZES = (13, 11, 9.5, 8, 7)


def cut_sheet(rows: Rows, width: float, *, keep_widths: bool = False) -> dict[str, Any]:
    """The sheet to cut from, ``width`` millimetres between its margins."""
    how = rows.workshop.printing
    unit = "mm" if how.unit == "mm" else "inches"
    return {
        "kind": "cut",
        "new-page": True,
        "step": "",
        "title": "Cut",
        "cautions": [printable(text) for text in rows.cautions[: -len(GENERAL_CAUTIONS)]],
        "general": list(GENERAL_CAUTIONS),
        "lines": [
            f"{strokes_text(rows.totals)}.",
            f"Lengths in {unit}, to {length_text(how.finest, how)}; ~ is rounded. "
            "Set the stop to PIECE LENGTH; figures from START hold every kerf. "
            "Mitres: long point to long point, angle from square. Bold angle: set the saw.",
            "On the bar: black is end trim, hatched is left over to keep, crossed is scrap, "
            "dotted below is where the vice must hold.",
        ],
        "groups": [
            {"title": title, "blocks": [_block(block, rows, width, keep_widths) for block in blocks]}
            for title, blocks in groupby(rows.blocks, key=lambda block: block.what)
        ],
    }


def _block(block: Block, rows: Rows, width: float, keep_widths: bool) -> dict[str, Any]:
    each = " each" if len(block.bars) > 1 else ""
    heavy = ", HEAVY" if block.heavy else ""
    how = rows.workshop.printing
    angles = [angle for cut in block.cuts for angle in (cut.angle_a, cut.angle_b)]
    before = [0, *angles[1::2]]
    return {
        "bars": [str(number) for number in block.bars[: extent.MOST_TALLIED]],
        "more-bars": max(0, len(block.bars) - extent.MOST_TALLIED),
        "title": printable(block.title),
        "source": printable(", ".join(text for text in (block.source, block.counted) if text)),
        "weight": f"{mass_text(block.mass, how)}{each}{heavy}",
        "heavy": block.heavy,
        "trim": block.trim,
        "svg": svg(block.drawing, width, keep_widths=keep_widths),
        "words": block.drawing.words,
        "cuts": [_cut(cut, before[i], how) for i, cut in enumerate(block.cuts)],
        "left-over": block.left_over,
        "keep": block.fate is Fate.KEEP,
        "reserved": list(block.reserved[: extent.MOST_TALLIED]),
        "play": block.play,
    }


def _cut(cut: CutRow, angle_before: int, how: Printing) -> dict[str, Any]:
    mark = printable(cut.mark)
    size = next((size for size in _MARK_SIZES if text_mm(mark, size, bold=True) <= _MARK_MM), _MARK_SIZES[-1])
    mitred = cut.short_point is not None
    lines = [cut.scale] if cut.scale else []
    if cut.short_point is not None:
        lines.append(f"short point {length_text(cut.short_point, how, with_unit=False)}")
    if cut.first_out:
        lines.append(f"end {cut.first_out} comes off first")
    return {
        "number": str(cut.number),
        "mark": mark,
        "mark-size": size,
        "assembly": printable(cut.assembly),
        "twin": printable(cut.twin),
        "length": length_text(cut.length, how, with_unit=False),
        "running": length_text(cut.running, how, with_unit=False),
        "ends": f"{end_text(cut.angle_a)} | {end_text(cut.angle_b)}" if mitred else "square",
        "set": angle_before != cut.angle_a or cut.angle_a != cut.angle_b,
        "end-lines": lines,
        "held": cut.held.split(",")[0],
        "turn": cut.turn,
        "remark": printable(cut.remark),
        "spoiled": printable(cut.spoiled) or "buy",
    }
