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


@pytest.mark.parametrize(
    ("asked", "there", "said"),
    [
        (
            "S355",
            "S275J2H",
            "S275J2H in place of S355, as grades.also in the workshop file lets it: by its name it has",
        ),
        ("C", "B", "by its name it has the lower yield"),  # 50 and 46 ksi
        ("A572-50", "A36", "by its name it has the lower yield"),
        ("S355J2H", "C350L0", "their names do not tell which has the lower yield"),
        ("B", "C", ""),
        ("S235", "S355J2H", ""),
        ("S355J2H", "S355J0H", ""),  # as strong, less tough: the workshop's word, and told as what was assumed
    ],
)
def test_a_weaker_grade_that_the_workshop_lets_serve_is_warned_of(
    asked: str, there: str, said: str, tmp_path: Path
) -> None:
    job = read(tmp_path, {"P1": asked, "P2": asked}, {there: 40}, f'also = "{asked}: {there}"')
    found = [each for each in job.warnings if each.code == "grade.weaker"]
    assert len(found) == bool(said)
    assert all(said in each.found and "row 2" in each.where for each in found)


def test_a_beam_asked_to_the_standard_of_one_steel_is_not_cut_from_another(tmp_path: Path) -> None:
    """A36 has a yield of 36 ksi, A992 and A572 grade 50 one of 50 (from memory of ASTM A36, A572, A992)."""

    def beams(asked: str, sold: str, keys: str = "") -> Job:
        (tmp_path / "workshop.toml").write_text(f"[grades]\n{keys}\n", encoding="utf-8")
        parts = [("Quantity", "Section", "Length", "Standard"), (2, "W8x31", 2900, asked)]
        prices = [
            ("Merchant", "Section", "Standard", "Length", "Price", "Per"),
            ("Yard", "W8x31", sold, "6 m", 9, "each"),
        ]
        return actions.read_job(write_csv(tmp_path / "b.csv", parts), prices=write_csv(tmp_path / "prices.csv", prices))

    for asked, sold in (("ASTM A992", "ASTM A36"), ("A572", "A36"), ("A36", "A992"), ("ASTM A992", "ASTM A6")):
        with pytest.raises(ProblemsFound, match="no stock length and no offcut of W8X31 to ASTM A6"):
            beams(asked, sold)
    assert beams("A992", "ASTM A992").parts[0].grade == "A992"
    assert beams("A6", "A36").parts[0].grade == ""
    job = beams("A992", "A36", 'also = "A992: A36"')
    assert [each.code for each in job.warnings if each.code.startswith("grade")] == ["grade.weaker"]


def test_an_angle_asked_to_a_steel_of_another_standard_is_told_where_that_stands(tmp_path: Path) -> None:
    parts = [("Quantity", "Section", "Length", "Standard"), (2, "L2x2x1/4", 900, "ASTM A572")]
    with pytest.raises(ProblemsFound, match="is the grade meant\\? then A572 stands under Grade"):
        actions.read_job(write_csv(tmp_path / "l.csv", parts), stock=["6 m"])
