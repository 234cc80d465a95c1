"""Every project in inputs/ is read without a question, planned, checked, written and read back."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan, groups_of
from cutplan.model.marking import jigs_of
from cutplan.units import INCH, METRE, MM

INPUTS = Path(__file__).parent.parent.parent / "inputs"
PIECES = {
    "garden-trailer.csv": 35,
    "potting-benches.xlsx": 81,
    "market-stand/market-stand.csv": 198,
    "tool-stand.csv": 21,
}


@pytest.fixture(scope="module", params=PIECES)
def sample(request: pytest.FixtureRequest) -> tuple[str, Job, Plan]:
    name = str(request.param)
    job = actions.read_job(INPUTS / name)
    return name, job, actions.plan(job)


def test_every_project_is_tried() -> None:
    not_projects = {
        "workshop.toml",
        "workshop-inch.toml",
        "prices.csv",
        "rack.csv",
        "garden-trailer-holes.csv",
        "market-stand-holes.csv",
    }
    files = {str(path.relative_to(INPUTS)) for path in INPUTS.rglob("*") if path.is_file()}
    assert {file for file in files if Path(file).name not in not_projects and not file.endswith("-holes.csv")} == set(
        PIECES
    )


def test_sample_is_planned_written_and_read_back(sample: tuple[str, Job, Plan], tmp_path: Path) -> None:
    name, job, plan = sample
    pieces = Counter(cut.mark for bar in plan.bars for cut in bar.cuts)
    assert pieces == {part.mark: part.quantity for part in job.parts}
    assert pieces.total() == PIECES[name]
    assert plan.stopped_by == ""
    plan_file, workbook, printed, *_ = actions.write_plan(job, plan, tmp_path)
    assert actions.verify(plan_file) == ()
    assert workbook.stat().st_size > 5000
    assert printed.stat().st_size > 20000


def test_sample_raises_no_question(sample: tuple[str, Job, Plan]) -> None:
    name, job, _ = sample
    assert [str(problem) for problem in job.warnings] == []
    assert all(group.priced for group in groups_of(job)), f"{name}: a group has no price"


def test_sample_summary_fits_the_terminal(sample: tuple[str, Job, Plan]) -> None:
    _, job, plan = sample
    lines = actions.summary(job, plan, width=80).splitlines()
    assert lines
    assert max(map(len, lines)) <= 80


def test_something_is_too_long_to_carry(sample: tuple[str, Job, Plan]) -> None:
    """7.5 m and longer bars of the merchant who does not deliver stay out of every plan."""
    _, job, plan = sample
    too_long = {
        offer.id
        for offer in job.offers
        if offer.length > job.workshop.longest_carry and not job.workshop.merchant(offer.merchant).delivers
    }
    assert too_long
    assert not too_long & {bar.source for bar in plan.bars}


def test_trailer_is_read_as_drawn() -> None:
    job = actions.read_job(INPUTS / "garden-trailer.csv")
    by_mark = {part.mark: part for part in job.parts}
    assert by_mark["T1"].short_point == 1420 * MM, "1500 long point less 40 at each end"
    assert by_mark["T3"].length == (900 - 2 * 40) * MM, "cross members fit between the side rails"
    assert by_mark["T11"].length == by_mark["T1"].short_point
    assert by_mark["T12"].length == (820 - 2 * 30) * MM
    assert by_mark["T9"].length == (900 - 2 * 30 - 6) * MM
    assert job.workshop.longest_carry == 6500 * MM
    assert (len(job.offcuts), job.workshop.tax_millionths) == (12, 210_000)


def test_trailer_is_drilled_as_drawn() -> None:
    job = actions.read_job(INPUTS / "garden-trailer.csv")
    holes = {part.mark: part.holes for part in job.parts if part.holes}
    assert [hole.position // MM for hole in holes["T11"]] == [70, 390, 710, 1030, 1350]
    assert [hole.position // MM for hole in holes["T12"]] == [60, 380, 700]
    assert {hole.across for mark in ("T11", "T12") for hole in holes[mark]} == {18 * MM}
    assert [hole.position // MM for hole in holes["T1"] if hole.landing] == [500, 1000]
    assert {hole.name for hole in holes["T4"]} == {"M12 clear", "M8x1.25 tapped"}


def test_stand_shares_a_jig() -> None:
    job = actions.read_job(INPUTS / "market-stand/market-stand.csv")
    post = next(part for part in job.parts if part.mark == "M1")
    assert len(post.holes) == 12
    assert [post.holes[i].position for i in (0, 11)] == [2 * INCH, 137 * INCH // 2]
    assert [(jig.marks, jig.stop) for jig in jigs_of(job.parts)] == [(("M1", "M2"), "A")]


def test_benches_are_read_as_drawn() -> None:
    job = actions.read_job(INPUTS / "potting-benches.xlsx")
    by_mark = {part.mark: part for part in job.parts}
    assert by_mark["L1"].length == (900 - 6) * MM, "a leg stands on its foot plate"
    assert by_mark["L2"].length == (1800 - 2 * 40) * MM
    assert by_mark["L3"].length == (700 - 2 * 40) * MM
    assert {part.finish for part in job.parts} == {"black", "galvanised"}
    assert all(part.quantity % 3 == 0 for part in job.parts), "three benches alike"


def test_stand_is_read_in_inches() -> None:
    job = actions.read_job(INPUTS / "market-stand/market-stand.csv")
    by_mark = {part.mark: part for part in job.parts}
    assert job.workshop.unit == "in"
    assert job.workshop.currency == "USD"
    assert by_mark["M1"].length == 78 * INCH - INCH // 4, "a post stands on its foot plate"
    assert by_mark["M3"].length == (96 - 4) * INCH
    assert by_mark["M5"].length == 53 * INCH + 3 * INCH // 8
    assert all(part.quantity % 6 == 0 for part in job.parts), "six stands alike"
    (tube,) = {offer.length - offer.counted for offer in job.offers if offer.section.designation.startswith("SHS")}
    assert tube == INCH // 4, "tube may come short by this much"
    assert max(offer.length for offer in job.offers) < 12.2 * METRE
