"""Sheets that are tables: what a cell can be, and words that the font can print."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from cutplan.reports.paper import press
from cutplan.reports.paper.listing import BLANK, TICK, Cell, Column, Part, alone, sheet, strong, ticks
from tests.effort import THOROUGH, some

DATA = {"title": "t", "job": "j", "paper": "a4", "fingerprint": "0a1b2c3d", "piece": ""}


def test_pieces_get_a_box_each_or_a_tally() -> None:
    assert ticks(3) == {"kind": "ticks", "count": 3}
    assert ticks(9) == {"kind": "tally", "count": 9}


def test_accents_are_put_together_in_all_words() -> None:
    odd = "U\N{COMBINING DIAERESIS}"
    data = sheet("T", [odd], [Part(title=odd, columns=[Column("h")], rows=[[odd], [strong(odd)]], before=[odd])])
    assert odd not in str(data)
    assert str(data).count("\N{LATIN CAPITAL LETTER U WITH DIAERESIS}") == 5


def test_every_kind_of_cell_can_be_set() -> None:
    columns = [Column(name, 30) for name in ("a", "b", "c", "d", "e")]
    parts = [Part(title="x", columns=columns, rows=[["words", TICK, BLANK, ticks(2), ticks(20)]], after=["end"])]
    whole = {**DATA, "sheets": [{**sheet("T", ["line"], parts), "step": "1"}]}
    assert press.pdf("plan", whole).startswith(b"%PDF")


def test_a_snug_column_is_as_wide_as_what_stands_in_it() -> None:
    def width(cell: Cell, head: str = "h") -> float:
        (part,) = sheet("T", [], [Part(columns=[Column(head, 40, snug=True)], rows=[[cell]])])["parts"]
        (found,) = part["columns"]
        return float(found)

    assert width("12") < width("12345") < width(strong("12345", 12)) < 20
    assert width("x" * 200) == 40
    assert width(ticks(2)) < width(ticks(8)) <= 45
    assert 22 < width(ticks(99)) <= 40


def test_tables_with_the_same_columns_are_as_wide_as_one_another() -> None:
    columns = (Column("a", 40, snug=True), Column("b"))
    parts = [Part(columns=columns, rows=[[text, ""]]) for text in ("short", "very much longer")]
    first, second = sheet("T", [], parts)["parts"]
    alone = [sheet("T", [], [part])["parts"][0]["columns"] for part in parts]
    assert first["columns"] == second["columns"] == alone[1]
    assert alone[0] != first["columns"]


def test_a_title_is_never_alone_at_the_foot_of_a_page() -> None:
    columns, rows = [Column("headword")], [list[str | dict[str, Any]](["words"])] * 4
    alone = 0
    for lines in range(44, 60):
        first, second = (
            sheet("First", [], [Part(before=["line"] * lines)]),
            sheet("Second", [], [Part(columns=columns, rows=rows)]),
        )
        both = [{**first, "step": "1"}, {**second, "step": "2"}]
        made = PdfReader(io.BytesIO(press.pdf("plan", {**DATA, "sheets": both})))
        texts = [page.extract_text() for page in made.pages]
        (page,) = (text for text in texts if "Second" in text)
        assert "headword" in page, lines
        alone += "First" not in page
    assert 0 < alone < 16, "some stand on the first page, some on the next"


def test_words_are_never_markup() -> None:
    parts = [Part(columns=[Column("#let x = 1")], rows=[["#panic() *a* _b_ $c$ <d> @e"]])]
    assert press.pdf("plan", {**DATA, "sheets": [{**sheet("= T", [], parts), "step": "1"}]}).startswith(b"%PDF")


@pytest.mark.parametrize("count", some([2, 3, 4, 14], 3))
def test_no_row_is_alone_before_or_behind_the_end_of_a_page(count: int) -> None:
    columns = [Column("headword")]
    rows: list[list[Cell]] = [[f"row{number}"] for number in range(count)]
    split = 0
    for lines in range(40, 56, 1 if THOROUGH else 3):
        both = [
            sheet("First", [], [Part(before=["line"] * lines)]),
            sheet("Second", [], [Part(columns=columns, rows=rows)]),
        ]
        made = PdfReader(io.BytesIO(press.pdf("plan", {**DATA, "sheets": both})))
        found = [page.extract_text().count("row") for page in made.pages]
        assert 1 not in found, (lines, found)
        assert sum(found) == count
        split += min(found) > 0 and len(found) > 1
    assert split or count < 5


def test_columns_are_named_at_the_head_of_every_page() -> None:
    columns = (Column("headword", 40), Column("other"))
    parts = [
        Part(title=f"Frame {number}", columns=columns, rows=[["a", "b"]] * 3, heads=not number) for number in range(40)
    ]
    after = sheet("After", [], [Part(before=["line"] * 80)])
    both = [{**sheet("Before", [], parts), "step": "1"}, {**after, "step": "2"}]
    made = PdfReader(io.BytesIO(press.pdf("plan", {**DATA, "sheets": both})))
    texts = [page.extract_text() for page in made.pages]
    named = [text.count("headword") for text in texts if "Frame" in text]
    assert len(named) > 2
    assert set(named) == {1}
    assert not any("headword" in text for text in texts if "Frame" not in text)


def test_headings_take_a_second_line_only_where_room_is_short() -> None:
    def width(head: str, words: str) -> float:
        columns = (Column(head, 40, snug=True), Column("section"))
        return float(alone(Part(columns=columns, rows=[["12", words]]))["columns"][0])

    plenty, short = "SHS 40x40x3", "SHS 40x40x3 " * 20
    assert width("length of parts", plenty) > width("length of parts", short) > width("parts", short)
    assert width("of certificate", short) == width("certificate of", short) == width("certificate", short)
