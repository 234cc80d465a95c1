"""The typesetter is offline and the same each time, and what it would pass over in silence is a fault."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
import typst

from cutplan.cli import process
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


def test_a_stop_does_not_wait_for_the_typesetter(monkeypatch: pytest.MonkeyPatch) -> None:
    """It sets a long sheet in one go, seconds in which Ctrl-C did nothing."""
    begun, go_on = threading.Event(), threading.Event()

    class Compiler:
        def __init__(self, **how: object) -> None:
            pass

        def compile_with_warnings(self, **how: object) -> tuple[bytes, list[str]]:
            begun.set()
            assert go_on.wait(60)
            return b"", []

    def interrupted(thread: threading.Thread, timeout: float) -> None:
        assert thread.daemon
        assert begun.wait(60)
        raise KeyboardInterrupt

    monkeypatch.setattr(typst, "Compiler", Compiler)
    with monkeypatch.context() as patched:
        patched.setattr(threading.Thread, "join", interrupted)
        with pytest.raises(KeyboardInterrupt):
            press.typeset("plan", MINIMAL)
    (left,) = (thread for thread in threading.enumerate() if thread.name == process.ASIDE)
    go_on.set()
    left.join()


@pytest.mark.parametrize("known", ["", "\N{CJK UNIFIED IDEOGRAPH-6881}"])
def test_letters_that_no_font_has_are_replaced(known: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Set as they are where a font of the system has them, and never a fault."""
    seen: list[str] = []

    class Compiler:
        def __init__(self, sys_inputs: dict[str, str], **how: object) -> None:
            seen.append(sys_inputs["data"])

        def compile_with_warnings(self, **how: object) -> tuple[bytes, list[str]]:
            return b"", []

    monkeypatch.setattr(typst, "Compiler", Compiler)
    monkeypatch.setattr(press, "shown_elsewhere", lambda letters: letters & set(known))
    press.typeset("plan", MINIMAL | {"title": "a\N{CJK UNIFIED IDEOGRAPH-6881}b\n"})
    assert f'"title": "a{known or chr(0xFFFD)}b\\n"' in seen[0]


def test_a_font_of_the_system_is_asked_letter_by_letter() -> None:
    """No font has a letter that Unicode has not given out yet; what the shipped one has, it shows."""
    assert press.shown_elsewhere(frozenset("ab\U000e1234\U0003fffd")) == {"a", "b"}


def test_any_letter_is_set() -> None:
    words = "\N{CJK UNIFIED IDEOGRAPH-6881} \N{HEBREW LETTER SHIN} \N{DEVANAGARI LETTER NA} \N{WRENCH} \U000e1234"
    assert press.pdf("plan", MINIMAL | {"title": words, "job": words}).startswith(b"%PDF")


def test_controls_and_halves_of_letters_are_replaced() -> None:
    """What a file's name can hold and no font has; a mark behind an escaped one stays as it is."""
    controls = "".join(map(chr, [*range(1, 9), 11, 12, *range(14, 32), *range(127, 160)]))
    assert set(press.text_of({"a": controls + "\udce4"})) == set('{"a": \ufffd}')
    assert press.text_of({"a": "b\\u001b\n\t"}) == '{"a": "b\\\\u001b\\n\\t"}'
    assert press.pdf("plan", MINIMAL | {"title": f"b{controls}", "job": "l\udce4nge"}).startswith(b"%PDF")
