"""Lists on a page: pasted, given as a file, mended cell by cell, and saved as the command reads them."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.web.guard import MOST_BYTES
from tests.attacks.test_workbooks import ATTACKS
from tests.benches import browser, words
from tests.commands import run

pytestmark = pytest.mark.usefixtures("parts")
BAD = "Mark\tQuantity\tSection\tLength\nG1\t2\tSHS 40x40x3\t12OO\n"


def test_pasted_rows_are_mended_cell_by_cell_and_read_by_the_command() -> None:
    with browser() as at:
        page = at.post("/new", data={"name": "gate", "rows": BAD})
        assert page.url.path == "/job/gate.csv/list"
        assert 'name="c1-3" value="12OO"' in page.text
        assert page.text.count('aria-invalid="true"') == 1
        seen = page.text.split('name="seen" value="')[1].split('"')[0]
        checked = at.post("/job/gate.csv/list", data={"what": "check", "c1-3": "1200"}).json()
        assert checked == {"found": [], "drawn": {}}
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


@pytest.mark.parametrize("what", ["spaces without an end", "elements without an end", "an archive of many files"])
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
