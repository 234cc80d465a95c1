"""A season as csv and as a picture: figures by hand, charts to scale."""

from __future__ import annotations

import csv
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from itertools import combinations
from pathlib import Path

from cutplan.model import Workshop
from cutplan.reports.season_table import season_csv, season_picture, season_pictures
from cutplan.units import KG, MM
from cutplan.words.season_words import Draw, LeftOver, Season, Tried


def draw(paid: int, over_time: tuple[int, ...]) -> Draw:
    return Draw(
        paid=(paid * 400_000, paid * 600_000), bought=(10 * KG, 20 * KG), scrapped=(KG, KG), length=1_250_000_000,
        left_overs=(left_over(1, None), left_over(1, 2), left_over(2, None)), over_time=over_time,
    )  # fmt: skip


def left_over(came: int, used: int | None) -> LeftOver:
    return LeftOver(section="SHS 40x40x3", length=(400 + came) * MM, came=came, used=used)


SEASON = Season(
    workshop=Workshop(),
    jobs=2,
    drawn=True,
    tried=(
        Tried(words="as it is", lines="", draws=(draw(100, (2, 4)), draw(104, (4, 0)))),
        Tried(words="=keep", lines="", draws=(draw(90, (1, 1)), draw(80, (1, 1)))),
    ),
)


def test_a_line_for_each_draw() -> None:
    first, *_, last = csv.DictReader(season_csv(SEASON).decode("utf-8-sig").splitlines())
    assert (first["keys"], first["draw"], first["to_pay"], first["on_rack_mm"]) == ("as it is", "1", "100", "1250")
    assert (first["scrap_kg"], first["left_there"], first["waiting_jobs"]) == ("2.000", "2", "1")
    assert (last["keys"], last["draw"], last["to_pay"]) == ("'=keep", "2", "80")


def test_charts_are_to_one_scale(tmp_path: Path) -> None:
    """Means of 3 and 2 pieces, then 1 and 1; the most of all rows, 4, is the height of a chart."""
    picture = season_picture(SEASON).decode()
    ElementTree.fromstring(picture)
    assert "from 100.00 to 104.00" in picture
    frames: list[list[float]] = []
    means: list[list[float]] = []
    grey: list[list[float]] = []
    for points, fill, wide in _paths(picture):
        height = [round(y, 2) for _, y in points]
        (grey if fill != "none" else means if wide > 0.3 else frames).append(height)
    tops = [min(each) for each in frames]
    unit = (max(frames[0]) - tops[0]) / 4
    assert [[round((max(frames[row]) - y) / unit, 2) for y in each] for row, each in enumerate(means)] == [
        [3, 3, 2, 2],
        [1, 1, 1, 1],
    ]
    assert len(grey) == 1  # both draws of the second row are alike


def test_long_keys_end_before_the_figures_of_their_chart() -> None:
    """In every picture, by the widths that it was written with."""
    as_it_is, other = SEASON.tried
    long = replace(other, words="keep=600 mm; offcuts.keep_at_most=3; offcut_value=1.20")
    for _, picture in season_pictures(replace(SEASON, tried=(as_it_is, long))):
        spans = [
            (float(text.attrib["y"]), begin := float(text.attrib["x"]), begin + float(text.attrib["textLength"]))
            for text in ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}text")
        ]
        beside = [(one, other) for one, other in combinations(spans, 2) if abs(one[0] - other[0]) < 3]
        assert len(beside) >= 2, "the keys of each row stand beside a figure"
        assert all(one[2] < other[1] or other[2] < one[1] for one, other in beside), beside
        assert all(words in picture for words in (">keep=600 mm;<", ">offcuts.keep_at_most=3; o", "…<"))


def test_axes_are_named_with_their_units() -> None:
    picture = season_picture(SEASON).decode()
    assert all(f">{words}<" in picture for words in ("pieces on the rack", "job 1", "job 2", "102.00 EUR"))
    axes = ("pieces on the rack", "to pay so far, EUR", "scrap so far, kg")
    for (_, each), axis in zip(season_pictures(SEASON), axes, strict=True):
        assert all(f">{words}<" in each for words in (axis, "job 1", "job 2"))
    assert ">in the end 102.00<" in season_pictures(SEASON)[1][1]


def test_many_sets_of_keys_are_in_several_pictures_to_one_scale() -> None:
    as_it_is, other = SEASON.tried
    rows = (as_it_is, *(replace(other, words=f"keep={number} m") for number in range(1, 9)))
    pictures = season_pictures(replace(SEASON, tried=rows))
    assert [heading for heading, _ in pictures][:2] == ["Pieces on the rack, 1 of 2", "Pieces on the rack, 2 of 2"]
    assert ">4<" in pictures[1][1], "the most of the first row, which is in the other picture"
    for number in range(1, 9):
        assert sum(f">keep={number} m<" in picture for _, picture in pictures) == 3
    # The shorter paper has 279.4 mm, of which margins, the line at the head and the heading take less than 40.
    heights = [float(ElementTree.fromstring(picture).attrib["viewBox"].split()[3]) for _, picture in pictures]
    assert max(heights) <= 279.4 - 40


def _paths(picture: str) -> list[tuple[list[tuple[float, float]], str, float]]:
    found = []
    for path in ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}path"):
        for each in filter(None, path.attrib["d"].split("M")):
            numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", each)]
            points = list(zip(numbers[::2], numbers[1::2], strict=True))
            found.append((points, path.attrib["fill"], float(path.attrib.get("stroke-width", 0))))
    return found
