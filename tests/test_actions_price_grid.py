"""The price list of the workshop as a grid."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound

pytestmark = pytest.mark.usefixtures("parts")
HEAD = ["Merchant", "Section", "Length", "Price", "Per"]


def answers(rows: list[list[str]]) -> list[tuple[int, int, str]]:
    found = actions.prices_answered(Path("prices.csv"), rows)
    return [(one.row, one.column, one.problem.code) for one in found]


def test_findings_and_warnings_are_at_their_rows() -> None:
    row = ["Yard", "SHS 40x40x3", "6000", "35.40", "each"]
    assert answers([HEAD, row]) == []
    assert answers([HEAD, row, row]) == [(2, -1, "offer.twice")]
    assert answers([HEAD, row, ["Yard", "SHS 40x40x3", "7500", "9,00", "each"]]) == [(2, 3, "number.comma")]
    assert answers([HEAD, row, ["Yard", "SHS 30x30x2", "", "", ""]]) == [(2, -1, "price.unanswered")]


def test_a_cell_above_is_repeated_where_the_workshop_says_so() -> None:
    rows = [HEAD, ["Yard", "SHS 40x40x3", "6000", "35.40", "each"], ["Yard", '"', "7500", "44", "each"]]
    assert [code for *_, code in answers(rows)] != []
    Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\n[lists]\nrepeat_above = "marks"\n')
    assert answers(rows) == []


def test_its_merchants_are_named_once() -> None:
    assert actions.merchants_named() == ("Yard",)
    Path("prices.csv").write_text("no list")
    assert actions.merchants_named() == ()


def test_a_second_one_is_not_begun() -> None:
    with pytest.raises(ProblemsFound, match="already"):
        actions.begin_prices()


def test_one_is_begun_beside_a_workbook_of_that_name_and_in_no_files_place() -> None:
    Path("workshop.toml").write_text("")
    Path("prices.csv").rename("prices.xlsx")
    assert actions.begin_prices() == Path("prices.csv")
    Path("workshop.toml").write_text("")
    before = Path("prices.csv").read_bytes()
    with pytest.raises(ProblemsFound, match="there already"):
        actions.begin_prices()
    assert Path("prices.csv").read_bytes() == before
