"""Planning, judging and showing, with values."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.problems import NoPlan
from tests import builders

pytestmark = pytest.mark.usefixtures("no_paper")


def spoiled(plan: Plan) -> Plan:
    """The same plan, its first bar a millionth of the currency cheaper than it is."""
    first, *rest = plan.groups[0].bars
    bars = (replace(first, cost=first.cost - 1), *rest)
    return replace(plan, groups=(replace(plan.groups[0], bars=bars), *plan.groups[1:]))


def test_a_plan_is_confirmed_before_it_is_handed_out(
    small_job: Job, small_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan import planning

    monkeypatch.setattr(planning, "plan_job", lambda *_, **__: spoiled(small_plan))
    with pytest.raises(actions.CheckFailed) as failed:
        actions.plan(small_job)
    assert failed.value.failures
    assert failed.value.failures[0] in str(failed.value)


def test_loading_the_planner_is_part_of_the_time(
    small_job: Job, small_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It takes seconds where the machine is busy with other things."""
    from cutplan import planning

    given, hand = [], iter([100.0, 103.5])

    def plan_job(job: Job, *, time_limit: float, **_: object) -> Plan:
        given.append(time_limit)
        return small_plan

    monkeypatch.setattr(planning, "plan_job", plan_job)
    monkeypatch.setattr(time, "monotonic", lambda: next(hand, 103.5))
    actions.plan(small_job, time_limit=5.0)
    monkeypatch.undo()
    assert given == [1.5]


def test_what_is_said_of_the_search_reaches_it(
    small_job: Job, small_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan import planning

    seen: dict[str, object] = {}

    def plan_job(job: Job, **settings: object) -> Plan:
        seen.update(settings)
        return small_plan

    monkeypatch.setattr(planning, "plan_job", plan_job)
    monkeypatch.setattr(time, "monotonic", lambda: 100.0)
    actions.plan(small_job, time_limit=7.0, progress=print, processes=2, cluster="192.0.2.7:8786")
    assert seen == {"time_limit": 7.0, "progress": print, "processes": 2, "cluster": "192.0.2.7:8786"}


def test_a_spoiled_plan_is_not_written(small_job: Job, small_plan: Plan, folder: Path) -> None:
    with pytest.raises(actions.CheckFailed):
        actions.write_plan(small_job, spoiled(small_plan), folder)
    assert not folder.parent.exists()


def test_no_plan_leaves_no_folder(folder: Path) -> None:
    impossible = builders.job([builders.part("A", 1, 1200)], [builders.offer("P2", 6000, 35)], longest_carry=3000)
    with pytest.raises(NoPlan):
        actions.plan_into(impossible, folder)
    assert not folder.parent.exists()


def test_writing_is_told_from_planning(small_job: Job, folder: Path) -> None:
    told: list[str] = []
    actions.plan_into(small_job, folder, progress=told.append, before_writing=lambda: told.append("planned"))
    place = told.index("planned")
    assert told[place + 1 :] == [f"writing {name}" for name in ("plan.xlsx", "plan.pdf", "plan.html", "labels.pdf")]
    assert not any("writing" in text for text in told[:place])


def test_output_folder_is_named_after_the_list() -> None:
    assert actions.plan_folder("somewhere/garden-trailer.csv") == Path("reports/garden-trailer")
    assert actions.plan_folder(["gate.csv", "door.v2.xlsx"]) == Path("reports/gate+door.v2")


def test_the_folder_of_very_many_lists_has_a_name_that_file_systems_take() -> None:
    lists = [f"gate for number {number} of the long street é.csv" for number in range(30)]
    (folder,) = actions.plan_folder(lists).relative_to("reports").parts
    assert folder.startswith("gate for number 0 of the long street é+29 more ")
    others = [*lists[:-1], "another.csv"]
    assert actions.plan_folder(others).name != folder, "another purchase"
    assert actions.plan_folder(lists).name == folder
    assert len(actions.plan_folder(["é" * 120 + ".csv"] * 2).name.encode()) < 130


@pytest.mark.parametrize("name", ["...csv", "..csv", ".csv", "....", "..", ". .csv"])
def test_an_output_folder_is_never_one_that_is_there_already(name: str) -> None:
    """``..`` in place of a name would write a plan beside the reports, or above them."""
    (folder,) = actions.plan_folder(f"somewhere/{name}").relative_to("reports").parts
    assert folder.strip(". ")
