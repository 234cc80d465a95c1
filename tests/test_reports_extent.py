"""What a file leaves out is said, with the command that prints it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.reports import extent
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import book, trailer


def test_nothing_is_said_of_a_plan_that_is_printed_as_a_whole() -> None:
    assert rows_of(*trailer()).beyond == ()


def test_labels_beyond_one_file_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    job = builders.job([builders.part("A", 5, 500)], [builders.offer("O", 1400, 9)], keep=300)
    plan = hand_plan(job, ("O", ["A", "A"]), ("O", ["A", "A"]), ("O", ["A"]))
    assert extent.labels_counted(plan) == 5 + 3
    monkeypatch.setattr(extent, "MOST_LABELS", 6)
    (said,) = rows_of(job, plan).beyond
    assert said == "labels.pdf: the first 6 of 8 labels. cutplan labels plan.json --from 7 prints those that follow."


def test_lists_beyond_their_limit_are_cut_and_named(monkeypatch: pytest.MonkeyPatch) -> None:
    job = builders.job([builders.part("A", 5, 500)], [builders.offer("O", 1400, 9)], keep=300)
    plan = hand_plan(job, ("O", ["A", "A"]), ("O", ["A", "A"]), ("O", ["A"]))
    whole = book(job, plan)
    job = replace(job)  # the rows of the last job are kept, and the limits below are for new ones
    monkeypatch.setattr(extent, "MOST_LISTED", 2)
    monkeypatch.setattr(extent, "MOST_RECORDED", 2)
    put_away, record = rows_of(job, plan).beyond
    assert put_away == "Put away: the first 2 of 3 left overs. Each has a label, and plan.json lists all."
    assert record.startswith("Cut record: not in the workbook, because there are 3 bars. cutplan record plan.json ")
    less = book.__wrapped__(job, plan)
    assert "Cut record" in whole.sheetnames
    assert "Cut record" not in less.sheetnames, "a record that lacks a bar would be refused"
    assert less["Put away"].max_row == whole["Put away"].max_row - 1
    assert put_away in str([cell.value for cell in less["Notes"]["A"]])
    listed = next(sheet for sheet in plan_data(rows_of(job, plan), "x")["sheets"] if sheet["title"] == "Put away")
    assert len(listed["parts"][0]["rows"]) == 2
