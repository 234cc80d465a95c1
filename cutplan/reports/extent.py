"""How much is printed at once, and what the sheets say of what they leave out."""

from __future__ import annotations

from collections.abc import Iterator

from cutplan.model import Fate, Plan

MOST_LABELS = 10_000
"""Labels in one file: 417 sheets of 24."""
MOST_WAYS = 1_000
"""Ways to cut a bar on the sheets of one file: about 500 pages."""
MOST_TALLIED = 200
"""Bars cut alike that have boxes to tick of their own."""
MOST_LISTED = 2_000
"""Left overs in the list of what is put away."""
MOST_UNITS = 36
"""Of more units than this a tick list for each would be longer than the rest of the plan."""
MOST_PLACES = 12
"""Ways in which bars give a part that are named beside it; the sheets to cut from show all."""
MOST_RECORDED = 10_000
"""Bars in the cut record of the workbook."""


def labels_counted(plan: Plan) -> int:
    """How many labels a plan has: one for each piece and each left over to keep."""
    return sum(len(bar.cuts) + (bar.drop.fate is Fate.KEEP) for bar in plan.bars)


def beyond(plan: Plan, ways: int) -> tuple[str, ...]:
    """A sentence for each list that does not hold all of a plan, with what gives the rest.

    Parameters
    ----------
    ways
        In how many ways bars are cut.
    """
    return tuple(_sentences(plan, ways))


def _sentences(plan: Plan, ways: int) -> Iterator[str]:
    if ways > MOST_WAYS:
        yield (
            f"Sheets to cut from: the first {MOST_WAYS:,} of {ways:,} ways to cut a bar. "
            f"cutplan sheets plan.json --from {MOST_WAYS + 1} prints those that follow."
        )
    labels = labels_counted(plan)
    if labels > MOST_LABELS:
        yield (
            f"labels.pdf: the first {MOST_LABELS:,} of {labels:,} labels. "
            f"cutplan labels plan.json --from {MOST_LABELS + 1} prints those that follow."
        )
    kept = sum(bar.drop.fate is Fate.KEEP for bar in plan.bars)
    if kept > MOST_LISTED:
        yield f"Put away: the first {MOST_LISTED:,} of {kept:,} left overs. Each has a label, and plan.json lists all."
    bars = sum(len(group.bars) for group in plan.groups)
    if bars > MOST_RECORDED:
        yield (
            f"Cut record: not in the workbook, because there are {bars:,} bars. "
            "cutplan record plan.json --sheet cut-record.xlsx writes it."
        )
