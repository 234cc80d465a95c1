"""Jobs as csv and as a picture."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

from cutplan.model import Workshop
from cutplan.reports.year_table import cells_of, year_csv, year_picture
from cutplan.words.outcome_words import HEADINGS, YearRow

ROW = YearRow(
    job="gate", stage="recorded", day="2031-05-04", customer="Fernhollow, Quarry Lane", number="Q1",
    price=200_000_000, quoted_cost=150_000_000, materials=70_000_000, cost=100_000_000, left=100_000_000,
    quoted_minutes=52_200, minutes=None,
)  # fmt: skip


def test_a_line_of_csv() -> None:
    head, line = year_csv([ROW], Workshop()).decode("utf-8-sig").splitlines()
    assert head.startswith("Job,Stage,Last on,Customer,Quote,Price EUR")
    assert line == ('gate,recorded,2031-05-04,"Fernhollow, Quarry Lane",Q1,200.00,150.00,70.00,100.00,100.00,52.2,')
    assert len(cells_of(ROW)) == len(HEADINGS)


def test_bars_are_to_scale() -> None:
    """Cost is half the price, so its bar is half as long."""
    picture = year_picture([ROW], Workshop()).decode()
    ElementTree.fromstring(picture)
    assert "price 200.00, came to 100.00" in picture
    lengths = sorted(_widths(picture))
    assert lengths[-1] == 2 * lengths[-2]
    assert "price 200.00, not recorded yet" in year_picture([replace(ROW, cost=None, left=None)], Workshop()).decode()
    assert "no job is quoted" in year_picture([], Workshop()).decode()


def _widths(picture: str) -> list[float]:
    found = []
    for path in re.findall(r'd="([^"]*)"', picture):
        numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", path)]
        across = numbers[::2]
        found.append(round(max(across) - min(across), 2))
    return found
