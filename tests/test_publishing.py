"""The files of a plan take their places together, also where the process is killed at any step of it."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from cutplan.actions.publishing import NEXT, READY, settle, staged, unsettled
from cutplan.unfinished import PLAN_FILE
from tests.effort import THOROUGH, some

NAMES = ("labels.pdf", "plan.html", "plan.json", "plan.xlsx")
OLD, NEW = ({name: f"{which} {name}" for name in NAMES} for which in ("old", "new"))
OWN = {"notes.txt": "mine"}
"""Lies in the folder and is no file of a plan."""

STEPS = ("os.", "shutil.", "open")
"""Beginnings of the names of the events that Python reports of work on files."""


def begun(folder: Path, earlier: bool = True) -> Path:
    folder.mkdir()
    for name, text in {**OWN, **(OLD if earlier else {})}.items():
        (folder / name).write_text(text)
    return folder


def publish(folder: Path) -> None:
    with staged(folder) as new:
        for name, text in NEW.items():
            (new / name).write_text(text)


def what_is_in(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() if path.is_file() else "a folder" for path in folder.iterdir()}


def after_step(number: int, work: Callable[[], None]) -> bool:
    """Do work in a process of its own that is killed at the n-th step on files; was it still at work then?"""
    child = os.fork()
    if child == 0:
        left = [number]

        def count(event: str, _: object) -> None:
            left[0] -= event.startswith(STEPS)
            if left[0] == 0:
                os.kill(os.getpid(), signal.SIGKILL)

        try:
            sys.addaudithook(count)
            work()
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status)


def test_all_take_their_places(tmp_path: Path) -> None:
    folder = begun(tmp_path / "out")
    publish(folder)
    assert what_is_in(folder) == {**OWN, **NEW}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills forked processes")
@pytest.mark.parametrize("earlier", some([True, False], True))
def test_killed_at_every_step(earlier: bool, tmp_path: Path) -> None:
    """The next to come finds all files of one plan, the old or the new, and nothing else; a plain run skips steps."""
    before, steps, seen = {**OWN, **(OLD if earlier else {})}, 0, set()
    while True:
        folder = begun(tmp_path / str(steps), earlier)
        killed = after_step(steps + 1, lambda folder=folder: publish(folder))  # type: ignore[misc]
        if not killed:
            break
        steps += 1 if THOROUGH else 4
        left = what_is_in(folder)
        if PLAN_FILE in left and left[PLAN_FILE] == NEW[PLAN_FILE]:
            assert {name: left[name] for name in NAMES} == NEW, "no new plan stands beside an old sheet"
        settle(folder)
        found = what_is_in(folder)
        assert found in (before, {**OWN, **NEW}), f"killed at step {steps}"
        seen.add(found == before)
    assert seen == {True, False}
    assert steps > 20


@pytest.mark.thorough
@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills forked processes")
def test_killed_again_while_it_is_settled(tmp_path: Path) -> None:
    steps = 0
    while True:
        folder = begun(tmp_path / str(steps))
        with pytest.MonkeyPatch.context() as patch:
            stop_for_good(patch)
            with pytest.raises(KeyboardInterrupt):
                publish(folder)
        assert unsettled(folder)
        killed = after_step(steps + 1, lambda folder=folder: settle(folder))  # type: ignore[misc]
        settle(folder)
        assert what_is_in(folder) == {**OWN, **NEW}, f"killed at step {steps + 1}"
        if not killed:
            break
        steps += 1
    assert steps > 5


def stop_for_good(patch: pytest.MonkeyPatch) -> None:
    """From the second file that takes its place on, nothing is moved any more: as death has it."""
    real, moved = os.replace, [0]

    def replace(source: Path, target: Path) -> None:
        moved[0] += Path(source).parent.name == READY
        if moved[0] > 1:
            raise KeyboardInterrupt
        real(source, target)

    patch.setattr(os, "replace", replace)


@pytest.mark.parametrize("failing", range(1, len(NAMES) + 1))
@pytest.mark.parametrize("earlier", [True, False])
def test_a_file_that_finds_no_place_takes_the_others_back(
    earlier: bool, failing: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = begun(tmp_path / "out", earlier)
    before = what_is_in(folder)
    real, moved = os.replace, [0]

    def replace(source: Path, target: Path) -> None:
        moved[0] += Path(target).parent == folder and Path(source).parent.name == READY
        if moved[0] == failing and Path(source).parent.name == READY:
            raise PermissionError(13, "in use")
        real(source, target)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(PermissionError):
        publish(folder)
    assert what_is_in(folder) == before


def test_a_file_system_without_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    folder = begun(tmp_path / "out")
    publish(folder)
    assert what_is_in(folder) == {**OWN, **NEW}


def test_a_failure_while_writing_leaves_the_folder_as_it_was(tmp_path: Path) -> None:
    folder = begun(tmp_path / "out")
    before = what_is_in(folder)

    def half() -> None:
        with staged(folder) as new:
            (new / PLAN_FILE).write_text("half")
            raise ValueError("no more")

    with pytest.raises(ValueError, match="no more"):
        half()
    assert what_is_in(folder) == before


def test_what_a_killed_run_never_finished_is_swept(tmp_path: Path) -> None:
    folder = begun(tmp_path / "out")
    (folder / NEXT).mkdir()
    (folder / NEXT / PLAN_FILE).write_text("half")
    assert not unsettled(folder)
    settle(folder)
    assert what_is_in(folder) == {**OWN, **OLD}
