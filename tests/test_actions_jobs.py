"""Jobs found by name or by file, closed, and what they have cost, on the small list."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.jobs import job_close, job_list, job_show, plan_path
from cutplan.actions.ticking import Parts, tick_parts
from cutplan.model import Plan
from cutplan.problems import ProblemsFound
from cutplan.rack.stages import Stage, Step
from cutplan.units import parse_money

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = Path("reports/frame/plan.json")


@pytest.fixture
def rack(parts: str, parts_planned: Plan) -> actions.Rack:
    return actions.find_rack(near=parts, who="Ines")


def test_a_job_by_file_by_folder_and_by_name(rack: actions.Rack) -> None:
    assert job_show(rack, str(PLAN)).story.stage is Stage.PLANNED, "known by its file alone"
    actions.receive(PLAN, rack)
    for target in ("", "frame", "frame#1", str(PLAN), str(PLAN.parent)):
        shown = job_show(rack, target)
        assert (shown.story.stage, shown.plan_file is not None) == (Stage.RECEIVED, True), target
    shutil.move("reports/frame", "reports/moved")
    shown = job_show(rack, "frame")
    assert (shown.plan_file, shown.to_come) == (None, ())
    assert job_show(rack, "reports/moved").to_come, "named by its file all is known again"


def test_the_job_of_an_earlier_plan_is_told_by_its_newest(rack: actions.Rack) -> None:
    rest = actions.replan(PLAN, rack, wrong=actions.Wrong(bar=1)).files
    shown = job_show(rack, str(PLAN))
    assert [plan.stage for plan in shown.story.plans] == [Stage.RECORDED, Stage.PLANNED]
    assert shown.plan_file is not None
    assert shown.plan_file.resolve() in [file.resolve() for file in rest]


def test_of_two_jobs_of_one_name_the_open_one_is_meant(rack: actions.Rack) -> None:
    actions.record(PLAN, rack)
    Path("frame.csv").write_text(Path("frame.csv").read_text() + "D,1,SHS 40x40x3,900\n")
    actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=rack, hold=True)
    assert [story.number for story, _ in job_list(rack)] == [1, 2]
    assert job_show(rack, "frame").story.number == 2
    assert job_show(rack, "frame#1").story.stage is Stage.RECORDED
    actions.record(PLAN, rack)
    with pytest.raises(ProblemsFound) as refused:
        job_show(rack, "frame")
    assert "found 2 jobs.\nAccepted: a plan.json, or a job such as frame#1 (recorded), frame#2 (recorded)." in str(
        refused.value
    )


def test_closing_wants_all_cut_and_recorded(rack: actions.Rack) -> None:
    tick_parts(PLAN, rack, Step.CUT, Parts(bar=1))
    with pytest.raises(ProblemsFound, match="a plan that is being cut, to be closed"):
        job_close(rack, str(PLAN), unfinished=True)
    actions.record(PLAN, rack, all_cut=False)
    with pytest.raises(ProblemsFound, match=r"parts still to cut: .*\nAccepted: .* or --unfinished to close"):
        job_close(rack, str(PLAN))
    shown, freed = job_close(rack, "frame", unfinished=True)
    assert shown.story.stage is Stage.CLOSED
    assert freed == ()
    actions.undo(rack)
    assert job_show(rack, "frame").story.stage is Stage.RECORDED


def test_what_a_word_names(rack: actions.Rack) -> None:
    assert plan_path("") is None
    assert plan_path("frame") is None
    assert plan_path("reports/frame") == PLAN
    assert plan_path("nothing.json") == Path("nothing.json")


def test_a_delivery_at_another_price_is_what_was_paid(rack: actions.Rack) -> None:
    """The 6 m bar came at 40.00 in place of 35.40: 59.80 in all, and one of it costs that when it goes back."""
    import openpyxl

    actions.delivery_sheet(PLAN, "given.xlsx")
    book = openpyxl.load_workbook("given.xlsx")
    sheet = book.active
    heads = next(row for row in sheet.iter_rows() if any(cell.value == "Price" for cell in row))
    columns = {str(cell.value): cell.column for cell in heads if cell.value}
    for row in range(heads[0].row + 1, sheet.max_row + 1):
        if str(sheet.cell(row, columns["Length"]).value).startswith("6000"):
            sheet.cell(row, columns["Price"]).value = "40.00"
    book.save("given.xlsx")
    actions.receive(PLAN, rack, given="given.xlsx")
    assert job_show(rack, "frame").money.paid == parse_money("59.80")
    shown, freed = job_close(rack, "frame", unfinished=True)
    assert len(freed) == 2
    assert sorted(one.each or 0 for one in shown.money.returned) == [parse_money("19.80"), parse_money("40.00")]
    assert shown.money.so_far == 0


def test_a_plan_given_up_begins_the_ledger(parts: str, parts_planned: Plan) -> None:
    """Nothing was done about it, so there is no ledger; said to be given up it is in the books."""
    for target in (str(PLAN), "frame"):
        rack = actions.find_rack(near=parts, who="Ines")
        with pytest.raises(ProblemsFound, match=r"6 parts still to cut: .*\nAccepted: .* or --unfinished to close"):
            job_close(rack, target)
        assert not rack.path.exists(), "what is refused begins nothing"
        shown, freed = job_close(rack, target, unfinished=True)
        assert (shown.story.stage, freed, shown.money.so_far) == (Stage.CLOSED, (), 0)
        assert [(story.name, story.stage) for story, _ in job_list(rack)] == [("frame", Stage.CLOSED)]
        actions.undo(rack)
        assert job_show(rack, target).story.stage is Stage.PLANNED
        rack.path.unlink()


def test_a_job_of_a_rack_that_is_lost_begins_no_ledger(rack: actions.Rack, parts: str) -> None:
    """A new ledger would give marks again that are painted on pieces."""
    actions.rack_add(rack, "SHS 40x40x3", "5 m")
    actions.plan_into(actions.read_job(parts, rack=rack.path), "reports/frame", rack=rack)
    rack.path.unlink()
    with pytest.raises(ProblemsFound, match="found no ledger"):
        job_close(rack, str(PLAN), unfinished=True)
    assert not rack.path.exists()


def test_what_is_nowhere_cannot_be_closed(parts: str) -> None:
    rack = actions.find_rack(near=parts, who="Ines")
    with pytest.raises(ProblemsFound, match="found no ledger"):
        job_close(rack, "frame", unfinished=True)
    assert not rack.path.exists()
