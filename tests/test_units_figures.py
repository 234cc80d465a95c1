"""Figures as typed in a workshop: with its unit and its decimal sign, read and written alike."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.units import DEGREE, Figures
from tests.builders import mm
from tests.source_code import PACKAGE, found

POINT, COMMA, UNSAID = Figures("mm", "."), Figures("mm", ","), Figures()


@pytest.mark.parametrize(
    ("figures", "text", "read"),
    [
        (UNSAID, "1.250", "1.25"),
        (UNSAID, "1250.5", "1250.5"),
        (UNSAID, "1,250", None),
        (POINT, "1.250", "1.25"),
        (POINT, "1,250", "1250"),
        (POINT, "1,250.5", "1250.5"),
        (POINT, "1,25", None),
        (COMMA, "1.250", "1250"),
        (COMMA, "1.250,5", "1250.5"),
        (COMMA, "1250,5 mm", "1250.5"),
        (COMMA, "1,25", "1.25"),
        (COMMA, "1250.5", None),
        (Figures("in", ","), "47,25", "1200.15"),
        (Figures("in", "."), "47.25", "1200.15"),
    ],
)
def test_a_length(figures: Figures, text: str, read: str | None) -> None:
    if read is None:
        with pytest.raises(Refused):
            figures.length(text)
    else:
        assert figures.length(text) == figures.length_or_zero(text) == mm(read)


def test_money_and_angles() -> None:
    assert (COMMA.money("1.234,50"), POINT.money("1,234.50")) == (1_234_500_000, 1_234_500_000)
    assert (COMMA.angle("22,5"), POINT.angle("22.5")) == (45 * DEGREE // 2, 45 * DEGREE // 2)
    assert COMMA.length_or_zero("0") == 0


@pytest.mark.parametrize("figures", [POINT, COMMA, UNSAID, Figures("in", ","), Figures("in", ".")])
@pytest.mark.parametrize("length", ["0.001", "6000", "1250.5", "1200.15", "12345.678"])
def test_what_is_written_is_read_back(figures: Figures, length: str) -> None:
    assert figures.length(figures.typed_length(mm(length))) == mm(length)
    assert figures.money(figures.typed_money(1_234_560_000)) == 1_234_560_000


def test_actions_and_commands_read_figures_in_no_other_way() -> None:
    """A typed figure without the workshop's decimal sign would be read as another one, in silence."""
    for room in ("actions", "cli"):
        for file in (PACKAGE / room).glob("*.py"):
            assert not list(found(r"\b(parse_(?:length|length_or_zero|money|angle))\b", file)), file
