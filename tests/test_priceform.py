"""A blank price list asks for exactly what a job needs, and is read when it is filled in."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, timedelta

import pytest
from openpyxl import load_workbook

from cutplan.model import Basis, Saw, Workshop
from cutplan.reading.forms.past_prices import PastPrice
from cutplan.sections.section import Family
from cutplan.writing.priceform import (
    ANOTHER,
    COLUMNS,
    Asked,
    about,
    age_text,
    asked_of,
    form_book,
    form_rows,
    last_rows,
    row_cells,
    section_named,
    sold_rows,
)
from tests import builders
from tests.builders import mm

ROUND = Asked(
    section="RD 12",
    designation="RD 12",
    standard="EN 10060",
    grade="",
    finish="black",
    family=Family.ROUND,
    wanted=(("", mm(400), 3),),
)


def test_one_row_per_material_with_what_is_wanted() -> None:
    parts = [builders.part("A", 4, 1200), builders.part("B", 2, 850), builders.part("C", 1, 700, grade="S355")]
    asked = asked_of(parts)
    assert [(each.grade, each.pieces, each.length // 1_000_000) for each in asked] == [("", 6, 6500), ("S355", 1, 700)]


def test_a_section_is_named_as_the_list_names_it() -> None:
    (asked,) = asked_of([builders.part("A", 1, 1200, typed_section="HSS 1-1/2x1-1/2x1/8")])
    assert (asked.section, asked.designation) == ("HSS 1-1/2x1-1/2x1/8", "SHS 40x40x3")
    (asked,) = asked_of([builders.part("A", 1, 1200, typed_section="40 x 40 x 3 box")])
    assert asked.section == ""
    assert section_named(asked, Workshop()) == "SHS 40x40x3"


def test_rows_by_merchant_and_length() -> None:
    shop = Workshop()
    rows = form_rows([ROUND], ["Yard", "Dock"], {"": [mm(6000)], "RD 12": [mm(3000), mm(300)]}, shop)
    assert [row_cells(row, shop) for row in rows] == [
        (name, "RD 12", "EN 10060", "", "black", "3000 mm", "", "each", "", "about 1: 3 parts, 1.2 m", "")
        for name in ("Yard", "Dock")
    ], "a length that no part fits into is not asked for"
    twice = form_rows([ROUND], ["Yard", "Yard"], {"": [mm(6000)]}, shop)
    assert len(twice) == 1
    blank = form_rows([ROUND], [], {}, shop)
    assert [row_cells(row, shop)[-2] for row in blank] == [
        "3 parts, 1.2 m",
        "the same in another length, where one is sold",
    ]


@pytest.mark.parametrize(
    ("wanted", "length", "expected"),
    [
        ([(1200, 4), (850, 2)], 6000, 2),  # 4 x 1202.5 + 2 x 852.5 = 6515, of 5982.5 usable: 1.09
        ([(2000, 2), (1970, 1)], 6000, 1),  # 2 x 2002.5 + 1972.5 = 5977.5 of 5982.5
        ([(2000, 3)], 6000, 2),  # 6007.5 of 5982.5
        ([(3100, 5)], 6000, 5),  # more than half of what is usable each
        ([(2100, 7)], 6000, 4),  # two each, though 14,717.5 would go into three
        ([(2500, 3), (2100, 2)], 6000, 3),  # five from 2,100 on, two each
        ([(3100, 2), (7000, 9)], 6000, 2),  # what does not fit is not counted
        ([(6000, 1)], 6000, 0),
    ],
)
def test_about_how_many(wanted: list[tuple[int, int]], length: int, expected: int) -> None:
    """By hand; kerf 2.5, end trims 10 and 10 (kerf in them), so that 6000 - 20 + 2.5 is usable."""
    (asked,) = asked_of([builders.part(f"P{at}", count, part) for at, (part, count) in enumerate(wanted)])
    assert about(asked, mm(length), builders.workshop(kerf="2.5", end_trim=10)) == expected


def test_only_what_is_known_to_be_sold() -> None:
    asked = asked_of([builders.part("A", 4, 1200), builders.part("B", 4, 1200, grade="S355")])
    offers = [
        builders.offer("1", 6000, 30),
        builders.offer("2", 6000, 33, grade="S355", merchant="Dock"),
        builders.offer("3", 6000, 9, section=builders.square_tube(50)),
        builders.offer("4", 6000, 9, finish="primed"),
        builders.offer("5", 1000, 9),
    ]
    rows = sold_rows(asked, offers, Workshop())
    assert [(row.merchant, row.asked.grade) for row in rows] == [("Yard", ""), ("Dock", "S355"), ("Dock", "S355")]


def test_what_was_quoted_last_and_how_long_ago() -> None:
    past = PastPrice(
        day=date(2031, 5, 1),
        merchant="Yard",
        section="RD 12",
        standard="EN 10060",
        grade="S235",
        finish="black",
        length=mm(6000),
        price=2_105_000,
        basis=Basis.PER_M,
        currency="EUR",
        with_tax=False,
    )
    others = [replace(past, finish="primed"), replace(past, currency="USD"), replace(past, with_tax=True)]
    shop = Workshop()
    (row,) = last_rows([ROUND], [past, *others], [], shop)
    assert row_cells(row, shop, date(2031, 6, 4))[3:] == (
        *("S235", "black", "6000 mm", "2.105", "per m", "", "about 1: 3 parts, 1.2 m"),
        "2031-05-01, 34 days ago",
    )
    assert row_cells(row, replace(shop, decimal_sign=","))[6] == "2,105"
    assert last_rows([ROUND], [past], ["Dock"], shop) == []
    assert [age_text(past, past.day + timedelta(days)) for days in (0, 1, -1)] == [
        *("2031-05-01, today", "2031-05-01, 1 day ago", "2031-05-01, still to come"),
    ]


def test_a_grade_that_serves_the_one_asked_is_asked_for_by_its_name() -> None:
    (asked,) = asked_of([builders.part("C", 1, 700, grade="S355")])
    offers = [
        builders.offer(f"#{n}", 6000, 30, grade=grade) for n, grade in enumerate(("S355J2H", "S275J2H", "S355", ""))
    ]
    shop = Workshop()
    rows = sold_rows([asked], offers, shop)
    assert [(row.asked.grade, row.serves) for row in rows] == [("S355J2H", "S355"), ("S355", "")]
    assert row_cells(rows[0], shop)[-2] == "about 1: 1 part, 0.7 m; serves S355"


def test_bars_of_two_saws_are_counted_saw_by_saw() -> None:
    """By hand, lengths of 3000 with no trim: at a kerf of 1 a bar holds two of 1499, at 3 one alone, so three parts on
    each saw take 2 and 3 bars; all at the kerf of the first saw would be 3."""
    thin, thick = (Saw(name=name, kerf=mm(kerf), end_trim=0, safe_hold=0) for name, kerf in (("thin", 1), ("thick", 3)))
    shop = Workshop(saw=thin, saws=(thin, thick))
    (asked,) = asked_of([builders.part("A", 3, 1499, saw="thin"), builders.part("B", 3, 1499, saw="thick")])
    assert about(asked, mm(3000), shop) == 5


def test_what_is_wanted_is_seen_whole() -> None:
    """Two lines of eight points where one does not hold it, in the row of each."""
    shop = Workshop()
    rows = form_rows([ROUND], [], {}, shop)
    sheet = load_workbook(io.BytesIO(form_book(rows, "Prices to ask for", "gate", shop)))["Prices"]
    (short, long) = (sheet.cell(row, COLUMNS.index("Wanted") + 1) for row in (4, 5))
    assert (short.value, long.value) == ("3 parts, 1.2 m", ANOTHER)
    assert long.alignment.wrap_text
    assert sheet.row_dimensions[4].height == 20
    assert sheet.row_dimensions[5].height >= 2 * 8 * 1.3
