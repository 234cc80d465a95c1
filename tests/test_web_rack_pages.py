"""The rack on a page: found, added, moved, put right, scrapped and taken back, in the ledger of the command."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from openpyxl import load_workbook

from cutplan import actions
from tests.benches import JOB, VALUES, browser, words
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper", "parts")


def test_a_piece_from_its_coming_to_its_end() -> None:
    with browser() as at:
        assert "the first piece begins it" in words(at.get("/rack").text)
        sent = {"section": "SHS 40x40x3", "length": "2450", "place": "left shelf", "quantity": "1"}
        assert "Mark to paint: A1" in words(at.post("/rack/add", data=sent).text)
        assert "2450 mm" in words(at.get("/rack?section=SHS+40x40x3&at_least=2000").text)
        assert "Nothing like that" in words(at.get("/rack?at_least=2451").text)
        assert "place right shelf" in words(at.post("/rack/piece/A1/move", data={"place": "right shelf"}).text)
        assert "2448 mm" in words(at.post("/rack/piece/A1/measure", data={"length": "2448"}).text)
        assert "Scrap: A1" in words(at.post("/rack/piece/A1/scrap").text)
        assert "not on the rack any more" in words(at.get("/rack/piece/A1").text)
        assert "Taken back: scrap" in words(at.post("/rack/undo").text)
    shown = run("rack", "show").stdout
    assert "2448 mm" in shown
    assert "place right shelf" in shown


def test_a_rack_file_begins_the_rack_before_anything_else_does() -> None:
    """Two lines of three pieces; a ledger begun by something else would be without them."""
    Path("rack.csv").write_text("Mark,Section,Length,Quantity\nR1,SHS 40x40x3,950,1\nR2,SHS 40x40x3,500,2\n")
    Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\nrack = "rack.csv"\n')
    actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=actions.find_rack(near="."))
    button = "Begin the rack with the 3 pieces of rack.csv"
    with browser() as at:
        job = at.get(JOB).text
        assert button in words(job)
        assert "It is ordered" not in job
        assert "/saw" not in job
        assert button in words(at.get("/rack").text)
        refused = at.post("/rack/add", data={"section": "SHS 40x40x3", "length": "2450"})
        assert refused.status_code == 400
        assert "rack.csv" in refused.text
        assert not Path("rack.ledger").exists()
        assert "The rack is begun with R1, R2" in words(at.post("/rack/begin").text)
        assert at.post("/rack/begin").status_code == 400
        assert "Begin the rack" not in at.get("/rack").text
        job = at.get(JOB).text
        assert "Begin the rack" not in job
        assert "It is ordered" in job
    assert "950 mm" in run("rack", "show").stdout


@pytest.mark.parametrize(
    ("place", "sent"),
    [
        ("add", {"section": "SHS 40x40", "length": "1"}),
        ("add", {"section": "SHS 40x40x3", "length": "long"}),
        ("add", {"section": "SHS 40x40x3", "length": "900", "quantity": "x"}),
        ("piece/Q9/move", {"place": "a"}),
        ("piece/Q9/scrap", {}),
        ("undo", {}),
    ],
)
def test_what_cannot_be_is_refused(place: str, sent: dict[str, str]) -> None:
    with browser() as at:
        answer = at.post(f"/rack/{place}", data=sent)
        assert answer.status_code == 400
        assert "Nothing was changed." in words(answer.text)
        assert at.get("/rack/piece/Q9").status_code == 400


@pytest.mark.parametrize(
    ("place", "sent", "field", "kept"),
    [
        ("add", {"section": "SHX 40", "length": "900", "place": "top", "end_a": "mill"}, "section", "top"),
        ("add", {"section": "SHS 40x40x3", "length": "9OO", "grade": "S235JRH", "found": "yes"}, "length", "S235JRH"),
        ("add", {"section": "SHS 40x40x3", "length": "900", "quantity": "x", "heat_number": "H7"}, "quantity", "H7"),
        ("add", {"section": "SHS 40x40x3", "length": "900", "mark": "A1", "finish": "zinc"}, "mark", "zinc"),
        ("piece/A1/measure", {"length": "9OO", "reason": "tape"}, "length", "tape"),
        ("piece/A1/scrap", {"quantity": "two", "reason": "bent"}, "quantity", "bent"),
        ("count", {"place": "shelf", "reason": "June"}, "sheet", "June"),
    ],
)
def test_a_form_that_is_refused_comes_back_as_it_was_typed(
    place: str, sent: dict[str, str], field: str, kept: str
) -> None:
    with browser() as at:
        at.post(
            "/rack/add",
            data={
                "section": "SHS 40x40x3",
                "length": "1500",
                "quantity": "3",
                "end_a": "mill",
                "end_b": "mill",
                "mark": "A1",
            },
        )
        answer = at.post(f"/rack/{place}", data=sent)
        values = at.post(f"/rack/{place}", data=sent, headers=VALUES)
    assert answer.status_code == values.status_code == 400
    assert values.json()["problems"]
    page = answer.text
    assert re.search(rf'name="{field}"[^>]*aria-invalid="true" aria-describedby="why-{field}"', page)
    assert f'id="why-{field}"' in page
    assert f'value="{kept}"' in page
    for text in sent.values():
        assert f'value="{text}"' in page or f"<option selected>{text}</option>" in page, text
    assert page.count("aria-invalid") == 1
    assert "--" not in words(page.split("<main>")[1])


def test_what_is_looked_for_and_cannot_be_read_is_told_at_its_field() -> None:
    with browser() as at:
        at.post("/rack/add", data={"section": "SHS 40x40x3", "length": "1500"})
        answer = at.get("/rack", params={"at_least": "1OOO", "place": "top"})
    assert answer.status_code == 400
    assert re.search(r'name="at_least" value="1OOO"[^>]*aria-invalid="true"', answer.text)
    assert 'name="place" value="top"' in answer.text


def test_a_place_is_counted_by_its_sheet(parts: str) -> None:
    with browser() as at:
        at.post("/rack/add", data={"section": "SHS 40x40x3", "length": "1500", "place": "A1", "mark": "K1"})
        given = at.get("/rack/count.xlsx", params={"place": "A1"})
        book = load_workbook(io.BytesIO(given.content))
        rows = [[cell.value for cell in row] for row in book.worksheets[0].iter_rows()]
        head = next(row for row in rows if "Found" in row)
        (piece,) = [row for row in rows if row[0] == "K1"]
        filled = dict(zip(head, piece, strict=True)) | {"Found": "0"}
        sheet = ",".join(map(str, head)) + "\n" + ",".join(str(filled[name] or "") for name in head)
        told = at.post("/rack/count", data={"place": "A1"}, files={"sheet": ("filled.csv", sheet.encode())})
        assert "1 expected, 0 found" in words(told.text)
        assert "K1" not in at.get("/rack").text
        assert at.post("/rack/count", data={"place": "A1"}).status_code == 400
