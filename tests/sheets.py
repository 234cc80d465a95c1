"""What prints the sheets of a plan, for tests that leave them out."""

from __future__ import annotations

import pytest

from tests.effort import THOROUGH

PRINTING = (
    "cutplan.reports.workbook.plan_xlsx.write_workbook",
    "cutplan.reports.paper.plan_pdf.write_plan_pdf",
    "cutplan.reports.browser.plan_html.write_plan_html",
    "cutplan.reports.paper.labels.write_labels_pdf",
)
"""Each is called with a job, its plan and the file to write."""


def leave_out_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    """Write the name of a file and of its plan in the place of every sheet, but in a thorough run."""
    if not THOROUGH:
        for name in PRINTING:
            monkeypatch.setattr(name, lambda job, plan, path, mark, **_: path.write_text(f"{path.name} of {mark}"))
