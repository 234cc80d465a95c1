"""How much is printed at once, and what the sheets say of what they leave out."""

from __future__ import annotations

from collections.abc import Iterable

from cutplan.model import Fate, Plan

MOST_LABELS = 10_000
"""Labels in one file: 417 sheets of 24."""


def labels_counted(plan: Plan) -> int:
    """How many labels a plan has: one for each piece and each left over to keep."""
    return sum(len(bar.cuts) + (bar.drop.fate is Fate.KEEP) for bar in plan.bars)


def beyond(plan: Plan) -> tuple[str, ...]:
    """A sentence for each file that does not hold all, with the command that prints what follows."""
    counted = (("labels.pdf", "labels", labels_counted(plan), MOST_LABELS, "labels"),)
    return tuple(_sentences(counted))


def _sentences(counted: Iterable[tuple[str, str, int, int, str]]) -> Iterable[str]:
    for files, what, there, most, command in counted:
        if there > most:
            yield (
                f"{files}: the first {most:,} of {there:,} {what}. "
                f"cutplan {command} plan.json --from {most + 1} prints those that follow."
            )
