"""Two saws from the list to the rest of a plan: as a user goes on where one of them went wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.gone_wrong import Wrong
from cutplan.actions.replanning import replan
from cutplan.checking import check, review
from cutplan.model import Job, Plan
from cutplan.planning.scenarios import other_kerf
from cutplan.problems import NoPlan, ProblemsFound
from cutplan.units import CURRENCY, MM
from cutplan.words.comparison_words import comparison_text
from cutplan.words.proving import proof_lines
from tests.input_files import write_csv, write_xlsx

pytestmark = pytest.mark.usefixtures("no_paper")

SAWS = """
[[saw]]
name = "mitre saw"
kerf = 3
families = "SHS"

[[saw]]
name = "band saw"
kerf = 1
"""
PARTS = [
    ("Mark", "Quantity", "Section", "Length", "Cut A", "Saw"),
    ("A", 4, "SHS 40x40x3", 1200, 45, ""),
    ("B", 5, "SHS 40x40x3", 1100, "", "band saw"),
    ("C", 2, "FL 40x5", 900, "", ""),
]


@pytest.fixture
def setting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, actions.Rack, Job, Plan]:
    monkeypatch.chdir(tmp_path)
    Path("workshop.toml").write_text(SAWS, encoding="utf-8")
    job = actions.read_job(write_csv(Path("frame.csv"), PARTS), stock=["6 m"])
    plan, _ = actions.plan_into(job, Path("reports/frame"))
    return Path("reports/frame/plan.json"), actions.find_rack(near="frame.csv"), job, plan


def saws_of(job: Job, plan: Plan) -> dict[int, set[str]]:
    saw = {part.mark: part.saw for part in job.parts}
    return {bar.number: {saw[cut.mark] for cut in bar.cuts} for bar in plan.bars}


def test_a_part_spoiled_on_the_second_saw_says_nothing_of_the_first(
    setting: tuple[Path, actions.Rack, Job, Plan],
) -> None:
    path, rack, job, plan = setting
    assert saws_of(job, plan) == {1: {"mitre saw"}, 2: {"band saw"}, 3: {"band saw"}}
    done = replan(path, rack, wrong=Wrong(spoiled="B", copy=2, bar=2, measured="0"), kerf="Band saw: 2")
    assert done.told[:2] == (
        "Bars up to 2 on band saw are taken as cut, bar 2 up to the spoiled part.",
        "On other saws bar 1 is taken as not cut; a cut record says otherwise.",
    )
    assert done.job is not None
    assert done.plan is not None
    assert check(done.job, done.plan) == ()
    # One B is good and one is scrap: four of B are to come, and all of the others.
    made = [cut.mark for bar in done.plan.bars for cut in bar.cuts]
    assert {mark: made.count(mark) for mark in "ABC"} == {"A": 4, "B": 4, "C": 2}
    kerfs = {cut.mark: cut.kerf for bar in done.plan.bars for cut in bar.cuts[:-1]}
    assert (kerfs["B"], kerfs["C"]) == (2 * MM, 2 * MM)
    assert kerfs["A"] >= 3 * MM
    assert "On band saw (kerf 2 mm, end trim 10 mm, its cut included, holds 120 mm or more): B, C." in done.job.assumed
    assert actions.verify(done.files[0]) == ()


@pytest.mark.parametrize("typed", ["2", "hacksaw: 2"])
def test_a_kerf_of_two_saws_needs_its_name(typed: str, setting: tuple[Path, actions.Rack, Job, Plan]) -> None:
    path, rack, job, _ = setting
    for ask in (
        lambda: replan(path, rack, wrong=Wrong(spoiled="B", copy=2, bar=2, measured="0"), kerf=typed),
        lambda: actions.compare(job, kerf=typed),
    ):
        with pytest.raises(ProblemsFound, match="the saws are mitre saw, band saw"):
            ask()


def test_compare_changes_the_kerf_of_one_saw(setting: tuple[Path, actions.Rack, Job, Plan]) -> None:
    job = setting[2]
    change = other_kerf(job, 4 * MM, "band saw")
    assert change.words == "a kerf of 4 mm on band saw"
    assert [saw.kerf for saw in change.job.workshop.saws] == [3 * MM, 4 * MM]
    assert [one.words for one in actions.compare(job, kerf="BAND SAW: 4")][1:] == [change.words]


def test_a_workbook_has_its_saws_on_a_sheet(tmp_path: Path, setting: tuple[Path, actions.Rack, Job, Plan]) -> None:
    saws = [("Name", "Kerf", "Families", "Largest"), ("mitre saw", 3, "SHS", 60), ("band saw", 1, "", "")]
    path = write_xlsx(tmp_path / "job.xlsx", Parts=PARTS, Saws=saws)
    job = actions.read_job(path, stock=["6 m"])
    assert [part.saw for part in job.parts] == ["mitre saw", "band saw", "band saw"]
    assert [(saw.kerf, saw.largest) for saw in job.workshop.saws] == [(3 * MM, 60 * MM), (MM, 0)]


def test_a_workbook_and_a_folder_say_the_same(setting: tuple[Path, actions.Rack, Job, Plan]) -> None:
    book, *_ = actions.convert("frame.csv", "new.xlsx", stock=["6 m"])
    again = actions.read_job(book)
    assert again.workshop.saws == setting[2].workshop.saws
    folder, *_ = actions.convert(book, "there")
    assert "[[saw]]" in (folder.parent / "workshop.toml").read_text(encoding="utf-8")
    assert actions.read_job(folder).workshop.saws == again.workshop.saws


def test_bars_that_are_too_few_for_two_saws_say_so(tmp_path: Path) -> None:
    """Two lengths, and either saw needs more than one of them to itself."""
    (tmp_path / "workshop.toml").write_text(SAWS, encoding="utf-8")
    parts = [PARTS[0], ("A", 4, "SHS 40x40x3", 1900, "", ""), ("B", 2, "SHS 40x40x3", 1900, "", "band saw")]
    headings = ("Merchant", "Section", "Length", "Price", "Per", "Available")
    prices = write_csv(tmp_path / "prices.csv", [headings, ("Yard", "SHS 40x40x3", "6 m", 9, "each", 2)])
    job = actions.read_job(write_csv(tmp_path / "a.csv", parts), prices=prices)
    with pytest.raises(NoPlan, match=r"too few .* Other saws have a share of them: one saw for all its parts has all"):
        actions.plan(job)
    one_saw = [PARTS[0], *((*row[:5], "mitre saw") for row in parts[1:])]
    job = actions.read_job(write_csv(tmp_path / "b.csv", one_saw), prices=prices)
    assert len(list(actions.plan(job).bars)) == 2


def test_a_plan_of_dealt_bars_claims_no_more_than_its_shares(tmp_path: Path) -> None:
    """By hand: the 2.6 m piece goes to the mitre saw and holds two of three A, so that a length is bought for one A;
    at the band saw it would have held both B, and 6 m would have been bought once."""
    (tmp_path / "workshop.toml").write_text(SAWS, encoding="utf-8")
    parts = [PARTS[0], ("A", 3, "SHS 40x40x3", 1200, "", ""), ("B", 2, "SHS 40x40x3", 1250, "", "band saw")]
    headings = ("Merchant", "Section", "Length", "Price", "Per")
    prices = write_csv(tmp_path / "prices.csv", [headings, ("Yard", "SHS 40x40x3", "6 m", 9, "each")])
    rack = write_csv(
        tmp_path / "rack.csv",
        [("Mark", "Section", "Length", "End A", "End B"), ("R1", "SHS 40x40x3", 2600, "sawn", "sawn")],
    )
    job = actions.read_job(write_csv(tmp_path / "a.csv", parts), prices=prices, rack=rack)
    plan, files = actions.plan_into(job, tmp_path / "a")
    assert plan.cost == 18 * CURRENCY
    words = "as bars are dealt to the saws; other ways to deal them were not tried"
    assert proof_lines(job, plan)[0] == f"Cheapest: proven, rechecked, {words}"
    assert all(words in finding for finding in review(job, plan).findings)
    result = json.loads(files[0].read_text(encoding="utf-8"))["result"]
    assert (result["status"], result["as_dealt"]) == ("proven, rechecked", True)
    rows = actions.compare(job, kerf="band saw: 2")
    assert words in comparison_text(job, rows, 100)
    there = [*parts[:2], ("B", 2, "SHS 40x40x3", 1250, "", "mitre saw")]
    alone = actions.read_job(write_csv(tmp_path / "b.csv", there), prices=prices, rack=rack)
    assert proof_lines(alone, actions.plan(alone))[0] == "Cheapest: proven, rechecked"
