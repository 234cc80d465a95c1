"""A user's own file changed: one command at a time, behind its link, its permissions kept, and whole or not at all."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from cutplan.problems import ProblemsFound, to_be_written
from cutplan.reading.sheets.raw_cells import refuse
from cutplan.unfinished import unfinished

try:
    import fcntl
except ImportError:  # not on Windows, where a file that another command has open cannot be replaced
    fcntl = None  # type: ignore[assignment]


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Wait until no other command changes a file of a folder, and keep others waiting.

    The folder itself is locked: a file that is replaced could not be, and a lock file would be left behind. Where the
    system has no such lock, as on some network shares, nothing is locked.
    """
    handle = None
    if fcntl is not None:
        with suppress(OSError):
            handle = os.open(folder, os.O_RDONLY)
            fcntl.flock(handle, fcntl.LOCK_EX)
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def replace(path: Path, content: bytes, before: bytes | None) -> None:
    """Put new content in the place of a file, or leave everything as it was.

    Parameters
    ----------
    path
        Not a link; see :func:`behind_links`.
    before
        What the file held when it was read; None where there was none.

    Raises
    ------
    ProblemsFound
        When it is open elsewhere, may not be written, or holds something else by now.
    """
    for owner in (path.with_name(f".~lock.{path.name}#"), path.with_name(f"~${path.name}")):
        if owner.exists():
            hint = f"close it and run again; if it is not open anywhere, delete {owner}"
            raise refuse(
                path.name,
                "a file that is open in a spreadsheet program",
                "a file that is closed",
                hint,
                code="file.open",
            )
    temporary = unfinished(path)
    try:
        # Nobody else may read what nobody else may read in the file itself.
        handle = os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666 if before is None else 0o600)
        with open(handle, "wb") as file:
            file.write(content)
            if before is not None:
                _as(file.fileno(), path)
            file.flush()
            os.fsync(file.fileno())
        if (path.read_bytes() if path.exists() else None) != before:
            raise refuse(
                path.name,
                "a file that another program changed meanwhile",
                "a file that nobody else changes",
                code="file.changed",
            )
        os.replace(temporary, path)
    except OSError as error:
        raise _unwritable(path, error) from None
    finally:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)


def _as(handle: int, path: Path) -> None:
    """Owner and permissions of the file that will be replaced."""
    if not os.access(path, os.W_OK):
        raise _unwritable(path, PermissionError("it is read-only"))
    was = path.stat()
    if hasattr(os, "fchown"):
        with suppress(OSError):  # only the system's administrator may give a file away
            os.fchown(handle, was.st_uid, was.st_gid)
        os.fchmod(handle, stat.S_IMODE(was.st_mode))


def _unwritable(path: Path, error: OSError | ValueError) -> ProblemsFound:
    return refuse(
        str(path),
        f"a file that cannot be written ({getattr(error, 'strerror', None) or error})",
        to_be_written(error, "a folder and a file that can be written"),
        code="file.unwritable",
    )


def behind_links(path: Path) -> Path:
    """The file itself, which a link may lead to."""
    try:
        real = Path(os.path.realpath(path))
        if not real.is_symlink():
            return real
    except (OSError, ValueError) as error:
        raise _unwritable(path, error) from None
    raise _unwritable(path, OSError("links that go in circles"))
