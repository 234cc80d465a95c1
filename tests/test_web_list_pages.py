"""Lists on a page: pasted, given as a file, mended cell by cell, and saved as the command reads them."""

from __future__ import annotations

import html
from pathlib import Path

import openpyxl
import pytest

from cutplan import actions
from cutplan.web.guard import MOST_BYTES
from tests.attacks.test_workbooks import ATTACKS
from tests.benches import browser, words
from tests.commands import run
from tests.effort import some
from tests.input_files import write_xlsx
from tests.test_writing_append import with_values

pytestmark = pytest.mark.usefixtures("parts")
ARCHIVES = ("spaces without an end", "elements without an end", "an archive of many files")
BAD = "Mark\tQuantity\tSection\tLength\nG1\t2\tSHS 40x40x3\t12OO\n"


def test_pasted_rows_are_mended_cell_by_cell_and_read_by_the_command() -> None:
    with browser() as at:
        page = at.post("/new", data={"name": "gate", "rows": BAD})
        assert page.url.path == "/job/gate.csv/list"
        assert 'name="c1-3" value="12OO"' in page.text
        assert page.text.count('aria-invalid="true"') == 1
        seen = page.text.split('name="seen" value="')[1].split('"')[0]
        checked = at.post("/job/gate.csv/list", data={"what": "check", "c1-3": "1200"}).json()
        assert checked == {"found": [], "told": "Nothing is wrong with it.", "drawn": {}}
        assert "12OO" in Path("gate.csv").read_text(), "asking changes nothing"
        page = at.post("/job/gate.csv/list", data={"seen": seen, "c1-3": "1200", "c2-0": "G2"})
        assert "aria-invalid" in page.text, "the new row lacks its other cells"
        seen = page.text.split('name="seen" value="')[1].split('"')[0]
        more = {"c2-1": "1", "c2-2": "SHS 40x40x3", "c2-3": "900"}
        assert "Nothing is wrong with it." in words(at.post("/job/gate.csv/list", data={"seen": seen, **more}).text)
    assert [(part.mark, part.typed_length) for part in actions.read_job("gate.csv").parts] == [
        ("G1", "1200"),
        ("G2", "900"),
    ]


def test_a_file_is_taken_as_it_is() -> None:
    content = b"Mark,Quantity,Section,Length\nA,1,SHS 40x40x3,500\n"
    with browser() as at:
        at.post("/new", data={"name": ""}, files={"file": ("rail.csv", content)})
        answer = at.post("/new", data={"name": ""}, files={"file": ("../rail.csv", content)})
        assert answer.status_code == 400, "there already, whatever folder it says it is from"
    assert Path("rail.csv").read_bytes() == content


@pytest.mark.parametrize("what", some(ARCHIVES, "an archive of many files"))
def test_a_file_that_unpacks_to_more_than_is_read_is_refused_and_not_kept(what: str) -> None:
    """Each is small enough to be sent: what it unpacks to is looked at before it is unpacked."""
    made, told = ATTACKS[what]
    content = made()
    assert len(content) < MOST_BYTES
    before = sorted(Path().iterdir())
    with browser() as at:
        for place, field in (("/new", "file"), ("/rack/count", "sheet")):
            if place == "/rack/count":
                assert run("rack", "add", "SHS 40x40x3", "900").exit_code == 0
                before = sorted(Path().iterdir())
            answer = at.post(place, data={"name": "much", "place": "shelf"}, files={field: ("much.xlsx", content)})
            assert answer.status_code == 400, place
            assert told in words(html.unescape(answer.text)), place
            assert sorted(Path().iterdir()) == before, place


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("rail.xlsx", b"Mark,Quantity,Section,Length\n", "text, not a workbook"),
        ("rail.csv", b"%PDF-1.7", "a PDF, not a spreadsheet"),
        ("rail.csv", b"", "an empty file"),
    ],
)
def test_a_file_that_is_no_list_is_refused_and_not_kept(name: str, content: bytes, told: str) -> None:
    with browser() as at:
        answer = at.post("/new", data={"name": ""}, files={"file": (name, content)})
    assert answer.status_code == 400
    assert told in words(answer.text)
    assert not Path(name).exists()


def test_a_name_out_of_the_folder_is_refused() -> None:
    with browser() as at:
        answer = at.post("/new", data={"name": "../gate", "rows": BAD})
    assert answer.status_code == 400
    assert not Path("../gate.csv").exists()


@pytest.mark.parametrize("cell", ["c9999-0", "c1-999", "c-1-0", "seen", "c1-3x"])
def test_a_cell_far_from_the_list_is_no_row_of_it(cell: str) -> None:
    with browser() as at:
        page = at.get("/job/frame.csv/list").text
        seen = page.split('name="seen" value="')[1].split('"')[0]
        answer = at.post("/job/frame.csv/list", data={cell: "x", "seen": seen})
        assert answer.status_code < 500
    assert len(Path("frame.csv").read_text().splitlines()) <= 4


def test_a_part_is_drawn_beside_its_row_also_where_other_rows_are_wrong() -> None:
    Path("gate.csv").write_text(
        "Mark,Quantity,Section,Length,Cut A\nA,1,SHS 40x40x3,900,45\nB,1,SHS 40x40x3,9OO,45\nC,1,SHS 40x40x3,700,\n"
    )
    Path("gate-holes.csv").write_text("Mark,Position,Hole\nC,50,10\n")
    with browser() as at:
        page = at.get("/job/gate.csv/list").text
        drawn = {row.split('"')[0]: "<svg" in row.split("</td>")[0] for row in page.split('data-row="')[1:]}
        assert [row for row in ("0", "1", "2", "3") if drawn[row]] == ["1", "3"]
        assert "face 1: 50 from end A" in page
        told = at.post("/job/gate.csv/list", data={"what": "check", "c3-4": "30"}).json()["drawn"]
        assert "cut A 30°" in told["3"]
        told = at.post("/job/gate.csv/list", data={"what": "check", "c3-3": "40", "c2-3": "900"}).json()["found"]
    assert any("50" in one["found"] for one in told), "the hole is no longer on the part"


ROWS = (("Mark", "Quantity", "Section", "Length", "Cut A"), ("A", 2, "SHS 40x40x3", "12OO", 45))


def seen_in(page: str) -> str:
    return page.split('name="seen" value="')[1].split('"')[0]


def test_a_workbook_is_mended_cell_by_cell_and_keeps_what_the_page_does_not_show(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=ROWS, Notes=(("kept", 7),))
    content = path.read_bytes()
    path.unlink()
    with browser() as at:
        page = at.post("/new", data={"name": ""}, files={"file": ("gate.xlsx", content)})
        assert page.url.path == "/job/gate.xlsx/list"
        assert 'name="c1-3" value="12OO"' in page.text
        assert page.text.count('aria-invalid="true"') == 1
        address = "/job/gate.xlsx/list?sheet=Parts"
        asked = at.post(address, data={"what": "check", "c1-3": "1200"}).json()
        assert asked["found"] == []
        assert "<svg" in asked["drawn"]["1"]
        assert Path("gate.xlsx").read_bytes() == content, "asking changes nothing"
        more = {"c2-0": "B", "c2-1": "1", "c2-2": "SHS 40x40x3", "c2-3": "900"}
        page = at.post(address, data={"seen": seen_in(page.text), "c1-3": "1200", **more})
        assert "Nothing is wrong with it." in words(page.text)
        again = at.post(address, data={"seen": "0" * 64, "c1-3": "700"})
        assert again.status_code == 409, "it is another file by now"
        assert 'value="700"' in again.text
    assert [(part.mark, part.typed_length) for part in actions.read_job("gate.xlsx").parts] == [
        ("A", "1200"),
        ("B", "900"),
    ]
    book = openpyxl.load_workbook("gate.xlsx")
    assert [cell.value for cell in book["Notes"][1]] == ["kept", 7]
    assert (book["Parts"]["D2"].value, book["Parts"]["A3"].value) == (1200, "B")


def test_the_sheet_of_a_workbook_on_which_something_is_wrong_is_shown_first(tmp_path: Path) -> None:
    sound = (ROWS[0], ("B", 1, "SHS 40x40x3", 900, ""))
    write_xlsx(tmp_path / "gate.xlsx", Left=sound, Right=ROWS)
    with browser() as at:
        page = at.get("/job/gate.xlsx/list").text
        assert "<b>Right</b>" in page
        assert 'href="?sheet=Left"' in page
        assert 'name="c1-3" value="12OO" aria-label="row 2, Length"' in page
        assert page.count('aria-invalid="true"') == 1
        other = at.get("/job/gate.xlsx/list?sheet=Left").text
        assert 'name="c1-3" value="900"' in other
        assert 'aria-invalid="true"' not in other, "what is wrong is on another sheet"
        assert "12OO" in words(other), "which is told all the same"
        at.post("/job/gate.xlsx/list?sheet=Left", data={"seen": seen_in(other), "c1-3": "950"})
    book = openpyxl.load_workbook("gate.xlsx")
    assert (book["Left"]["D2"].value, book["Right"]["D2"].value) == (950, "12OO")


def test_a_workbook_with_formulas_says_so_and_is_left_alone(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=(*ROWS, ("B", 1, "SHS 40x40x3", "=600*2", "")))
    with_values(path, "600*2", "1200")
    before = path.read_bytes()
    with browser() as at:
        page = at.get("/job/gate.xlsx/list")
        told = words(page.text)
        assert "gate.xlsx cannot be changed here, because of formulas, whose results would stay" in told
        assert "12OO" in told
        assert at.post("/job/gate.xlsx/list", data={"c1-3": "1200"}).status_code == 404
    assert path.read_bytes() == before


def test_a_workbook_that_is_open_in_its_program_is_not_changed_and_what_was_typed_stays(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "gate.xlsx", Parts=ROWS)
    before = path.read_bytes()
    (tmp_path / "~$gate.xlsx").write_text("someone")
    with browser() as at:
        seen = seen_in(at.get("/job/gate.xlsx/list").text)
        answer = at.post("/job/gate.xlsx/list", data={"seen": seen, "c1-3": "1200"})
    assert answer.status_code == 409
    assert "a file that is open in a spreadsheet program" in words(answer.text)
    assert 'name="c1-3" value="1200"' in answer.text
    assert path.read_bytes() == before
