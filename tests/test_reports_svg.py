"""Lines and texts in their places, written as SVG."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import pytest

from cutplan.reports.lettering import text_mm
from cutplan.reports.svg import FIGURE_POINTS, Lettering, Placed, figures_below, rectangle, spread, written


def test_turned_text_reads_upwards() -> None:
    text = Lettering(text="100", x=10, y=50, points=11, turned=True)
    left, top, right, bottom = text.box
    assert (bottom, right > 10 > left) == (50, True)
    assert top == pytest.approx(50 - text.width)


def test_texts_spread_out_keep_their_order_and_their_room() -> None:
    placed = spread([10, 11, 50], [8, 8, 8], 0, 60)
    assert placed == [6.5, 14.5, 50]
    assert spread([1, 1], [8, 8], 0, 60) == [4, 12], "none leaves the paper"
    assert spread([1, 1, 1], [8, 8, 8], 0, 20) is None


def test_figures_below_are_large_and_in_order() -> None:
    zone = figures_below([(10, "100"), (12, "120"), (90, "900")], 100, 5)
    assert [text.text for text in zone.texts] == ["100", "120", "900"]
    assert {text.points for text in zone.texts} == {FIGURE_POINTS}
    assert [text.x for text in zone.texts] == sorted(text.x for text in zone.texts)
    assert all(not text.turned for text in zone.texts)
    many = figures_below([(i * 3 + 5, f"{i * 1000}") for i in range(30)], 100, 5)
    assert all(text.turned for text in many.texts)
    assert len(many.texts) == 30


@pytest.mark.parametrize(("figures", "digits"), [(("60", "140", "150"), 1), (("3/4", "2 1/4", "3"), 2)])
def test_figures_below_are_told_apart(figures: tuple[str, ...], digits: int) -> None:
    """A digit's width lies between two, and twice that where a figure has a space in it."""
    texts = figures_below([(40 + 2 * place, text) for place, text in enumerate(figures)], 100, 5).texts
    apart = [after.x - (before.x + before.width) for before, after in pairwise(texts)]
    assert len(apart) == 2
    assert min(apart) >= digits * text_mm("0", FIGURE_POINTS) - 1e-9


def test_a_text_is_written_as_text() -> None:
    placed = Placed(width=50, height=9, strokes=(), leaders=(), texts=(Lettering(text="<A&1>", x=1, y=5, points=8),))
    (node,) = ElementTree.fromstring(written(placed, 'says "A"')).iter("{http://www.w3.org/2000/svg}text")
    assert node.text == "<A&1>"
    assert rectangle(0, 0, 2, 1)[2] == (2, 1)
