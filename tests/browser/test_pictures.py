"""README shows the bench as it looks; seen from a distance, since every machine has letters of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser

from tests.browser import pictures
from tests.browser.conftest import serving
from tests.samples.golden import unlike

pytestmark = pytest.mark.thorough
ALLOWED = 0.04


def test_readme_shows_the_bench_as_it_looks(chromium: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # and back when it ends
    pictures.samples(tmp_path)
    with serving() as address:
        seen = pictures.taken(chromium, address)
    for name, picture in seen.items():
        kept = Image.open(pictures.FOLDER / f"{name}.png")
        assert unlike(picture, kept) < ALLOWED, f"{name}: python -m tests.browser.pictures takes it anew; look at it"


def test_another_page_would_be_told(chromium: Browser) -> None:
    desk = Image.open(pictures.FOLDER / "bench-desk.png")
    turned = desk.transpose(Image.Transpose.FLIP_TOP_BOTTOM)
    assert unlike(desk, turned) > ALLOWED
