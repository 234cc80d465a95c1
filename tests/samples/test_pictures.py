"""README's pictures look like what is made today; ``python -m tests.samples.pictures`` makes them anew."""

from __future__ import annotations

import pytest
from PIL import Image

from tests.samples import pictures

MOST_UNLIKE = 0.01
LARGEST = 120_000


def test_page_and_bar_are_not_stale() -> None:
    for name, made in zip((pictures.PAGE, pictures.BAR), pictures.page_and_bar(), strict=True):
        with Image.open(pictures.FOLDER / name) as kept:
            assert pictures.unlike(kept, made) <= MOST_UNLIKE, f"{name} is stale: python -m tests.samples.pictures"


@pytest.mark.thorough
def test_the_workbook_is_not_stale() -> None:
    made = pictures.workbook()
    if made is None:
        pytest.skip("LibreOffice is not installed, so the workbook cannot be printed")
    with Image.open(pictures.FOLDER / pictures.WORKBOOK) as kept:
        assert pictures.unlike(kept, made) <= MOST_UNLIKE, "workbook.png is stale: python -m tests.samples.pictures"


def test_another_page_is_told_apart() -> None:
    page, bar = pictures.page_and_bar()
    assert pictures.unlike(page, bar) == 1.0
    shifted = Image.new("L", page.size, 255)
    shifted.paste(page, (0, 20))
    assert pictures.unlike(page, shifted) > MOST_UNLIKE
    assert pictures.unlike(page, page) == 0


def test_pictures_are_small() -> None:
    names = (pictures.PAGE, pictures.BAR, pictures.WORKBOOK)
    assert all((pictures.FOLDER / name).stat().st_size < LARGEST for name in names)
