"""The files of a plan take their place together: a folder holds those of one plan, whenever a run is killed.

All are written into a folder beside them, which one rename makes final. From then on the new plan is there: whoever
comes next puts the rest of its files in place, should the run have died meanwhile. What was never made final is swept.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from pathlib import Path

from cutplan.unfinished import PLAN_FILE

NEXT = ".cutplan-next"
"""Files as they are being written."""

READY = ".cutplan-ready"
"""Files that are whole and on disk, on their way to their places."""

EARLIER = "earlier"
"""Inside either: the files that were there before, should one not find its place."""


@contextmanager
def staged(folder: Path, taking_place: AbstractContextManager[object] | None = None) -> Iterator[Path]:
    """Where to write the new files of a folder that is kept to this run; they take their places when the block ends.

    Parameters
    ----------
    taking_place
        Entered when all files are written, left when they are in place: what must happen together with that. Where it
        fails, the folder is as it was.

    Raises
    ------
    OSError
        When a file cannot take its place; the folder is then as it was.
    """
    new = folder / NEXT
    new.mkdir()
    try:
        yield new
        names = _in_order(new)
        for name in names:
            _flush(new / name)
        _keep_earlier(folder, new, names)
        _flush(new)
        final = False
        try:
            with taking_place or nullcontext():
                os.replace(new, folder / READY)
                final = True
                _flush(folder)
                _move(folder / READY, folder)
        except BaseException:
            if final:
                _put_back(folder, names)
            raise
    finally:
        _sweep(folder)


def settle(folder: Path) -> None:
    """After a run that was killed: put the files in place that it had made final, sweep those that it had not.

    The folder is kept to this run.
    """
    if unsettled(folder):
        _move(folder / READY, folder)
    _sweep(folder)


def unsettled(folder: Path) -> bool:
    """Was a run killed, or is one at work, while files take their places?"""
    return (folder / READY).is_dir()


def _move(ready: Path, folder: Path) -> None:
    for name in _in_order(ready):
        os.replace(ready / name, folder / name)
    _flush(folder)


def _in_order(folder: Path) -> list[str]:
    return sorted(set(os.listdir(folder)) - {EARLIER}, key=lambda name: (name == PLAN_FILE, name))


def _keep_earlier(folder: Path, new: Path, names: Sequence[str]) -> None:
    earlier = new / EARLIER
    earlier.mkdir()
    for name in names:
        if not (folder / name).exists():
            continue
        try:
            os.link(folder / name, earlier / name)
        except OSError:  # a file system without links, or no file at all
            shutil.copy2(folder / name, earlier / name)


def _put_back(folder: Path, names: Sequence[str]) -> None:
    """Everything as it was. A new file goes back before the old one takes its place, so that a kill loses neither."""
    ready = folder / READY
    for name in names:
        if not (ready / name).exists():
            os.replace(folder / name, ready / name)
        if (ready / EARLIER / name).exists():
            os.replace(ready / EARLIER / name, folder / name)
    os.replace(ready, folder / NEXT)


def _sweep(folder: Path) -> None:
    shutil.rmtree(folder / NEXT, ignore_errors=True)
    if unsettled(folder) and set(os.listdir(folder / READY)) <= {EARLIER}:
        shutil.rmtree(folder / READY, ignore_errors=True)


def _flush(path: Path) -> None:
    """On disk before what follows; systems that cannot flush a folder do without."""
    if path.is_dir():
        with suppress(OSError):
            handle = os.open(path, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
        return
    with path.open("rb+") as file:
        os.fsync(file.fileno())
