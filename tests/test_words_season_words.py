"""What a season is told as: means, differences draw by draw, and advice only where it rests on enough."""

from __future__ import annotations

import json

import pytest

from cutplan.model import Workshop
from cutplan.words.season_words import Draw, LeftOver, Season, Tried, recommended, season_text, season_values

EUR = 1_000_000
LEFT = (
    ("SHS 40x40x3", 900_000_000, 1, 2),
    ("SHS 40x40x3", 500_000_000, 1, None),
    ("FL 40x5", 300_000_000, 1, 3),
    ("FL 40x5", 1_300_000_000, 1, 3),
    ("FL 40x5", 700_000_000, 2, None),
    ("FL 40x5", 400_000_000, 3, None),
)
"""Of six left overs three were used, after one job and two after two; three lie there since two jobs, one and none."""


def draw(paid: int | None, pieces: int = 4) -> Draw:
    return Draw(
        paid=None if paid is None else (0, 0, paid * EUR),
        bought=(90_000_000, 0, 0),
        scrapped=(2_500_000, 0, 0),
        left_overs=tuple(
            LeftOver(section=name, length=length, came=came, used=used) for name, length, came, used in LEFT
        ),
        length=2_500_000_000,
        over_time=(5, 7, pieces),
    )


def of(*tried: tuple[str, list[Draw]]) -> Season:
    rows = tuple(Tried(words=words, lines=f"[{words}]", draws=tuple(draws)) for words, draws in tried)
    return Season(workshop=Workshop(), jobs=3, drawn=True, tried=rows)


@pytest.mark.parametrize(
    ("others", "best"),
    [
        pytest.param({"keep": [90, 80, 100, 95, 99]}, "keep", id="cheaper in four draws, the same in one"),
        pytest.param({"keep": [90, 80, 101, 95, 99]}, None, id="dearer in one"),
        pytest.param({"keep": [100] * 5}, None, id="no different"),
        pytest.param({"a": [99] * 5, "b": [98] * 5}, "b", id="the cheaper of two"),
        pytest.param({"a": [90] * 4}, None, id="too few draws"),
    ],
)
def test_what_is_recommended(others: dict[str, list[int]], best: str | None) -> None:
    draws = len(next(iter(others.values())))
    season = of(
        ("as it is", [draw(100)] * draws), *((key, [draw(paid) for paid in each]) for key, each in others.items())
    )
    found = recommended(season)
    assert (found.words if found else None) == best
    assert season_values(season)["recommended"] == best
    assert (f"[{best}]" in season_text(season)) == (best is not None)


def test_less_on_the_rack_at_equal_cost() -> None:
    season = of(("as it is", [draw(100)] * 5), ("keep", [draw(100, pieces=2)] * 5))
    best = recommended(season)
    assert best is not None
    assert "keep: dearer in no draw, with less on the rack. It rests on 3 jobs, drawn 5 times." in season_text(season)


def test_figures_are_means_and_differences_go_draw_by_draw() -> None:
    """100 and 103 against 98 and 104: means 101.50 and 101.00, from -2.00 to +1.00, together -0.50."""
    text = season_text(of(("as it is", [draw(100), draw(103)]), ("keep", [draw(98), draw(104)])))
    rows = {line.split("  ")[0]: line for line in text.splitlines() if "  " in line}
    assert "101.50" in rows["as it is"]
    assert "101.00" in rows["keep"]
    assert "keep: -0.50, from -2.00 to +1.00 among 2 draws" in text
    assert "6 of 12 left overs kept were still there after the last job,\non average 1.0 jobs after they came." in text
    assert "\n  FL 40x5: 4 of 8, 400 mm to 700 mm\n  SHS 40x40x3: 2 of 4, 500 mm\n" in text


def test_without_prices_mass_is_compared() -> None:
    season = of(("as it is", [draw(None)]), ("keep", [draw(None)]))
    assert "to buy kg" in season_text(season)
    assert "keep: +0.0 kg" in season_text(season)
    assert json.loads(json.dumps(season_values(season)))["rows"][0]["draws"][0]["to_pay"] is None


def test_long_keys_have_a_line_of_their_own() -> None:
    long = "keep=200 mm; offcuts.keep_at_most=3"
    lines = season_text(of(("as it is", [draw(100)]), (long, [draw(90)]))).splitlines()
    assert long in lines
    assert all(len(line) <= 80 for line in lines)
