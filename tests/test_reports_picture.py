"""A bar in characters keeps to its width and says what each character means."""

from __future__ import annotations

import pytest

from cutplan.reports.terminal.picture import BOXED, PLAIN, character_width, picture
from tests import builders
from tests.drilled import drilled, drilled_job, hole
from tests.hand_plans import hand_plan
from tests.nasty_bars import NASTY, drawings


def test_the_picture_in_plain_characters() -> None:
    job = builders.job(
        [builders.part("A1", 2, 1500), builders.part("B", 1, 800, mitres=(45, 45))],
        [builders.offer("P1", 6000, 30)],
        kerf="2.5",
        end_trim=10,
    )
    drawn = picture(drawings(job, hand_plan(job, ("P1", ["A1", "A1", "B"])))[0], 60).splitlines()
    assert drawn == PICTURE


PICTURE = [
    "                                         keep 2180.3 mm",
    "#|     A1    |     A1     /  B \\|//////////////////|",
    " 10          1510         |     3816.1             6000",
    "                          3012.5",
]


@pytest.mark.parametrize("name", NASTY)
@pytest.mark.parametrize("width", [30, 40, 60, 80])
def test_a_picture_keeps_to_its_width(name: str, width: int) -> None:
    lines = picture(NASTY[name], width).splitlines()
    assert all(character_width(line) <= width for line in lines), max(lines, key=len)


@pytest.mark.parametrize("name", NASTY)
def test_other_characters_change_nothing_else(name: str) -> None:
    plain, boxed = (picture(NASTY[name], 78, ink).splitlines() for ink in (PLAIN, BOXED))
    assert [character_width(line) for line in plain] == [character_width(line) for line in boxed]
    turned = str.maketrans("█░╳│╱╲•", "#/x|/\\o")
    assert [line.translate(turned) for line in boxed] == plain


def test_plain_characters_are_plain() -> None:
    assert picture(NASTY["60 tiny parts"], 80).isascii()
    assert PLAIN.key(holes=True).isascii()


def test_holes_are_marked_where_there_is_room_and_told_in_the_key() -> None:
    job, plan = drilled_job(drilled("A", *[hole(at) for at in (100, 500, 900)]), end_trim=0)
    (drawing,) = drawings(job, plan)
    bar = next(line for line in picture(drawing, 69).splitlines() if line.startswith("|"))
    assert bar.startswith("|o   A   o|"), "the one under the mark is left out"
    assert picture(drawing, 69, BOXED).replace("•", "o").count("o") == 2
    assert PLAIN.key(holes=True).endswith("x left over to scrap, o holes, where there is room; figures run from START")


def test_the_key_names_every_fill() -> None:
    assert PLAIN.key(holes=False) == "# end trim, / left over to keep, x left over to scrap; figures run from START"
    assert BOXED.key(holes=False) == "█ end trim, ░ left over to keep, ╳ left over to scrap; figures run from START"
