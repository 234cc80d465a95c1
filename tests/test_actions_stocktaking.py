"""A stock-take from sheet to ledger, and the rack as a workbook that reads back."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from cutplan.units import MILLIMETRES
from cutplan.words.count_words import count_text, count_values


@pytest.fixture
def rack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> actions.Rack:
    monkeypatch.chdir(tmp_path)
    rack = actions.find_rack(near=tmp_path / "x")
    actions.rack_add(rack, "SHS 40x40x3", "1240", place="B2", grade="S235JRH")
    actions.rack_add(rack, "SHS 40x40x3", "900", place="B2")
    actions.rack_add(rack, "FL 50x6", "6 m", quantity=3, end_a="mill", end_b="mill", place="=B2", value="4.50")
    return rack


def test_a_sheet_filled_in_and_read_back(rack: actions.Rack) -> None:
    assert actions.count_sheet(rack, "B2", "count.xlsx") == 2
    book = openpyxl.load_workbook("count.xlsx")
    sheet = book["Count"]
    assert [sheet["A4"].value, sheet["C4"].value, sheet["D4"].value] == ["A1", "1240 mm", None]
    sheet["D4"], sheet["E4"], sheet["D5"] = 1, 1236, 0
    sheet["B6"], sheet["D6"], sheet["E6"] = "RD 12", 1, "800 mm"
    book.save("count.xlsx")
    found = actions.rack_count(rack, "B2", "count.xlsx")
    text = count_text("B2", found, MILLIMETRES)
    assert text.splitlines() == [
        "B2: 3 differences, corrected in the ledger.",
        "  A1, SHS 40x40x3, black: 1240 mm expected, 1236 mm measured",
        "  C1, SHS 40x40x3, black: 1 expected, 0 found, -1",
        "  F1, RD 12, black: 0 expected, 1 found, +1",
    ]
    assert [each["mark"] for each in count_values(found)["differences"]] == ["A1", "C1", "F1"]
    assert actions.rack_history(rack, "A1").movements[-1].doing.reason == "stock-take of B2"
    sheet["D5"] = 1
    book.save("count.xlsx")
    with pytest.raises(ProblemsFound, match="C1, which is not on the rack any more"):
        actions.rack_count(rack, "B2", "count.xlsx")
    assert count_text("B2", (), MILLIMETRES) == "B2: as in the ledger. Nothing was changed."


def test_the_rack_as_a_workbook_reads_back(rack: actions.Rack, tmp_path: Path) -> None:
    assert len(actions.rack_write(rack, "rack.xlsx")) == 3
    cells = {cell.data_type for row in openpyxl.load_workbook("rack.xlsx")["Rack"] for cell in row}
    assert "f" not in cells, "no text became a formula"
    other = actions.find_rack(near=tmp_path / "other" / "x", ledger=tmp_path / "other.ledger")
    actions.rack_read(other, "rack.xlsx")

    def known(of: actions.Rack) -> list[object]:
        return [(piece.mark, piece.material, piece.state, piece.quantity) for piece in actions.rack_show(of)]

    assert known(other) == known(rack)
    with pytest.raises(ProblemsFound, match="a file that is there already"):
        actions.rack_write(rack, "rack.xlsx")


def test_a_list_says_what_its_columns_do_not(rack: actions.Rack) -> None:
    """A piece counts to its short point: read back as square it is as long as listed once it is sawn so."""
    (mark,) = actions.rack_add(rack, "SHS 40x40x3", "700", angle_a="45")
    actions.rack_write(rack, "rack.xlsx")
    actions.rack_move(rack, [mark], "B7")
    actions.count_sheet(rack, "B7", "count.xlsx")
    told = {
        name: [cell.value for row in openpyxl.load_workbook(f"{name}.xlsx").active.iter_rows(max_row=2) for cell in row]
        for name in ("rack", "count")
    }
    assert f"As it is now. Slanted, and as long as listed once that end is sawn square: {mark}." in told["rack"]
    assert any(str(text).endswith(f"Slanted, and measured to the short point: {mark}.") for text in told["count"])
