"""A grade on sale that serves the one asked, by the standards or the workshop's word, is planned with and named."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job
from cutplan.problems import ProblemsFound
from cutplan.reports.rows import rows_of
from tests.input_files import write_csv

PARTS = ("Mark", "Quantity", "Section", "Length", "Grade")
PRICES = ("Merchant", "Section", "Grade", "Length", "Price", "Per", "Available")


def read(folder: Path, grades: dict[str, str], on_sale: dict[str, int], keys: str = "", available: int = 9) -> Job:
    """Parts of 2900 mm, and lengths of 6 m, by their grades."""
    parts = [PARTS, *((mark, 1, "SHS 40x40x3", 2900, grade) for mark, grade in grades.items())]
    prices = [
        PRICES,
        *(("Yard", "SHS 40x40x3", grade, "6 m", price, "each", available) for grade, price in on_sale.items()),
    ]
    (folder / "workshop.toml").write_text(f"[grades]\n{keys}\n", encoding="utf-8")
    return actions.read_job(
        write_csv(folder / "frame.csv", parts),
        prices=write_csv(folder / "prices.csv", prices),
        workshop=folder / "workshop.toml",
    )


def test_a_grade_with_its_quality_serves_the_one_without_and_the_sheet_says_so(tmp_path: Path) -> None:
    job = read(tmp_path, {"P1": "S355", "P2": "S355"}, {"S355J2H": 40})
    assert [part.also_grades for part in job.parts] == [("S355J2H",)] * 2
    assert "S355J2H serves S355: P1, P2." in job.assumed
    plan = actions.plan(job)
    assert [block.grade for block in rows_of(job, plan).blocks] == ["S355J2H, serves S355"]


def test_two_grades_share_the_only_length_there_is(tmp_path: Path) -> None:
    job = read(tmp_path, {"P1": "S355", "P2": "S355J2H"}, {"S355J2H": 40}, available=1)
    plan = actions.plan(job)
    assert [[cut.mark for cut in bar.cuts] for bar in plan.bars] in ([["P1", "P2"]], [["P2", "P1"]])


def test_what_is_less_tough_or_weaker_serves_not_however_cheap(tmp_path: Path) -> None:
    job = read(tmp_path, {"P1": "S355J2H"}, {"S355J0H": 10, "S275J2H": 10, "S355J2H": 40})
    assert job.parts[0].also_grades == ()
    assert [bar.source for bar in actions.plan(job).bars] == [job.offers[2].id]


@pytest.mark.parametrize(("asked", "there"), [("S355J2H", "S355J0H"), ("S235JRH", "S275J0H"), ("B", "C")])
def test_the_workshop_adds_what_the_standards_leave_open(asked: str, there: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=f"no stock length and no offcut of .*{asked}"):
        read(tmp_path, {"P1": asked}, {there: 40})
    job = read(tmp_path, {"P1": asked}, {there: 40}, f'also = "{asked}: {there}"')
    assert f"{there} serves {asked}: P1." in job.assumed


def test_the_workshop_forbids_what_the_standards_allow(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="no stock length and no offcut of"):
        read(tmp_path, {"P1": "S355"}, {"S355JRH": 40}, 'never = "S355: S355JRH"')


@pytest.mark.parametrize("typed", ["S355", "S355:", ": S355J2H", "S355: S355JR,"])
def test_grades_without_what_serves_them_are_refused(typed: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="such as S235JRH: S275J0H, S355J2H; B: C") as found:
        read(tmp_path, {"P1": "S355"}, {"S355": 40}, f'also = "{typed}"')
    assert {problem.code for problem in found.value.problems} == {"workshop.grades"}
