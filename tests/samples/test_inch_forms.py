"""Forms of a workshop that works in inches name sections as it buys them, in its own units, and are read back."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.planfile import write
from cutplan.problems import ProblemsFound
from cutplan.words.list_found import found_text
from tests.samples.planned import INPUTS, planned

STAND = "market-stand/market-stand.csv"
WORKSHOP = INPUTS / "market-stand" / "workshop-inch.toml"


@pytest.fixture(scope="module")
def plan_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    job, plan = planned(STAND)
    path = tmp_path_factory.mktemp("inch") / "plan.json"
    write(job, plan, path)
    return path


@pytest.fixture
def rack(tmp_path: Path) -> actions.Rack:
    rack = actions.find_rack(near=tmp_path, workshop=WORKSHOP, ledger=tmp_path / "rack.ledger")
    actions.rack_add(rack, "HSS 2x2x1/8", '47 1/4"', place="bay", grade="B")
    actions.rack_add(rack, "L2x2x1/8", "3'", place="bay")
    return rack


def column(path: Path, head: str) -> list[str]:
    """What stands below a heading of a workbook's first sheet."""
    rows = [[cell.value for cell in row] for row in openpyxl.load_workbook(path).worksheets[0].iter_rows(min_row=3)]
    at = rows[0].index(head)
    return [str(row[at]) for row in rows[1:] if row[at] is not None]


# The list's own names; of those typed otherwise ("1/2 round", "flat 1/4 x 2") the name of the family.
SECTIONS = {
    *("HSS 2x2x1/8", "HSS 1-1/2x1-1/2x1/8", "HSS 1.660x0.140", "L2x2x1/4", "FL 2x1/4", "FL 3x1/4", "RD 1/2"),
}
TYPED = {"flat 1/4 x 2", "flat 1/4 x 3", "1/2 round"}
"""As a plan is printed, the list's own words come first."""


def test_the_price_form(tmp_path: Path) -> None:
    form = actions.price_form(
        INPUTS / STAND, tmp_path / "form.xlsx", workshop=WORKSHOP, merchants=["Pale Creek Metals"], stock=["20 ft"]
    )
    assert set(column(form, "Section")) <= SECTIONS | TYPED
    assert set(column(form, "Length")) == {"20 ft"}
    assert not [text for text in column(form, "Wanted") if text.endswith(" m")]
    book = openpyxl.load_workbook(form)
    for row in range(4, book["Prices"].max_row + 1):
        book["Prices"].cell(row, 7).value = 30
    book.save(form)
    asked = actions.read_job(INPUTS / STAND, workshop=WORKSHOP, prices=form)
    assert {offer.section.key for offer in asked.offers} == {part.section.key for part in asked.parts}


def test_cut_record_and_delivery(plan_file: Path, tmp_path: Path) -> None:
    actions.cut_record_sheet(plan_file, tmp_path / "cut.xlsx")
    actions.delivery_sheet(plan_file, tmp_path / "given.xlsx")
    for form in ("cut.xlsx", "given.xlsx"):
        assert set(column(tmp_path / form, "Section")) <= SECTIONS | TYPED
    assert all(text.endswith(('"', "'", "ft", "in")) for text in column(tmp_path / "given.xlsx", "Length"))


def test_the_count_of_a_place(rack: actions.Rack, tmp_path: Path) -> None:
    sheet = tmp_path / "count.xlsx"
    actions.count_sheet(rack, "bay", sheet)
    assert set(column(sheet, "Section")) == {"HSS 2x2x1/8", "L2x2x1/8"}
    book = openpyxl.load_workbook(sheet)
    book["Count"]["D4"], book["Count"]["D5"] = 1, 1
    book.save(sheet)
    assert actions.rack_count(rack, "bay", sheet) == ()


def test_the_rack_as_a_list(rack: actions.Rack, tmp_path: Path) -> None:
    actions.rack_write(rack, tmp_path / "list.xlsx")
    assert set(column(tmp_path / "list.xlsx", "Section")) == {"HSS 2x2x1/8", "L2x2x1/8"}
    other = actions.find_rack(near=tmp_path, workshop=WORKSHOP, ledger=tmp_path / "other.ledger")
    actions.rack_read(other, tmp_path / "list.xlsx")
    assert [piece.material for piece in actions.rack_show(other)] == [
        piece.material for piece in actions.rack_show(rack)
    ]


def test_a_count_names_its_place_and_is_of_no_other(rack: actions.Rack, tmp_path: Path) -> None:
    sheet = tmp_path / "count.xlsx"
    actions.count_sheet(rack, "bay", sheet)
    assert set(column(sheet, "Place")) == {"bay"}
    book = openpyxl.load_workbook(sheet)
    book["Count"]["D4"], book["Count"]["D5"] = 1, 1
    book.save(sheet)
    with pytest.raises(ProblemsFound, match='column K "Place": found "bay"') as found:
        actions.rack_count(rack, "yard", sheet)
    assert {problem.code for problem in found.value.problems} == {"count.place"}


def test_what_a_list_asks_for() -> None:
    job, _ = planned(STAND)
    text = found_text(job, actions.check(job))
    assert "HSS 2x2x1/8 to ASTM A500, any grade, black: " in text
    assert "SHS " not in text
