"""Every kind of page looks as it did; ``python -m tests.samples.golden`` makes the pictures anew."""

from __future__ import annotations

import pytest
from PIL import Image

from tests.samples.golden import FOLDER, SAMPLES, made, path_of, unlike

MOST_UNLIKE = 0.01
LARGEST = 20_000

pytestmark = pytest.mark.thorough


@pytest.mark.parametrize("paper", SAMPLES)
def test_every_kind_of_page_looks_as_it_did(paper: str) -> None:
    stale = []
    for name, picture in made(paper).items():
        with Image.open(path_of(name)) as kept:
            if unlike(kept, picture) > MOST_UNLIKE:
                stale.append(name)
    assert not stale, "look at them, then: python -m tests.samples.golden"


def test_there_is_a_small_picture_of_every_kind_and_none_besides() -> None:
    assert {*FOLDER.glob("*.png")} == {path_of(name) for paper in SAMPLES for name in made(paper)}
    assert all(path.stat().st_size < LARGEST for path in FOLDER.glob("*.png"))


def test_a_line_lower_is_seen_and_a_hair_is_not() -> None:
    page = made("A4")["A4 Parts by assembly"]
    assert unlike(page, page) == 0
    # One dot of forty to an inch is 0.6 mm: more than two releases of a typesetter differ by, less than a line.
    near, row = Image.new("L", page.size, 255), Image.new("L", page.size, 255)
    near.paste(page, (0, 1))
    row.paste(page, (0, 9))
    assert unlike(page, near) <= MOST_UNLIKE < unlike(page, row)
    assert unlike(page, page.resize((9, 9))) == 1
