"""Two frame parts from a piece with a slanted end, the first of them on that end as it is, worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from cutplan.model import CutBar, Fate, Job, Offcut, SourceKind
from cutplan.model.placing import RIGHT
from cutplan.units import DEGREE
from tests.builders import mm, offcut, part
from tests.nested_row import ALONG, DEPTH, LONG, frame, row

LEFT_OVER = 700 - (2 * LONG - DEPTH + 2 * ALONG)
"""To the short point of the last cut: two parts that share one, and a kerf after each."""


def piece(**other: Any) -> Offcut:
    """700 to its long point, 660 when it is squared."""
    return offcut(other.pop("mark", "K"), 700, 1, **{"angle_a": 45 * DEGREE, "depth": mm(DEPTH), "side": RIGHT} | other)


def begun_job(**other: Any) -> Job:
    """Two such parts, and the piece."""
    made = frame(parts=[part("P", 2, LONG, mitres=(45, 45), **other)], settings={"keep": 50})
    return replace(made, offcuts=(piece(),))


def begun_bar() -> CutBar:
    """The first part begins at START, where the long point of the piece is; nothing is trimmed there."""
    bar = row(2)
    back = bar.cuts[0].start
    cuts = tuple(replace(cut, start=cut.start - back, end=cut.end - back) for cut in bar.cuts)
    drop = replace(bar.drop, start=mm(str(700 - LEFT_OVER)), end=mm(700), far_end=piece().end_b, fate=Fate.KEEP)
    return replace(
        bar, kind=SourceKind.OFFCUT, source="K", length=mm(700), start_trim=0, far_trim=0, starts_on_slant=True,
        cuts=cuts, drop=drop, cost=1_000_000, slack=mm(700) - cuts[-1].end,
    )  # fmt: skip
