"""What the desk reads of a folder, kept for as long as nothing that it hangs on changes.

A tick changes the ledger, and a page of all jobs follows. Lists are read against the rack, which a tick leaves as it
is: so the ledger counts by its last movement, not by its bytes.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions import checked, lists
from cutplan.actions.rack_found import now
from cutplan.problems import Problem, ProblemsFound
from cutplan.unfinished import PLAN_FILE

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan
    from cutplan.rack.job_events import JobStory

_inputs: ContextVar[Hashable] = ContextVar("inputs", default=None)


@contextmanager
def one_look() -> Iterator[None]:
    """Within, what stands in the folder is looked at once."""
    token = _inputs.set(_looked())
    try:
        yield
    finally:
        _inputs.reset(token)


def _looked() -> Hashable:
    """All that lists are read from: files with their size and time, ledgers by their last movement, and the day."""
    from cutplan.rack.store import is_ledger

    found: list[Hashable] = []
    for path in sorted(Path().rglob("*")):
        if any(part.startswith(".") for part in path.parts) or not path.is_file():
            continue
        if (path.parent / PLAN_FILE).exists() or path.name.endswith("-journal"):  # no lists
            continue
        found.append((path.as_posix(), last_movement(path) if is_ledger(path) else _state(path)))
    return (Path.cwd(), now()[:10], tuple(found))


def _state(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_size, found.st_mtime_ns


def _state_of_ledger(path: Path) -> Hashable:
    """The same, with the counter in the header of a SQLite file: two writes may fall into one beat of the clock.

    https://www.sqlite.org/fileformat2.html, 1.3.9: it is counted up whenever the file is unlocked after a change.
    """
    with path.open("rb") as file:
        return (*_state(path), file.read(28)[24:])


def last_movement(ledger: Path) -> Hashable:
    """The number of the last movement in a ledger; of one that cannot be read its state as a file."""
    return _last_movement(ledger, _state_of_ledger(ledger))


@lru_cache(maxsize=8)
def _last_movement(ledger: Path, state: Hashable) -> Hashable:
    from cutplan.rack.store import open_ledger

    try:
        with open_ledger(ledger, read_only=True) as opened, opened.reading() as db:
            return tuple(db.execute("SELECT max(id) FROM movement").fetchone())
    except ProblemsFound:
        return state


def read_job(parts: Path | Sequence[Path], **said: Any) -> Job:
    """As :func:`cutplan.actions.read_job`; within :func:`one_look` what was read before is not read again."""
    as_of = _inputs.get()
    if as_of is None:
        return lists.read_job(parts, **said)
    key = parts if isinstance(parts, Path) else tuple(parts)
    found = _read(key, tuple(sorted(said.items())), as_of)
    if isinstance(found, tuple):
        raise ProblemsFound(found)
    return found


@lru_cache(maxsize=64)
def _read(
    parts: Path | tuple[Path, ...], said: tuple[tuple[str, Any], ...], as_of: Hashable
) -> Job | tuple[Problem, ...]:
    try:
        return lists.read_job(parts, **dict(said))
    except ProblemsFound as found:
        return found.problems


def lists_here() -> tuple[Path, ...]:
    """The parts lists of the folder that is worked in; asked within :func:`one_look`."""
    return _lists(_inputs.get())


@lru_cache(maxsize=1)
def _lists(as_of: Hashable) -> tuple[Path, ...]:
    from cutplan import reading

    return reading.parts_lists_in(Path())[0]


def as_it_says(plan_file: Path) -> tuple[Job, Plan]:
    """As :func:`cutplan.actions.checked.as_it_says`."""
    return _said(plan_file, Path.cwd(), _state(plan_file))


@lru_cache(maxsize=16)
def _said(plan_file: Path, here: Path, state: tuple[int, int]) -> tuple[Job, Plan]:
    return checked.as_it_says(plan_file)


def stories_of(rack: Rack) -> tuple[JobStory, ...]:
    """Every job that a ledger knows of; none where there is no ledger yet."""
    if not rack.path.exists():
        return ()
    return _stories(rack.path.absolute(), _state_of_ledger(rack.path))


@lru_cache(maxsize=4)
def _stories(ledger: Path, state: Hashable) -> tuple[JobStory, ...]:
    from cutplan.rack.job_events import stories
    from cutplan.rack.store import open_ledger

    with open_ledger(ledger, read_only=True) as opened, opened.reading() as db:
        return stories(db)
