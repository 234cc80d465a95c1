"""What a season is told as: means, differences draw by draw, and advice only where it rests on enough."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from cutplan.model import Workshop
from cutplan.units import METRE
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
        pytest.param({"keep": [90, 80, 100, 95, 99, 70]}, "keep", id="cheaper in five draws, the same in one"),
        pytest.param({"keep": [90, 100, 100, 100, 100, 100]}, None, id="cheaper in one draw, the same in five"),
        pytest.param({"keep": [90, 80, 101, 95, 99]}, None, id="dearer in one"),
        pytest.param({"keep": [100] * 5}, None, id="no different"),
        pytest.param({"a": [99] * 6, "b": [98] * 6}, "b", id="the cheaper of two"),
        pytest.param({"a": [90] * 4}, None, id="too few draws"),
        pytest.param({"a": [90] * 5, "b": [100] * 5}, None, id="too few draws for two sets of keys"),
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
    text = season_text(season)
    assert "keep: dearer in no draw, with less on the rack in 5. It rests on 3 jobs, drawn 5 times." in text
    assert "Of 1 set of keys that change nothing one would do so by luck in 1 of\n32 seasons." in text
    one_less = of(("as it is", [draw(100)] * 5), ("keep", [*[draw(100)] * 4, draw(100, pieces=2)]))
    assert recommended(one_less) is None


def test_of_how_many_plans_it_is_proven() -> None:
    open_one = replace(draw(100), unproven=2)
    season = of(("as it is", [draw(100), open_one]), ("keep", [draw(98), draw(99)]))
    assert "\n2 of 12 plans are not proven the cheapest.\n" in season_text(season)
    assert season_values(season)["rows"][0]["draws"][1]["not_proven"] == 2
    assert "\nAll 3 plans are proven the cheapest.\n" in season_text(of(("as it is", [draw(100)])))


def test_what_a_kept_metre_was_worth() -> None:
    """8 m kept saved 20.00, 2 m saved 10.00: 30.00 over 10 m are 3.00 a metre, from 2.50 to 5.00."""
    kept = [replace(draw(paid), first_kept=metres * METRE) for paid, metres in ((80, 8), (90, 2))]
    none = [replace(draw(100), left_overs=())] * 2
    lines = season_text(of(("as it is", kept), ("offcuts.keep_at_most=0", none))).splitlines()
    place = lines.index("(offcuts.keep_at_most=0); what still lies on the rack may save more:")
    assert lines[place + 1 : place + 3] == ["  as it is: 3.00, from 2.50 to 5.00 among 2 draws", ""]
    assert "What a metre kept" not in season_text(of(("as it is", kept), ("keep", kept)))


def test_figures_are_means_and_differences_go_draw_by_draw() -> None:
    """100 and 103 against 98 and 104: means 101.50 and 101.00, from -2.00 to +1.00, together -0.50."""
    text = season_text(of(("as it is", [draw(100), draw(103)]), ("keep", [draw(98), draw(104)])))
    rows = {line.split("  ")[0]: line for line in text.splitlines() if "  " in line}
    assert "101.50" in rows["as it is"]
    assert "101.00" in rows["keep"]
    assert "keep: -0.50, from -2.00 to +1.00 among 2 draws" in text
    assert "6 of 12 left overs kept were still there after the last job,\non average 1.0 jobs after they came." in text
    assert "\n  FL 40x5: 4 of 8, 400 mm to 700 mm\n  SHS 40x40x3: 2 of 4, 500 mm\n" in text


def test_days_beside_jobs_where_they_are_known() -> None:
    """Those that lie there came with jobs of 1, 4 and 11 May, the last: 10, 7 and 0 days."""
    dated = replace(draw(100), days=(date(2031, 5, 1), date(2031, 5, 4), date(2031, 5, 11)))
    text = season_text(replace(of(("as it is", [dated])), drawn=False))
    assert "on average 1.0 jobs, or 5.7 days, after they came." in text
    # Used again: by the second job after 3 days, by the third after 10, twice.
    assert (dated.days_waited, dated.days_lain) == ((3, 10, 10), (10, 7, 0))


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
