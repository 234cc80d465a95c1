"""A parts list as a grid: answered by the reader, put back whole, begun from what was pasted."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutplan import actions
from cutplan.actions import list_grid
from cutplan.problems import ProblemsFound
from tests.input_files import write_xlsx

GOOD = [["Mark", "Quantity", "Section", "Length"], ["A", "4", "SHS 40x40x3", "1200"]]


def answers(path: str, rows: list[list[str]]) -> list[tuple[int, int, str]]:
    return [(one.row, one.column, one.problem.code) for one in actions.answered(Path(path), rows)]


def test_a_finding_says_whether_it_stops_a_plan(parts: str) -> None:
    mixed = [*GOOD, ["B", "1", "SHS 40x40x3", "47 in"]]
    assert {one.stops for one in actions.answered(Path(parts), mixed)} == {False}
    assert {one.stops for one in actions.answered(Path(parts), [*mixed, ["C", "x", "SHS 40x40x3", "1"]])} == {True}


def test_every_finding_is_at_its_cell(parts: str) -> None:
    assert answers(parts, GOOD) == []
    rows = [*GOOD, ["B", "two", "SHS 40x40x3", "85O"]]
    assert answers(parts, rows) == [(2, 1, "quantity.unreadable"), (2, 3, "length.unreadable")]
    assert list(Path().glob(".*")) == [], "nothing is left of what was tried"


def test_a_column_that_means_nothing_stays(parts: str) -> None:
    Path(parts).write_text("Mark;Quantity;Section;Length;Our own\nA;4;SHS 40x40x3;1200;x, y\n")
    grid = actions.grid_of(Path(parts))
    assert grid is not None
    rows = [list(row) for row in grid.rows]
    rows[1][3] = "1250"
    actions.save_grid(Path(parts), rows, grid.sha256)
    assert Path(parts).read_text() == "Mark;Quantity;Section;Length;Our own\nA;4;SHS 40x40x3;1250;x, y\n"


@pytest.mark.parametrize("mark", [b"\xef\xbb\xbf", b""])
@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_line_ends_and_the_mark_by_which_a_spreadsheet_tells_letters_stay(parts: str, mark: bytes, end: str) -> None:
    before = end.join(["Mark;Quantity;Section;Length", "Tr\u00e4ger;4;SHS 40x40x3;1200,5", ""])
    Path(parts).write_bytes(mark + before.encode())
    grid = actions.grid_of(Path(parts))
    assert grid is not None
    rows = [list(row) for row in grid.rows]
    rows[1][3] = "1250"
    actions.save_grid(Path(parts), rows, grid.sha256)
    assert Path(parts).read_bytes() == mark + before.replace("1200,5", "1250").encode()


@pytest.mark.parametrize("headings", ["Mark;Quantity;Section;Length", "Merchant;Section;Length;Price"])
def test_cells_are_parted_as_the_reader_parts_them_whatever_stands_above_the_headings(
    parts: str, headings: str
) -> None:
    Path(parts).write_text(f"Gate, of 1, 2, 3 and 4\n{headings}\nA;4;SHS 40x40x3;1200,5\n")
    grid = actions.grid_of(Path(parts))
    assert grid is not None
    assert grid.rows[1:] == (tuple(headings.split(";")), ("A", "4", "SHS 40x40x3", "1200,5"))


def test_a_list_that_was_changed_meanwhile_is_not_overwritten(parts: str) -> None:
    grid = actions.grid_of(Path(parts))
    assert grid is not None
    Path(parts).write_text("other")
    with pytest.raises(ProblemsFound) as refused:
        actions.save_grid(Path(parts), GOOD, grid.sha256)
    assert refused.value.problems[0].code == "bench.there"
    assert Path(parts).read_text() == "other"


@pytest.mark.parametrize(
    "name", ["", " ", "..", "../gate", "a/b", ".hidden", "/etc/x", "a\nb", "x" * 90, "a\0b", "-rf"]
)
def test_a_name_that_no_file_here_may_have_is_refused(parts: str, name: str) -> None:
    before = sorted(Path().iterdir())
    with pytest.raises(ProblemsFound) as refused:
        actions.new_list(name, "x")
    assert refused.value.problems[0].code == "bench.name"
    assert sorted(Path().iterdir()) == before


@pytest.mark.parametrize("name", ["frame", "frame.csv", "frame.xlsx"])
def test_a_name_that_is_taken_is_refused(parts: str, name: str) -> None:
    """By a list of either kind: the plan of the one would be written in the place of the other's."""
    with pytest.raises(ProblemsFound, match=r"frame\.csv, which is there already"):
        actions.new_list(name, b"Mark,Quantity\n" if name.endswith("xlsx") else "x")


@pytest.mark.parametrize("name", ["gate.ods", "gate.pdf", "gate"])
def test_a_file_that_is_no_list_is_refused_by_its_own_name(parts: str, name: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        actions.new_list(name, b"PK\x03\x04 of another program")
    (problem,) = refused.value.problems
    assert problem.where == name
    assert not list(Path().glob("gate*"))


@pytest.mark.parametrize("key", ["prices", "rack", "ledger"])
def test_a_workbook_that_names_a_file_outside_the_folder_is_not_taken(parts: str, key: str) -> None:
    """A phone is let into the folder alone, and a workbook's own workshop says what else is read and written."""
    rows = (("Mark", "Quantity", "Section", "Length"), ("A", 4, "SHS 40x40x3", 1200))
    said = (("Key", "Value"), (f"files.{key}", "../other.csv"))
    book = write_xlsx(Path("made.xlsx"), Parts=rows, Workshop=said).read_bytes()
    with pytest.raises(ProblemsFound) as refused:
        actions.new_list("gate.xlsx", book)
    (problem,) = refused.value.problems
    assert (problem.where, problem.found) == (
        'gate.xlsx, sheet "Workshop", row 2, column B "Value"',
        "../other.csv",
    )
    assert not Path("gate.xlsx").exists()
    inside = (("Key", "Value"), (f"files.{key}", "other.csv"), ("saw.kerf", "3 mm"))
    book = write_xlsx(Path("made.xlsx"), Parts=rows, Workshop=inside).read_bytes()
    assert actions.new_list("gate.xlsx", book).read_bytes() == book


@pytest.mark.parametrize(
    "pasted",
    [
        "Mark\tQuantity\tSection\tLength\r\nA\t4\tSHS 40x40x3\t1200\r\n",
        "Mark;Quantity;Section;Length\nA;4;SHS 40x40x3;1200",
        "Mark,Quantity,Section,Length\n\nA,4,SHS 40x40x3,1200\n",
        "Gate, for Tom\nMark;Quantity;Section;Length;Note\nA;4;SHS 40x40x3;1200;a, b, c, d, e\n",
    ],
)
def test_rows_of_any_spreadsheet_become_a_list(parts: str, pasted: str) -> None:
    path = actions.new_list("gate", pasted)
    assert path.name == "gate.csv"
    (part,) = actions.read_job(path).parts
    assert (part.mark, part.quantity, part.section.designation) == ("A", 4, "SHS 40x40x3")


def test_a_list_begun_with_nothing_has_its_headings(parts: str) -> None:
    path = actions.new_list("gate", "")
    assert path.read_text() == ",".join(actions.COLUMNS) + "\n"


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("book.xlsx", b"PK", "no sheet with the headings of a parts list"),
        ("bytes.csv", b"Mark\nTr\xe4ger\n", "letters that are not UTF-8"),
        ("zero.csv", b"a\0b\n", "bytes that are no text"),
        ("open.csv", b'Mark\n"A\n', "a quotation mark that is not closed, or is closed in mid-cell"),
        ("long.csv", b"x\n" * (list_grid.MOST_ROWS + 1), "more than 2,000 rows"),
    ],
)
def test_what_cannot_be_a_grid_is_none_and_it_is_told_why(parts: str, name: str, content: bytes, why: str) -> None:
    Path(name).write_bytes(content)
    assert actions.grid_of(Path(name)) is None
    assert actions.grid_hindrance(Path(name)) == why


def test_a_workbook_of_more_rows_than_a_page_shows_is_none_and_it_is_told_why(
    parts: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(list_grid, "MOST_ROWS", 2)
    write_xlsx(Path("long.xlsx"), Parts=[*GOOD, GOOD[1]])
    assert actions.grid_of(Path("long.xlsx")) is None
    assert actions.grid_hindrance(Path("long.xlsx")) == "more than 2 rows"


CELLS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0\r"), max_size=8)


@given(rows=st.lists(st.lists(CELLS, min_size=2, max_size=4), min_size=1, max_size=5))
def test_cells_come_back_as_they_were_put(rows: list[list[str]]) -> None:
    """Against the library's own reader, with the delimiter that was written."""
    text = list_grid._text(rows, ";")
    assert list(csv.reader(io.StringIO(text, newline=""), delimiter=";")) == rows
