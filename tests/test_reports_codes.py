"""Every code is, dot for dot, the one that segno makes of the text alone."""

from __future__ import annotations

import re
from typing import Any

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from cutplan.reports.paper import codes
from cutplan.reports.paper.codes import Codes


def dark(svg: str) -> set[tuple[int, int]]:
    """Column and row of every dark module, counted from 0 within the quiet zone."""
    found, x, y = set(), 0, 0
    path = svg.rpartition(' d="')[2].partition('"')[0]
    for move, first, second, length in re.findall(r"([Mm])(\d+) ([\d.]+)h(\d+)", path):
        x, y = (int(first), int(float(second))) if move == "M" else (x + int(first), y)
        found |= {(column - 4, y - 4) for column in range(x, x + int(length))}
        x += int(length)
    return found


def alone(text: str) -> set[tuple[int, int]]:
    rows = segno.make(text, error="m", micro=False, mask=0).matrix
    return {(x, y) for y, row in enumerate(rows) for x, module in enumerate(row) if module}


URIS = [f"cutplan:part?plan=0a1b2c3d&mark=T{number}&copy={copy}" for number in (1, 9, 10, 59) for copy in (1, 7, 12)]


def test_every_code_is_the_one_made_alone() -> None:
    made = Codes()
    for text in URIS:
        svg, width = made.svg(text)
        assert dark(svg) == alone(text), text
        assert width == len(segno.make(text, error="m", micro=False).matrix) + 8


@given(st.lists(st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=4, max_size=5), max_size=12))
def test_whatever_came_before(texts: list[str]) -> None:
    made = Codes()
    for text in texts:
        assert dark(made.svg("cutplan:" + text)[0]) == alone("cutplan:" + text)


def test_few_are_made(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    make = codes._made

    def counted(text: str) -> Any:
        asked.append(text)
        return make(text)

    monkeypatch.setattr(codes, "_made", counted)
    made = Codes()
    for number in range(1000, 3000):
        made.svg(f"cutplan:part?plan=0a1b2c3d&mark=P{number}&copy=1")
    assert len(asked) < 20, "thirteen bits of a text of one length differ"
