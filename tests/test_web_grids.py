"""A file as a grid of fields: what was typed is not lost, and columns are there by declaration."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.benches import browser, words

pytestmark = pytest.mark.usefixtures("parts")
LIST, FILE = "/job/frame.csv/list", Path("frame.csv")


def seen_of(page: str) -> str:
    return page.split('name="seen" value="')[1].split('"')[0]


def test_what_is_refused_is_still_on_the_page_and_may_be_put_in_place_of_the_file() -> None:
    with browser() as at:
        seen = seen_of(at.get(LIST).text)
        cells = {"c0-0": "Mark", "c0-1": "Quantity", "c0-2": "Section", "c0-3": "Length"}
        cells |= {"c1-0": "A", "c1-1": "9", "c1-2": "SHS 40x40x3", "c1-3": "777"}
        FILE.write_text("Mark,Quantity,Section,Length\nA,1,SHS 40x40x3,500\nB,1,SHS 40x40x3,501\n")
        refused = at.post(LIST, data={"seen": seen, **cells})
        assert refused.status_code == 409
        assert "changed meanwhile" in refused.text
        assert 'value="777"' in refused.text
        assert "501" not in refused.text
        assert "777" not in FILE.read_text()
        over = refused.text.split('name="over" value="')[1].split('"')[0]
        at.post(LIST, data={"seen": seen, "over": over, **cells})
    assert FILE.read_text() == "Mark,Quantity,Section,Length\nA,9,SHS 40x40x3,777\n"


def test_any_declared_column_is_one_button_away_and_no_other() -> None:
    with browser() as at:
        page = at.get(LIST).text
        assert '<option value="Stamp">' in page
        assert '<option value="Length">' not in page, "it is there"
        for name in ("Lean", "Our own", "Length"):
            at.post(LIST, data={"seen": seen_of(page), "what": "column", "column": name})
            page = at.get(LIST).text
        assert FILE.read_text().splitlines()[0].endswith(",Lean")
        assert 'list="of-Lean"' in page
        assert "<option>parallel</option>" in page
        assert "how two mitres lean" in words(page)


def test_a_warning_is_told_from_what_stops_a_plan() -> None:
    """Lengths 3 mm apart are warned about in row 3; in row 2 a letter stands for a figure."""
    FILE.write_text("Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,1200\nB,1,SHS 40x40x3,1203\n")
    with browser() as at:
        page = at.get(LIST).text
        warned = cell_of(page, "c2-3")
        assert "aria-invalid" not in page
        assert "warned" in warned
        why = re.search(rf'<span class="why mild" id="{described_by(warned)}">(.*?)</span>', page)
        assert why is not None
        assert why[1].startswith("warning: easily mixed up: ")
        assert "None of that stops a plan" in words(page)
        assert page.count('<ul class="problems mild">') == 1
        told = at.post(LIST, data={"seen": seen_of(page), "what": "check", "c1-3": "12OO"}).json()["found"]
        assert [(one["row"], one["column"], one["stops"]) for one in told] == [(1, 3, True)]
        told = at.post(LIST, data={"seen": seen_of(page), "what": "check"}).json()["found"]
        assert [(one["row"], one["column"], one["stops"]) for one in told] == [(2, 3, False)]
        FILE.write_text(FILE.read_text().replace("1200", "12OO"))
        page = at.get(LIST).text
        wrong = cell_of(page, "c1-3")
        assert 'aria-invalid="true"' in wrong
        assert "warned" not in wrong
        assert re.search(rf'<span class="why" id="{described_by(wrong)}">12OO', page)
        assert '<ul class="problems mild">' not in page


def cell_of(page: str, name: str) -> str:
    found = re.search(f'<input name="{name}"[^>]*>', page)
    assert found is not None
    return found[0]


def described_by(cell: str) -> str:
    found = re.search('aria-describedby="([^"]+)"', cell)
    assert found is not None
    return found[1]


def test_a_fault_of_another_file_is_at_no_cell_of_this_one() -> None:
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6OOO,35.40,each\n")
    with browser() as at:
        page = at.get(LIST).text
    assert "aria-invalid" not in page
    assert "6OOO" in page
