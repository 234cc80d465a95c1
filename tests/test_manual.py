"""The manual is a file for every topic and a topic for every file, and comes with the package."""

from __future__ import annotations

import tomllib

import pytest

from cutplan import manual
from tests.manual_pages import MANUAL, PAGES, ROOT


def test_topics_and_files_are_the_same() -> None:
    assert sorted(path.stem for path in MANUAL.glob("*.md")) == sorted(manual.TOPICS)


@pytest.mark.parametrize("topic", PAGES)
def test_a_page_begins_with_its_title(topic: str) -> None:
    assert manual.page(topic).startswith("# ")
    assert manual.headings(topic)[0] == manual.page(topic).split("\n", 1)[0].removeprefix("# ")


def test_code_has_no_headings() -> None:
    assert not any("cutplan" in heading for topic in PAGES for heading in manual.headings(topic))


def test_pages_come_with_the_package() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert "manual/*.md" in settings["tool"]["setuptools"]["package-data"]["cutplan"]


def test_no_other_page_is_read() -> None:
    with pytest.raises(KeyError):
        manual.page("../manual/parts")
