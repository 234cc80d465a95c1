"""Large jobs cost work and room that grow with what is different in them, and no faster: counted, without a clock."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from cutplan import actions, planfile
from cutplan.checking import check, proof
from cutplan.model import Job, Plan, Workshop, groups_of
from cutplan.planning import plan_job
from cutplan.reports.lettering import text_mm
from cutplan.reports.paper import label_sheets, labels
from cutplan.reports.paper.press import typeset
from cutplan.reports.workbook import cells
from cutplan.solving import sparse, tree
from cutplan.solving.constructive import preferences
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Grid
from cutplan.solving.whole_numbers import instance_of
from tests import builders
from tests.benchmarks.instances import shop_jobs
from tests.benchmarks.limits import groups
from tests.hand_plans import hand_plan


def equal_parts(quantity: int) -> tuple[Job, Plan]:
    """So many parts alike, planned: four to a bar."""
    job = builders.job([builders.part("A", quantity, 1450)], [builders.offer("P", 6000, 36)], kerf=3, end_trim=10)
    return job, actions.plan(job)


def different_lengths(number: int) -> Job:
    draw = random.Random(number)
    parts = [
        builders.part(f"M{n}", 1, f"{length / 10:.1f}")
        for n, length in enumerate(draw.sample(range(1000, 40_000), number))
    ]
    return builders.job(parts, [builders.offer("P", 6000, 36)], kerf=3, end_trim=10, safe_hold=120)


@contextmanager
def counting(owner: Any, name: str) -> Iterator[Callable[[], int]]:
    """How often a function is called in the block."""
    counted = getattr(owner, name)
    calls = 0

    def called(*given: Any, **named: Any) -> Any:  # a mock takes many times as long as what it stands for
        nonlocal calls
        calls += 1
        return counted(*given, **named)

    with mock.patch.object(owner, name, called):
        yield lambda: calls


def test_a_plan_of_a_hundred_times_the_parts_has_no_more_lines(tmp_path: Path) -> None:
    """200,000 parts in a row were half a gigabyte once; bars cut alike are one entry with a count."""
    written = []
    for quantity in (40, 4000):
        planfile.write(*equal_parts(quantity), tmp_path / "plan.json")
        written.append((tmp_path / "plan.json").read_text(encoding="utf-8"))
    few, many = written
    assert many.count("\n") == few.count("\n")
    assert len(many) < len(few) + 200, "some figures have two digits more"


def test_first_fit_of_twice_the_lengths_is_twice_the_work() -> None:
    """Every piece of every bar was asked once, which is four times the work for twice the lengths."""
    looks = []
    for number in (400, 800, 1600):
        group = groups_of(different_lengths(number))[0]
        instance = instance_of(group, builders.workshop(kerf=3), group.offers, Parameters())
        with counting(sparse._Waiting, "first") as count:
            assert sparse.sparse_first_fit(instance, next(preferences(instance)))
        looks.append(count())
    assert looks[1] < 2.2 * looks[0]
    assert looks[2] < 2.2 * looks[1]


def test_with_no_time_nothing_is_searched_and_the_bound_says_something() -> None:
    job = different_lengths(300)
    plan = plan_job(job, time_limit=0)
    assert plan.stopped_by == "time limit"
    assert [(group.proof.rounds, group.proof.nodes) for group in plan.groups] == [(0, 0)]
    assert plan.bound > 0.9 * plan.cost


@contextmanager
def work_as_time(share: int, *steps: tuple[Any, str, float]) -> Iterator[Callable[[], float]]:
    """Let time go by as work is done alone: each call keeps a processor busy so long, of which this has a share."""
    worked = 0.0

    def counted(step: Callable[..., Any], seconds: float) -> Callable[..., Any]:
        def called(*given: Any, **named: Any) -> Any:
            nonlocal worked
            worked += seconds / share
            return step(*given, **named)

        return called

    def work() -> float:
        return worked

    def now() -> float:
        return share * worked

    with ExitStack() as patches:
        for owner, name, seconds in steps:
            patches.enter_context(mock.patch.object(owner, name, counted(getattr(owner, name), seconds)))
        patches.enter_context(mock.patch.object(time, "thread_time", work))
        patches.enter_context(mock.patch.object(time, "monotonic", now))
        yield now


@pytest.mark.parametrize("share", [1, 12])
def test_a_search_leaves_time_to_check_what_it_proves(share: int) -> None:
    """The checker goes through one leaf after another, as long as it takes: a search of five seconds ended after ten
    where it had a twelfth of a processor.
    """
    job = next(iter(shop_jobs(20, seed=1, count=1, cut_charges=True))).job
    with work_as_time(share, (Grid, "tables", 0.01), (proof, "margins_of", 0.06)) as now:
        plan = plan_job(job, time_limit=8.0, processes=0, parameters=Parameters(listed=0, listed_first=0))
        searched = now()
        assert not check(job, plan)
        assert now() <= 8.0 + 1.0
    assert plan.stopped_by == "time limit"
    assert len(plan.groups[0].proof.leaves) > 10
    assert searched > 6.0, "what is kept back is not most of the time"


def test_on_a_shared_machine_no_group_takes_the_time_of_those_that_wait() -> None:
    """Each wants a plan and a bound, however late it is."""
    with work_as_time(12, (tree, "first_fit", 0.05), (Grid, "tables", 0.05)) as now:
        plan = plan_job(groups(20), time_limit=5.0, processes=0)
        assert now() <= 5.0 + 1.0
    assert plan.stopped_by == "time limit"
    assert all(group.proof.bound > 0 for group in plan.groups)


@pytest.mark.parametrize("number", [0, 1, 250])
def test_labels_are_set_some_pages_at_a_time(number: int, tmp_path: Path) -> None:
    """Each piece holds its own labels alone: all of them in each would be their number squared."""
    job = builders.job([builders.part("A", max(number, 1), 500)], [builders.offer("O", 1010, 9)], kerf=2, keep=600)
    plan = hand_plan(job, *[("O", ["A"])] * max(number, 1))
    made = list(labels.labels_of(job, plan, "x"))[:number]
    given = []

    def noted(template: str, data: dict[str, Any]) -> bytes:
        given.append(data["labels"])
        return typeset(template, data)

    with mock.patch.object(label_sheets, "typeset", noted), mock.patch.object(label_sheets, "_TOGETHER", 50):
        label_sheets.write_labels(made, next(iter(label_sheets.SHEETS)), tmp_path / "labels.pdf", "gate")
    assert sum(map(len, given)) == number
    assert max(map(len, given)) <= 50
    assert (tmp_path / "labels.pdf").stat().st_size < 20_000 + 3_000 * number


def test_a_text_of_any_length_is_shortened_in_a_few_looks() -> None:
    """One letter after another it took as many looks as letters, each at all of them."""
    with counting(label_sheets, "text_mm") as count:
        shown = label_sheets.fitted("x" * 30_000, 40.0, (9.0, 7.0))["text"]
    assert count() < 20
    assert text_mm(shown, 7.0) <= 40.0 < text_mm("x" + shown, 7.0)
    assert shown == "x" * (len(shown) - 1) + "…"
    assert label_sheets.fitted("x", 0.1, (7.0,))["text"] == "…"


def test_a_long_text_is_measured_once_to_be_shortened() -> None:
    """A place on the rack of 28,000 letters was measured anew for each letter that was taken off it."""
    with counting(cells, "_em") as measured:
        text, size = cells.fitted("W" * 2000, 50, (12, 8))
    assert (text, size) == cells.fitted("W" * 40, 50, (12, 8))
    assert measured() <= 2000 + 1


@pytest.mark.thorough
def test_sets_of_merchants_do_not_each_ask_how_every_length_comes_home() -> None:
    """Of eight merchants who charge for delivery there are 256 sets; each asked it of every length of every group once,
    which took twenty seconds where groups were two hundred.
    """
    asked = []
    for sellers in (2, 6):
        job = groups(6, sellers=sellers)
        with counting(Workshop, "terms") as terms:
            plan_job(job, parameters=Parameters(nodes=1, listed=0))
        asked.append(terms() / len(job.offers))
    few, many = asked
    assert many < 2 * few
