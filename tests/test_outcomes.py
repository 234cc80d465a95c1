"""A quoted job from its plan to what it came to: minutes told, and all of it taken back."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.outcomes import jobs_of_year, told_minutes
from cutplan.problems import ProblemsFound
from cutplan.words.outcome_words import year_rows, year_text, year_values
from tests.costed import bench_planned

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("", {}),
        ("520", {"": 520_000}),
        ("saw 180, drill 40.5; Weld 300", {"saw": 180_000, "drill": 40_500, "weld": 300_000}),
    ],
)
def test_minutes_as_typed(typed: str, expected: dict[str, int]) -> None:
    assert told_minutes(typed) == expected


@pytest.mark.parametrize(
    ("typed", "found", "code"),
    [
        ("paint 20", "paint 20", "minutes.unreadable"),
        ("20, saw 5", "20", "minutes.unreadable"),
        ("saw 0.0001", "saw 0.0001", "minutes.unreadable"),
        ("saw 3, saw 4", "saw 4", "minutes.twice"),
        ("saw x", "x", "number.unreadable"),
        ("0", "0", "minutes.none"),
        ("saw 3, weld 0.0", "weld 0.0", "minutes.none"),
    ],
)
def test_minutes_that_are_none_are_placed(typed: str, found: str, code: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        told_minutes(typed)
    (problem,) = refused.value.problems
    assert (problem.where, problem.found, problem.code) == ("--minutes", found, code)


@pytest.fixture
def shop(tmp_path: Path) -> actions.Rack:
    (tmp_path / "workshop.toml").write_text("[cost]\nhour_rate = 60\nmargin = 20\n")
    actions.write_plan(*bench_planned(), tmp_path / "plan")
    return actions.find_rack(near=tmp_path / "plan/plan.json", who="Ines")


def test_a_job_is_held_against_its_quote(shop: actions.Rack, tmp_path: Path) -> None:
    """60.00 and two hinges of 5.00, 52.2 min at 60.00: 122.20 as quoted. 90 min are 37.80 more."""
    file = tmp_path / "plan/plan.json"
    assert actions.quote_plan(file, shop, customer="Fernhollow").quote.cost == 122_200_000
    actions.record(file, shop, minutes="90")
    (row,) = year_rows(jobs_of_year(shop).outcomes)
    assert (row.number, row.customer, row.stage) == ("Q1", "Fernhollow", "recorded")
    assert (row.quoted_cost, row.cost, row.minutes) == (122_200_000, 160_000_000, 90_000)
    year = jobs_of_year(shop)
    assert {(each.better, each.least, each.most) for each in year.suggestions} == {
        (None, Fraction(900, 522), Fraction(900, 522))
    }
    assert "  saw: 1 job took 1.72 times the minutes expected, not judged before 3\n" in year_text(year, shop.workshop)
    actions.undo(shop)
    (row,) = year_rows(jobs_of_year(shop).outcomes)
    assert (row.minutes, row.stage) == (None, "planned")


def test_figures_that_were_taken_over_are_not_multiplied_again(shop: actions.Rack, tmp_path: Path) -> None:
    """What was expected of a job was reckoned with the figures of that day: with others in the file it begins anew."""
    file, workshop = tmp_path / "shelf/plan.json", tmp_path / "workshop.toml"
    for name, minutes in (("bench", "saw 90"), ("shelf", "saw 30.5"), ("rack", "saw 61")):
        job = replace(bench_planned()[0], name=name)
        actions.write_plan(job, actions.plan(job), tmp_path / name)
        actions.record(tmp_path / name / "plan.json", shop, minutes=minutes)
    advised = {each.key for each in jobs_of_year(shop).suggestions}
    assert advised == {f"hours.{key}" for key in ("per_bar", "per_stop", "per_cut", "per_cut_1000_mm2")}
    before = workshop.read_text()
    lines = year_text(jobs_of_year(shop), shop.workshop).split(" file:\n")[1]
    # 4 x 181.5 / 36.6 min at the saw; the shelf took 30.5 of 12.2, the bench 90.
    rests = "it rests on 3 jobs, which took 2.50 to 7.38 times the minutes expected"
    assert f"  per_bar = 19.8  # in [hours], now 4 min; {rests}\n" in lines
    workshop.write_text(f"[hours]\n{lines}\n{before}")
    assert jobs_of_year(actions.find_rack(near=file)).suggestions == ()
    # Minutes of other work are told by what they were.
    workshop.write_text(f"hours.per_hole = 3\n{before}")
    assert {each.key for each in jobs_of_year(actions.find_rack(near=file)).suggestions} == advised


def test_a_job_that_is_only_quoted_came_to_nothing_yet(shop: actions.Rack, tmp_path: Path) -> None:
    actions.quote_plan(tmp_path / "plan/plan.json", shop)
    year = jobs_of_year(shop, out=tmp_path / "jobs.svg")
    (row,) = year_rows(year.outcomes)
    assert (row.quoted_cost, row.price, row.cost, row.left, row.minutes) == (122_200_000, 152_750_000, None, None, None)
    text = year_text(year, shop.workshop)
    assert "quote Q1 152.75, cost 122.20 as quoted, not recorded yet.\n" in text
    assert "in the end" not in text
    (job,) = year_values(year, shop.workshop)["jobs"]
    assert (job["quoted_cost"], job["cost"], job["left"]) == ("122.20", None, None)
    assert {(item["assembly"], item["cost"]) for item in job["assemblies"]} == {("frame", None), ("shelf", None)}
    assert "price 152.75, not recorded yet" in (tmp_path / "jobs.svg").read_text(encoding="utf-8")


def test_a_kind_of_work_that_is_not_told_stands_as_quoted(shop: actions.Rack, tmp_path: Path) -> None:
    """12.2 + 4 + 36 min are quoted at 60.00; 20 at the saw and 50 of welding leave 4 for the two walls drilled."""
    file = tmp_path / "plan/plan.json"
    actions.quote_plan(file, shop)
    actions.record(file, shop, minutes="saw 20; weld 50")
    year = jobs_of_year(shop)
    (row,) = year_rows(year.outcomes)
    assert (row.minutes, row.cost) == (74_000, 122_200_000 + 74_000_000 - 52_200_000)
    assert "1.23 h, of which drill as quoted)" in year_text(year, shop.workshop)
    assert year_values(year, shop.workshop)["jobs"][0]["minutes_as_quoted"] == ["drill"]


def test_text_json_and_files_say_the_same(shop: actions.Rack, tmp_path: Path) -> None:
    file = tmp_path / "plan/plan.json"
    actions.quote_plan(file, shop, customer="=Fernhollow")
    actions.record(file, shop)
    year = jobs_of_year(shop, out=tmp_path / "jobs.csv")
    (job,) = year_values(year, shop.workshop)["jobs"]
    text = year_text(year, shop.workshop)
    assert f"quote Q1 {job['price']}, cost {job['quoted_cost']} as quoted, {job['cost']} in the end" in text
    assert "hours as quoted" in text
    for item in job["assemblies"]:
        assert f"{item['assembly']}: cost {item['quoted_cost']} as quoted, {item['cost']} in the end" in text
    line = (tmp_path / "jobs.csv").read_text(encoding="utf-8-sig").splitlines()[1]
    assert line.startswith(f"tiny,recorded,{job['day']},'=Fernhollow,Q1,{job['price']},{job['quoted_cost']}")
    assert jobs_of_year(shop, year=1999).outcomes == ()
    with pytest.raises(ProblemsFound) as refused:
        jobs_of_year(shop, out=tmp_path / "jobs.pdf")
    assert [problem.code for problem in refused.value.problems] == ["file.name"]
