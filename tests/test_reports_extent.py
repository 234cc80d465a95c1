"""What a file leaves out is said, with the command that prints it."""

from __future__ import annotations

import pytest

from cutplan.reports import extent
from cutplan.reports.rows import rows_of
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import trailer


def test_nothing_is_said_of_a_plan_that_is_printed_as_a_whole() -> None:
    assert extent.beyond(trailer()[1]) == ()


def test_labels_beyond_one_file_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    job = builders.job([builders.part("A", 5, 500)], [builders.offer("O", 1400, 9)], keep=300)
    plan = hand_plan(job, ("O", ["A", "A"]), ("O", ["A", "A"]), ("O", ["A"]))
    assert extent.labels_counted(plan) == 5 + 3
    monkeypatch.setattr(extent, "MOST_LABELS", 6)
    (said,) = rows_of(job, plan).beyond
    assert said == "labels.pdf: the first 6 of 8 labels. cutplan labels plan.json --from 7 prints those that follow."
