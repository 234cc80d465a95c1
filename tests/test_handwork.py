"""Work by hand counted and timed, worked by hand for a small job."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan import actions
from cutplan.costing.cost_figures import HourFigures
from cutplan.costing.handwork import Handwork, Task, minutes_of, tasks_of
from cutplan.model import Merchant
from tests.builders import job, offer, part, workshop
from tests.costed import bench_planned


@pytest.fixture(scope="module")
def tasks() -> dict[Handwork, Task]:
    return {task.work: task for task in tasks_of(*bench_planned(), HourFigures())}


@pytest.mark.parametrize(
    ("work", "count", "each"),
    [
        (Handwork.BARS, 1, 4000),
        (Handwork.STOPS, 2, 2000),  # 1000 and 500
        (Handwork.STROKES, 3, 1400),  # the mill end is used as it comes; 1 min and 0.4 for 400 mm2
        (Handwork.HOLES, 2, 2000),  # one hole through both walls of a tube; 1 min and 1 for 10 mm
        (Handwork.WELDS, 6, 6000),  # 3 min and 2 x 1.5 for an outline of 150 mm
    ],
)
def test_counted_and_timed_by_hand(tasks: dict[Handwork, Task], work: Handwork, count: int, each: int) -> None:
    assert (tasks[work].count, tasks[work].each) == (count, each)


def test_all_of_it(tasks: dict[Handwork, Task]) -> None:
    """4 + 2 x 2 + 3 x 1.4 + 2 x 2 + 6 x 6 = 52.2 min."""
    assert minutes_of(tasks.values()) == 52_200
    assert list(tasks) == list(Handwork)


def test_holes_and_welds_are_their_assembly_s_own(tasks: dict[Handwork, Task]) -> None:
    assert dict(tasks[Handwork.HOLES].by_assembly) == {"shelf": 2}
    assert dict(tasks[Handwork.WELDS].by_assembly) == {"frame": 4, "shelf": 2}


def test_what_a_merchant_cuts_takes_no_stroke_here() -> None:
    shop = workshop(merchants=[Merchant(name="Yard", cuts_to_plan=True)])
    made = job([part("A", 2, 1000)], [offer("#2", 6000, 60)], at=shop)
    found = {task.work: task.count for task in tasks_of(made, actions.plan(made), HourFigures())}
    assert found == {Handwork.BARS: 1, Handwork.WELDS: 4}


def test_a_figure_of_nothing_takes_no_time() -> None:
    nothing = replace(HourFigures(), **dict.fromkeys(HourFigures.__slots__, 0))
    assert minutes_of(tasks_of(*bench_planned(), nothing)) == 0
