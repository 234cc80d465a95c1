"""Bars are numbered in the order in which they are printed, cut, labelled and recorded: one order everywhere.

Who reports that a cut went wrong on bar 7 says by it that bars 1 to 6 are cut, and finds them first on every sheet.
"""

from __future__ import annotations

import re

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutplan.model import Job, Plan
from cutplan.planning import plan_job
from cutplan.reports.paper.labels import labels_of
from cutplan.reports.rows import rows_of
from tests import builders
from tests.effort import examples
from tests.test_laying import mitred_job

QUICK = settings(max_examples=examples(25, 4), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def orders(job: Job, plan: Plan) -> dict[str, list[int]]:
    """Numbers of the bars, in the order in which each sheet has them."""
    rows = rows_of(job, plan)
    labels = [
        re.search(r"bar (\d+)", " ".join(text for _, text in label.lines)) for label in labels_of(job, plan, "0a1b2c3d")
    ]
    return {
        "cut sheets": [number for block in rows.blocks for number in block.bars],
        "cut record": [row.bar for row in rows.record],
        "labels": list(dict.fromkeys(int(found[1]) for found in labels if found)),
        "plan": [bar.number for bar in plan.bars],
    }


def one_order(job: Job) -> Plan:
    plan = plan_job(job)
    expected = list(range(1, 1 + sum(1 for _ in plan.bars)))
    assert orders(job, plan) == dict.fromkeys(("cut sheets", "cut record", "labels", "plan"), expected)
    for mark in {part.mark for part in job.parts}:
        copies = [cut.copy for bar in plan.bars for cut in bar.cuts if cut.mark == mark]
        assert copies == sorted(copies), "copies are counted as they are cut"
    return plan


def test_bars_that_follow_one_another_at_the_same_angle() -> None:
    """Longest first the saw would be set to 0, 45, 0 and 45 degrees; it is set once to each instead."""
    ends = [(990, 0), (980, 45), (970, 0), (960, 45)]
    parts = [builders.part(f"P{length}", 2, length, mitres=(angle, angle)) for length, angle in ends]
    plan = one_order(builders.job(parts, [builders.offer("O", 1000, 9)]))
    assert [bar.cuts[0].mark for bar in plan.bars] == [
        *("P990", "P990", "P970", "P970", "P980", "P980", "P960", "P960")
    ]  # fmt: skip


@QUICK
@given(st.integers(0, 10**6))
def test_every_sheet_has_the_bars_in_one_order(seed: int) -> None:
    one_order(mitred_job(seed, most_pieces=9))
