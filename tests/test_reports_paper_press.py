"""The typesetter is offline and the same each time, and what it would pass over in silence is a fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.reports.paper import press

MINIMAL = {"title": "t", "job": "j", "paper": "a4", "fingerprint": "0a1b2c3d", "piece": "", "sheets": []}


def test_the_same_bytes_twice() -> None:
    assert press.pdf("plan", MINIMAL) == press.pdf("plan", MINIMAL)


def test_pictures_are_as_large_as_asked() -> None:
    (page,) = press.pictures("plan", MINIMAL, 72)
    assert page.startswith(b"\x89PNG")
    assert (int.from_bytes(page[16:20], "big"), int.from_bytes(page[20:24], "big")) == (595, 842)


def test_a_font_that_is_not_shipped_is_a_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "odd.typ").write_text('#set document(title: "x")\n#set text(font: "No Such Font")\nwords')
    monkeypatch.setattr(press, "SHEETS", tmp_path)
    with pytest.raises(press.NotSet, match="unknown font family"):
        press.pdf("odd", {})


def test_only_the_shipped_fonts_are_seen() -> None:
    assert press._fonts().families() == ["DejaVu Sans"]
