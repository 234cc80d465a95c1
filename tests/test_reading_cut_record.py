"""The cut record read back: what each row says, and every way it can be wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Plan, Workshop
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import ProblemsFound
from cutplan.reading.forms.cut_record import read_cut_record
from tests import builders
from tests.builders import mm
from tests.input_files import Rows, write_csv, write_xlsx

HEAD = ("Bar", "Source", "Section", "Cut", "Left over as measured", "Spoiled parts", "Note")


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Bar 1 of 3000 mm gives A of 900 three times and leaves 282.5 mm, bar 2 B of 850 and leaves 2137.5 mm."""
    job = builders.job(
        [builders.part("A", 3, 900), builders.part("B", 1, 850)],
        [builders.offer("P3", 3000, 20)],
        kerf="2.5",
        end_trim=10,
        keep=300,
    )
    answer = actions.plan(job)
    assert [[cut.mark for cut in bar.cuts] for bar in answer.bars] == [["A", "A", "A"], ["B"]]
    return answer


def facts(folder: Path, plan: Plan, *rows: tuple[object, ...]) -> dict[int, BarFact]:
    written: Rows = (HEAD, *rows)
    return read_cut_record(write_xlsx(folder / "cut.xlsx", None, **{"Cut record": written}), plan, Workshop())


def test_as_planned_and_not(tmp_path: Path, plan: Plan) -> None:
    assert facts(tmp_path, plan, (1, "P3", "", "yes", "", "", ""), (2, "6 m from P3", "", "No", "", "", "tired")) == {
        1: BarFact(),
        2: BarFact(cut=0, note="tired"),
    }


def test_measured_spoiled_and_bent(tmp_path: Path, plan: Plan) -> None:
    scrap = facts(tmp_path, plan, (1, "", "", "yes", "", "", ""), (2, "", "", "yes", "", "B = 0", ""))
    assert scrap[2] == BarFact(spoiled=(Spoiled(mark="B"),))
    found = facts(tmp_path, plan, (1, "", "", "yes", "280", "2 x A = 897; ", ""), (2, "", "", "bent", 2980, "", ""))
    assert found == {
        1: BarFact(left=mm(280), spoiled=(Spoiled(mark="A", quantity=2, measured=mm(897)),)),
        2: BarFact(cut=0, left=mm(2980), scrapped=True),
    }


def test_what_is_usable_of_a_bent_bar_has_to_be_said(tmp_path: Path, plan: Plan) -> None:
    """Nothing is said by 0, which differs from a blank cell."""
    yes = (1, "", "", "yes", "0", "", "")
    assert facts(tmp_path, plan, yes, (2, "", "", "bent", "0", "", "")) == {
        1: BarFact(left=0),
        2: BarFact(cut=0, left=0, scrapped=True),
    }
    with pytest.raises(ProblemsFound) as refused:
        facts(tmp_path, plan, yes, (2, "", "", "bent", "", "", ""))
    assert "found a blank cell.\nAccepted: what length of the bent bar is usable, 0 where nothing is." in str(
        refused.value
    )


@pytest.mark.parametrize(
    ("word", "left", "cut"), [("part", "2085", 1), ("part", "1190", 2), ("2", "", 2), ("0", "", 0)]
)
def test_how_many_were_cut(word: str, left: str, cut: int, tmp_path: Path, plan: Plan) -> None:
    """2087.5 mm are left after one part, 1185 after two."""
    found = facts(tmp_path, plan, (1, "", "", word, left, "", ""), (2, "", "", "yes", "", "", ""))
    assert found[1].cut == cut


def test_csv_and_inches(tmp_path: Path, plan: Plan) -> None:
    rows = (("Bar", "Cut", "Left over (in)"), (1, "yes", "11"), (2, "y", ""))
    found = read_cut_record(write_csv(tmp_path / "cut.csv", rows), plan, Workshop())
    assert found == {1: BarFact(left=mm("279.4")), 2: BarFact()}


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ((1, "", "", "", "", "", ""), 'column D "Cut": found a blank cell'),
        ((1, "", "", "perhaps", "", "", ""), "Accepted: yes, no, part, the number of parts cut"),
        ((1, "", "", "4", "", "", ""), "hint: bar 1 has 3 parts"),
        ((1, "", "", "part", "", "", ""), "found part of bar 1, with nothing left over"),
        ((1, "", "", "part", "1600", "", ""), "2087.5 mm after 1, 1185 mm after 2"),
        ((1, "", "", "yes", "1,200", "", ""), "a comma may stand for thousands or for decimals"),
        ((1, "", "", "no", "12", "", ""), 'found "12".\nAccepted: at least 2700 mm of a bar that was not cut'),
        ((1, "", "", "yes", "400", "", ""), "at most 382.5 mm, as the plan leaves 282.5 mm of this bar"),
        ((1, "R7", "", "yes", "", "", ""), "hint: is this the record of another plan?"),
        ((1, "", "", "yes", "", "B", ""), "hint: bar 1 has 3 x A"),
        ((1, "", "", "yes", "", "4 x A", ""), "hint: bar 1 has 3 x A"),
        ((1, "", "", "yes", "", "2 x A = 1600", ""), "Accepted: parts that together are no longer than their bar"),
        ((1, "", "", "yes", "", "A = x", ""), "such as P3 = 1187 or 2 x P3 = 1187; P3 = 0 where"),
        ((1, "", "", "yes", "", "2 x A", ""), "found 2 x A, and not what it came to.\nAccepted: parts of this bar and"),
        ((3, "", "", "yes", "", "", ""), "found bar 3"),
        ((2, "", "", "yes", "", "", ""), "found bar 2 again"),
        (("x", "", "", "yes", "", "", ""), 'column A "Bar": found "x"'),
    ],
)
def test_what_cannot_be_understood(row: tuple[object, ...], told: str, tmp_path: Path, plan: Plan) -> None:
    with pytest.raises(ProblemsFound) as refused:
        facts(tmp_path, plan, (2, "", "", "yes", "", "", ""), row)
    assert told in str(refused.value)
    assert 'sheet "Cut record", row 3' in str(refused.value)


def test_the_number_of_another_plan_is_refused(tmp_path: Path, plan: Plan) -> None:
    rows: Rows = ((*HEAD, "Plan"), *((bar, "3 m from Yard", "", "yes", "", "", "", "plan 0A1B2C3D") for bar in (1, 2)))
    path = write_xlsx(tmp_path / "cut.xlsx", None, **{"Cut record": rows})
    assert read_cut_record(path, plan, Workshop(), "0a1b2c3d") == {1: BarFact(), 2: BarFact()}
    with pytest.raises(ProblemsFound, match="Accepted: ffffffff, the plan that is recorded"):
        read_cut_record(path, plan, Workshop(), "ffffffff")


def test_a_part_of_one_part(tmp_path: Path, plan: Plan) -> None:
    with pytest.raises(ProblemsFound, match="yes or no: the bar is cut into one part"):
        facts(tmp_path, plan, (1, "", "", "yes", "", "", ""), (2, "", "", "part", "100", "", ""))


def test_every_bar_has_its_row(tmp_path: Path, plan: Plan) -> None:
    with pytest.raises(ProblemsFound, match="found no row for bar 2"):
        facts(tmp_path, plan, (1, "", "", "yes", "", "", ""))
    with pytest.raises(ProblemsFound, match="no heading for Cut"):
        read_cut_record(write_csv(tmp_path / "cut.csv", (("Bar",), (1,))), plan, Workshop())
    with pytest.raises(ProblemsFound):
        read_cut_record(tmp_path / "none.xlsx", plan, Workshop())


def test_the_decimal_comma_of_the_workshop(tmp_path: Path, plan: Plan) -> None:
    rows: Rows = (HEAD, (1, "", "", "yes", "1.280,5", "A = 897,5, A", ""), (2, "", "", "yes", "", "B = 1.250", ""))
    path = write_xlsx(tmp_path / "cut.xlsx", None, **{"Cut record": rows})
    with pytest.raises(ProblemsFound) as refused:
        read_cut_record(path, plan, Workshop(decimal_sign=","))
    assert len(refused.value.problems) == 2, "the left over is too long, A stands twice"
    rows = (HEAD, (1, "", "", "yes", "280,5", "A = 897,5", ""), (2, "", "", "yes", "2.137,5", "B = 84,5", ""))
    path = write_xlsx(tmp_path / "again.xlsx", None, **{"Cut record": rows})
    assert read_cut_record(path, plan, Workshop(decimal_sign=",")) == {
        1: BarFact(left=mm("280.5"), spoiled=(Spoiled(mark="A", measured=mm("897.5")),)),
        2: BarFact(left=mm("2137.5"), spoiled=(Spoiled(mark="B", measured=mm("84.5")),)),
    }


def test_many_bars_without_a_row_are_counted(tmp_path: Path) -> None:
    job = builders.job([builders.part("A", 14, 2900)], [builders.offer("P3", 3000, 20)])
    with pytest.raises(ProblemsFound, match="found no row for bar 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 and 3 more"):
        facts(tmp_path, actions.plan(job), (1, "", "", "yes", "", "", ""))
