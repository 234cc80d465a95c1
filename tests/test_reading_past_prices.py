"""Past prices: lines that are whole as they stand, read back as they were noted."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from cutplan.model import Basis, Workshop
from cutplan.problems import ProblemsFound
from cutplan.reading.forms.past_prices import COLUMNS, added_text, drifts, latest, quoted_on, read_past_prices
from tests import builders

DAY = date(2031, 6, 1)


def test_lines_are_read_back_as_they_were_noted(tmp_path: Path) -> None:
    shop = Workshop(currency="AUD", prices_include_tax=True, tax_millionths=100_000)
    offers = [
        builders.offer("1", 6000, "30.5", merchant='Yard, "north"'),
        replace(builders.offer("2", 6500, 1), typed_price="2.10 ex GST", basis=Basis.PER_M),
        builders.offer("3", 6500, None),
    ]
    noted = quoted_on(DAY, offers, shop)
    assert [(price.merchant, price.price, price.basis) for price in noted] == [
        ('Yard, "north"', 30_500_000, Basis.EACH),
        ("Yard", 2_310_000, Basis.PER_M),  # 2.10 and a tenth of it
    ]
    path = tmp_path / "past.csv"
    assert read_past_prices(path) == []
    path.write_bytes(added_text(noted[:1], begin=True) + added_text(noted[1:], begin=False))
    assert read_past_prices(path) == noted
    assert path.read_text().splitlines()[0] == ",".join(f'"{name}"' if "," in name else name for name in COLUMNS)


def test_the_last_of_each_offer() -> None:
    first, other = quoted_on(DAY, [builders.offer("1", 6000, 30), builders.offer("2", 3000, 20)], Workshop())
    earlier = replace(first, day=date(2031, 5, 1), price=1)
    again = replace(first, price=2)
    assert latest([first, other, earlier, again]) == [again, other]


def test_how_prices_moved() -> None:
    """By hand: 30 to 33 is a tenth more, 20 to 19 a twentieth less, (0.10 - 0.05) / 2 = 0.025."""
    offers = [builders.offer("1", 6000, 30), builders.offer("2", 3000, 20), builders.offer("3", 2000, 9)]
    bar, short, once = quoted_on(DAY, offers, Workshop())
    later = date(2031, 9, 1)
    corrected = replace(bar, day=later, price=32_000_000)
    moved = [replace(bar, day=later, price=33_000_000), replace(short, day=date(2031, 8, 1), price=19_000_000)]
    with_tax = replace(short, day=later, price=99_000_000, with_tax=True)
    (drift,) = drifts([bar, short, once, corrected, *moved, with_tax])
    assert (drift.merchant, drift.offers, drift.days, drift.change) == ("Yard", 2, 92, Fraction(1, 40))
    assert drifts([bar, once, replace(bar, price=1)]) == []  # both of one day
    # Its last price is one per metre: nothing tells what it is beside the first.
    assert drifts([bar, corrected, replace(bar, day=date(2031, 10, 1), basis=Basis.PER_M)]) == []


@pytest.mark.parametrize(
    "line",
    [
        "2031-06-01,Yard",
        "1.6.31,Yard,SHS 40x40x3,EN 10219-2,,black,6000,30,each,EUR,without tax",
        "2031-06-01,Yard,SHS 40x40x3,EN 10219-2,,black,long,30,each,EUR,without tax",
        "2031-06-01,Yard,SHS 40x40x3,EN 10219-2,,black,6000,dear,each,EUR,without tax",
        "2031-06-01,Yard,SHS 40x40x3,EN 10219-2,,black,6000,30,a piece,EUR,without tax",
        "2031-06-01,Yard,SHS 40x40x3,EN 10219-2,,black,6000,30,each,EUR,perhaps",
        "\x00\xff",
    ],
)
def test_a_line_that_is_none_is_placed(line: str, tmp_path: Path) -> None:
    path = tmp_path / "past.csv"
    path.write_bytes(added_text([], begin=True) + line.encode("latin-1") + b"\n")
    with pytest.raises(ProblemsFound) as found:
        read_past_prices(path)
    assert [(problem.where, problem.code) for problem in found.value.problems] == [("past.csv, row 2", "price.past")]


def test_a_folder_in_its_place(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="a file that cannot be read"):
        read_past_prices(tmp_path)
