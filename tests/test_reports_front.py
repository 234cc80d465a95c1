"""What introduces a job: its figures are the plan's own."""

from __future__ import annotations

from dataclasses import replace

from cutplan.reports.paper.front import front_sheet, index_of
from cutplan.reports.rows import rows_of
from cutplan.units import mass_text, money_text
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import trailer


def test_what_a_job_comes_to() -> None:
    job, plan = trailer(name="Thistlegate Workshop")
    rows = rows_of(job, plan)
    facts = dict(front_sheet(rows, "0a1b2c3d")["facts"])
    assert facts["Workshop"] == "Thistlegate Workshop"
    assert facts["Plan"] == "0a1b2c3d"
    assert facts["Parts"] == f"7, {mass_text(rows.totals.part_mass, job.workshop.printing)}"
    assert facts["To buy"].startswith("3 lengths, ")
    assert facts["To cut"] == "4 bars, 1 of them from the rack"
    assert facts["To pay"] == f"{money_text(rows.totals.money.to_pay)} EUR"
    assert facts["Cheapest"] == "proven, rechecked"


def test_what_is_not_there_is_left_out_or_nothing() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [], [builders.offcut("R1", 1000)])
    facts = dict(front_sheet(rows_of(job, hand_plan(job, ("R1", ["A"]))), "x")["facts"])
    assert "Workshop" not in facts
    assert (facts["To buy"], facts["To pay"]) == ("nothing", "nothing")
    assert facts["To cut"] == "1 bar, from the rack"


def test_warnings_stand_first() -> None:
    job, plan = trailer()
    assert front_sheet(rows_of(job, plan), "x")["notes"] == []
    warned = replace(job, warnings=("T1 is longer than T2.",))  # type: ignore[arg-type]
    assert front_sheet(rows_of(warned, plan), "x")["notes"] == [
        {"title": "To look at", "lines": ["T1 is longer than T2."]}
    ]


def test_the_index_lists_sheets_with_a_place_in_the_day() -> None:
    sheets = [{"step": "", "title": "job", "anchor": ""}, {"step": "1", "title": "Buy", "anchor": "sheet-1"}]
    assert index_of(sheets) == [{"step": "1", "title": "Buy", "anchor": "sheet-1", "piece": ""}]
