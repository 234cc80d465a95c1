"""The data of the sheets at the saw: one line for a run of equal parts, a step of its own for what changes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from cutplan.model import Fate
from cutplan.reports import extent
from cutplan.reports.assumed import changing_the_cut
from cutplan.reports.cut_blocks import Block, CutRow
from cutplan.reports.lettering import printable, text_mm
from cutplan.reports.paper.listing import Column, Part, alone, fits_halved, lesser
from cutplan.reports.rows import Rows
from cutplan.reports.saw_steps import Change, Run, Step, steps_of
from cutplan.reports.scale_drawing import NARROWEST, bar_svg
from cutplan.units import DEGREE, Printing, length_text, mass_text, rounded_down
from cutplan.words.cautions import GENERAL_CAUTIONS, ZINC, lifting_text, unknown_grade_text
from cutplan.words.cutting import end_text, kerf_words, shared_text, strokes_text

_BESIDE_MM, _BESIDE_SQUARE_MM = 48.0, 78.0
_FIGURE_POINTS, _FIGURE_AIR, _BOX_MM = 11.0, 4.0, 6.6
"""Room for running dimensions in the line of their run, and where its ends are square; their size, the air between
them and a box to tick. [mm, pt]"""
_MARK_MM, _MARK_SIZES = 43.0, (13, 11, 9.5, 8)
_PART_MM, _ABOUT_AIR, _ABOUT_POINTS, _MARK_LINES = 47.0, 1.6, 8.0, 1.5
"""Room for a mark with what the part is on the narrower paper, the air between the two, the size of the latter, and how
many of its lines are as high as a mark. [mm, mm, pt]"""
_LENGTH_MM, _LENGTH_SIZES = 29.0, (17, 15, 13, 11)
"""Room for a mark, for a number of parts with their length, and the sizes either is tried in. [mm, pt]"""
_TITLE_POINTS, _FACT_POINTS, _CAUTION_POINTS, _TITLE_AIR, _FACT_AIR = 12, 10, 9, 19.0, 11.0
"""Sizes in the heading of a bar, and the air between what stands there. [pt, mm]"""
_OUTLINE = (11.0, 3.6)
"""Width and height of the outline of a mitred part. [mm]"""


def cut_sheet(rows: Rows, width: float, *, on_screen: bool = False) -> dict[str, Any]:
    """The sheet to cut from, ``width`` millimetres between its margins."""
    how = rows.workshop.printing
    unit = "mm" if how.unit == "mm" else "inches"
    told: set[str] = set()
    shared = shared_text(rows.totals, how, rows.workshop.currency)
    return {
        "kind": "cut",
        "step": "",
        "anchor": "",
        "title": "Cut",
        "safety": list(GENERAL_CAUTIONS),
        "lines": [
            f"Lengths in {unit}, to {length_text(how.finest, how)}; ~ is rounded. {strokes_text(rows.totals)}.",
            *([f"{shared}."] if shared else ()),
            "SET: set the stop to the length, or the saw to the angle from square; without it both stay. The long "
            "point of a mitred end goes to the stop. Figures from START, the heavy line at the left, reach to the far "
            "end of a part, kerfs included.",
            "Drawing to scale in length: black is end trim, hatched kept, crossed scrap, grey falls out; marks "
            "at the upper edge are holes, dashes below where the vice must hold. It holds "
            "the bar and the part falls off, unless a line says: hold the part.",
            *(printable(text) for text in changing_the_cut(rows.assumptions)),
        ],
        "groups": [
            {"title": printable(title), "blocks": [_block(block, rows, width, on_screen, told) for block in blocks]}
            for title, blocks in groupby(rows.blocks, key=lambda block: block.section)
        ],
        "recut": alone(_recut(rows, width)) if rows.blocks else None,
    }


def _block(block: Block, rows: Rows, width: float, on_screen: bool, told: set[str]) -> dict[str, Any]:
    how = rows.workshop.printing
    many = len(block.bars) > 1
    steps = steps_of(block.cuts, how, block.swings)
    runs = [step for step in steps if isinstance(step, Run)]
    title = bars_text(block)
    source = printable(", ".join(text for text in (block.source, block.grade, block.counted) if text))
    facts = [block.start, f"{mass_text(block.mass, how)}{' each' if many else ''}", _left(block, how)]
    cautions = _cautions(block, rows, told)
    heading = text_mm(title, _TITLE_POINTS, bold=True) + text_mm(source, _FACT_POINTS)
    wide = sum(text_mm(fact, _FACT_POINTS, bold=True) for fact in (*facts, ", HEAVY" if block.heavy else ""))
    in_one_line = heading + wide + _TITLE_AIR <= width
    caution = text_mm(" ".join(cautions), _CAUTION_POINTS, bold=True)
    return {
        "bars": [str(number) for number in block.bars[: extent.MOST_TALLIED]],
        "more-bars": max(0, len(block.bars) - extent.MOST_TALLIED),
        "title": title,
        "source": source,
        "start": facts[0],
        "weight": facts[1],
        "in-one-line": in_one_line,
        "beside": not in_one_line and caution + wide + _FACT_AIR <= width,
        "heavy": block.heavy,
        "svg": bar_svg(block.drawing, width, keep_widths=on_screen),
        "narrow": bar_svg(block.drawing, NARROWEST, keep_widths=True) if on_screen else "",
        "words": block.drawing.words,
        "cautions": cautions,
        "steps": [_step(step, before, how, many) for before, step in zip((None, *steps), steps, strict=False)],
        "tallies": [{"mark": printable(run.first.mark), "count": len(run.cuts)} for run in runs],
        "left": facts[2],
        "left-over": block.left_over,
        "keep": block.fate is Fate.KEEP,
        "reserved": list(block.reserved[: extent.MOST_TALLIED]),
    }


def bars_text(block: Block) -> str:
    """``Bar 3``, ``Bars 1 to 4``."""
    return block.title.split(" (", 1)[0]


def _left(block: Block, how: Printing) -> str:
    words = {Fate.KEEP: "keep", Fate.SCRAP: "scrap", Fate.NONE: "nothing left"}
    length = length_text(block.left, how, with_unit=False)
    return f"{words[block.fate]} {length}" if block.left else words[block.fate]


def _cautions(block: Block, rows: Rows, told: set[str]) -> list[str]:
    """What to look out for at this bar; a sentence that holds of many stands at the first of them alone."""
    found = []
    for caution, concerns in ((lifting_text(rows.workshop.printing), block.heavy), (ZINC, block.zinc)):
        if concerns and caution not in told:
            told.add(caution)
            found.append(f"HEAVY. {caution}" if block.heavy and caution != ZINC else caution)
    if block.unknown_grade:
        marks = ", ".join(dict.fromkeys(cut.mark for cut in block.cuts))
        found.append(unknown_grade_text(marks))
    return [printable(text) for text in found]


def _step(step: Step, before: Step | None, how: Printing, many: bool) -> dict[str, Any]:
    if isinstance(step, Change):
        return {"kind": "change", "what": step.what, "how": printable(step.how)}
    cut, count = step.first, len(step.cuts)
    mark = printable(cut.mark)
    size = _size(mark, _MARK_SIZES, _MARK_MM)
    about = printable(": ".join(text for text in (cut.assembly, cut.note) if text))
    length = length_text(cut.length, how, with_unit=False)
    running = [length_text(at, how, with_unit=False) for at in step.running]
    wide = sum(text_mm(figure, _FIGURE_POINTS) + _FIGURE_AIR + (0 if many else _BOX_MM) for figure in running)
    square = cut.short_point is None and not cut.scale
    return {
        "kind": "run",
        "mark": mark,
        "mark-size": size,
        "about": about,
        "about-below": _below(mark, size, about),
        "count": count,
        "length": length,
        "length-size": _size(f"{count} x {length}", _LENGTH_SIZES, _LENGTH_MM),
        "set-stop": step.set_stop,
        "set-saw": step.set_saw,
        "near": "" if cut.short_point is None else f"{end_text(cut.angle_a)} | ",
        "set-near": step.set_each,
        "far": end_text(cut.angle_b),
        "outline": outline(cut),
        "end-lines": _end_lines(cut, how),
        "running": running,
        "place": "beside" if wide <= _BESIDE_MM else "square" if square and wide <= _BESIDE_SQUARE_MM else "below",
        "remark": printable("; ".join(text for text in (_short(cut), *_of_the_part(cut, before)) if text)),
    }


def _of_the_part(cut: CutRow, before: Step | None) -> tuple[str, ...]:
    """What else is to know of a part, once where it is cut several times one after another."""
    return () if isinstance(before, Run) and before.first.mark == cut.mark else (cut.twin, cut.remark)


def _size(text: str, sizes: Sequence[float], room: float) -> float:
    """The largest size in which a bold text fits its room; the smallest where none does."""
    return next((size for size in sizes if text_mm(text, size, bold=True) <= room), sizes[-1])


def _below(mark: str, size: float, about: str) -> bool:
    """Does what a part is take less height in lines below its mark than in what the mark leaves beside it?"""
    words = text_mm(about, _ABOUT_POINTS)
    beside = words / max(1.0, _PART_MM - _ABOUT_AIR - text_mm(mark, size, bold=True))
    return beside > _MARK_LINES + math.ceil(words / _PART_MM)


def _end_lines(cut: CutRow, how: Printing) -> list[str]:
    lines = [cut.scale] if cut.scale else []
    if cut.short_point is not None:
        measured = "long to long" if cut.angle_a and cut.angle_b else "to long point"
        lines.append(f"{measured}, short {length_text(cut.short_point, how, with_unit=False)}")
    if cut.first_out:
        lines.append(f"end {cut.first_out} comes off first")
    return lines


def _short(cut: CutRow) -> str:
    return "SHORT: keep to the order of cuts, never hold the short part" if cut.short else ""


def outline(cut: CutRow) -> list[list[float]]:
    """The corners of a mitred part, long side below, its ends at their angles; none of a square part. [mm]"""
    if cut.short_point is None:
        return []
    width, height = _OUTLINE
    start, end = (min(0.45 * width, height * math.tan(math.radians(a / DEGREE))) for a in (cut.angle_a, cut.angle_b))
    top, bottom = (width, width - end) if cut.parallel else (width - end, width)
    corners = [(0.0, height), (start, 0.0), (top, 0.0), (bottom, height)]
    return [[round(x, 2), round(y, 2)] for x, y in corners]


def _recut(rows: Rows, width: float) -> Part:
    """Slack of every bar, and from what to cut a part that was spoiled."""
    how = rows.workshop.printing
    columns = (
        Column("bar", 22, snug=True),
        Column("slack", 28, "right", snug=True),
        Column("kerf up to", 20, "right"),
        Column("recut"),
    )
    table: list[list[Any]] = []
    for block in (block for block in rows.blocks if block.cuts):
        by_source: dict[str, list[str]] = {}
        for cut in block.cuts:
            marks = by_source.setdefault(cut.spoiled or "buy a new length", [])
            if cut.mark not in marks:
                marks.append(cut.mark)
        words = "; ".join(f"{', '.join(marks)}: {source}" for source, marks in by_source.items())
        kerf = kerf_words(block.largest_kerf, how)
        table.append([bars_text(block).split(" ", 1)[1], rounded_down(block.slack, how), kerf, lesser(words)])
    part = Part(
        title="If a part is spoiled",
        looked_up=True,
        columns=columns,
        rows=table,
        before=[
            "Slack: by how much the parts of a bar may grow in total. A kerf wider than the one named spoils the last."
        ],
    )
    part.halved = fits_halved(part, width)
    return part
