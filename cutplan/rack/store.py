"""The file that a ledger is: opening, locking, checking and bringing it up to date; what can go wrong, in words.

Settings: a rollback journal (a write-ahead log fails on network shares), ``synchronous=EXTRA`` so that the journal's
end is on disk too before a command returns, one writer at a time from ``BEGIN IMMEDIATE`` on.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import ClassVar
from urllib.parse import quote

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.list_shares import locks_work, on_network
from cutplan.rack.migrations import FIRST_SEALED, STEPS, VERSION, schema_due, schema_of, statements
from cutplan.rack.seals import broken_seal, seal_all
from cutplan.rack.waiting import SOMEBODY, holder, patiently
from cutplan.unfinished import unfinished

APPLICATION_ID = 0x7261636B
"""Stands in the header of every ledger, so that another program's file is not taken for one."""

PATIENCE_MS = 60_000
"""How long a command waits for another one that is writing. Who asks for a lock does not stand in a queue: of eight at
work without a pause one may have to ask for long, on a slow disk for more than ten seconds."""


def wait_at_most(milliseconds: int) -> None:
    """Let this process wait no longer than that for others: behind it somebody waits for an answer."""
    global PATIENCE_MS
    PATIENCE_MS = milliseconds


_MAGIC = b"SQLite format 3\x00"
_HEADER = 100
ACCEPTED = "a ledger of cutplan, sound and of this version or an earlier one"
RESTORE = "put a backup back: cutplan rack restore BACKUP"


class Ledger:
    """An open ledger. Use it as a context; ``db`` is for this room alone.

    ``written`` counts the actions that this process has written, into any ledger: who is stopped on the way out can
    then be told whether it was done.
    """

    written: ClassVar[int] = 0

    def __init__(self, path: Path, db: sqlite3.Connection) -> None:
        self.path, self.db = path, db

    def __enter__(self) -> Ledger:
        return self

    def __exit__(self, kind: object = None, error: BaseException | None = None, *_: object) -> None:
        """Close. What went wrong for no known reason while the ledger is damaged went wrong because it is."""
        try:
            if isinstance(error, Exception) and not isinstance(error, ProblemsFound):
                what = unsound(self.db)
                if what:
                    raise damaged(self.path, what) from error
        finally:
            self.db.close()

    @contextmanager
    def changing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: on disk as a whole when the block ends, or nothing of it."""
        with refusals_named(self.path):
            patiently(self.db, self.path, lambda: self.db.execute("BEGIN IMMEDIATE"))
            before: int | None = None
            try:
                before = self._actions()
                yield self.db
                patiently(self.db, self.path, lambda: self.db.execute("COMMIT"), readers=True)
            except BaseException:
                with suppress(sqlite3.Error):
                    self.db.execute("ROLLBACK")
                raise
            finally:
                if before is not None:
                    with suppress(sqlite3.Error):
                        Ledger.written += self._actions() - before

    def _actions(self) -> int:
        (number,) = self.db.execute("SELECT coalesce(max(id), 0) FROM action").fetchone()
        return int(number)

    @contextmanager
    def rehearsed(self) -> Iterator[sqlite3.Connection]:
        """One transaction of which nothing is kept: to see what a change would lead to."""
        with refusals_named(self.path):
            patiently(self.db, self.path, lambda: self.db.execute("BEGIN IMMEDIATE"))
            try:
                yield self.db
            finally:
                if self.db.in_transaction:  # SQLite takes all back by itself where the disk is full
                    self.db.execute("ROLLBACK")

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One look at the ledger: what another program writes meanwhile is not seen. Inside a change, part of it."""
        if self.db.in_transaction:
            yield self.db
            return
        with refusals_named(self.path):
            self.db.execute("BEGIN")
            try:
                patiently(self.db, self.path, lambda: _version(self.db))  # a look begins with the first thing read
                yield self.db
            finally:
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")


def open_ledger(path: Path, *, create: bool = False, read_only: bool = False) -> Ledger:
    """Open a ledger, checked, and brought to this version after a backup.

    Parameters
    ----------
    path
        The file.
    create
        Make it where there is none.
    read_only
        Only look; a file of an earlier version is then brought up to date all the same, which must be possible.

    Raises
    ------
    ProblemsFound
        When there is none, it is no ledger, is damaged, from a newer version, in use or cannot be written.
    """
    with refusals_named(path):
        new = _is_new(path)
        if new and not create:
            raise _problem(
                path, "no ledger", "a ledger", "cutplan rack add makes one with the first piece", code="ledger.missing"
            )
        if not new:
            version = _header_version(path)
            if version > VERSION:
                raise _problem(
                    path,
                    f"a ledger of version {version}, written by a newer cutplan",
                    f"a ledger up to version {VERSION}",
                    "use the newer cutplan; nothing was changed",
                    code="ledger.version",
                )
            read_only = read_only and version == VERSION
        if not read_only and on_network(path) and not locks_work(path.absolute().parent):
            raise _problem(
                path,
                "a network share on which a lock is not seen by others, so that two commands at once could spoil it",
                "a folder of this computer, or a share whose locks work",
                "name another place with --ledger, or with files.ledger in the workshop file",
                code="ledger.share",
            )
        try:
            if read_only:
                _take_back_half_work(path)
            db = _opened(path, new=new, read_only=read_only)
        except (sqlite3.Error, UnicodeDecodeError) as error:
            # Nothing but plain statements of this program ran: what is neither busy nor in the way is damage.
            raise _known_refusal(path, error) or damaged(path, str(error)) from error
    return Ledger(path, db)


def _opened(path: Path, *, new: bool, read_only: bool) -> sqlite3.Connection:
    db = _connect(path, read_only)
    try:
        if not new:
            check_sound(db, path)
        if not read_only:
            _bring_up_to_date(db, path)
    except BaseException:
        db.close()
        raise
    return db


def _take_back_half_work(path: Path) -> None:
    """Let SQLite take back what a killed command left half written: who only reads is not allowed to.

    A journal that belongs to a command at work is left to it; its lock says so.
    """
    journal = path.with_name(path.name + "-journal")
    if not journal.exists():
        return
    db = _connect(path, read_only=False)
    try:
        db.execute("SELECT count(*) FROM sqlite_master")
    finally:
        db.close()


def unsound(db: sqlite3.Connection) -> str:
    """What is wrong with the pages or the rows of an open ledger; blank where nothing is."""
    try:
        found = [str(row[0]) for row in db.execute("PRAGMA integrity_check(3)") if row[0] != "ok"]
        if found:
            return " ".join("; ".join(found).split())
        if schema_of(db) != schema_due():
            return "its tables are not those of a ledger"
        broken = broken_seal(db)
        return "" if broken is None else f"action {broken} is not as it was written"
    except Exception as error:  # whatever it is, the rows could not be read
        return str(error)


def is_ledger(path: Path) -> bool:
    """Is this file a SQLite file, whatever its name? A list is a csv or a workbook, which start otherwise."""
    try:
        with path.open("rb") as file:
            return file.read(len(_MAGIC)) == _MAGIC
    except (OSError, ValueError):
        return False


def check_sound(db: sqlite3.Connection, path: Path) -> None:
    """Refuse a file that is damaged."""
    found = [str(row[0]) for row in db.execute("PRAGMA quick_check(3)")]
    if found != ["ok"]:
        raise damaged(path, "; ".join(" ".join(line.split()) for line in found))


def damaged(path: Path, what: str) -> ProblemsFound:
    """A file that cannot be trusted any more."""
    return _problem(path, f"a damaged ledger ({what})", "a sound ledger", RESTORE, code="ledger.damaged")


def _is_new(path: Path) -> bool:
    """No file, or an empty one, as a first command that was cut short leaves it."""
    try:
        return path.stat().st_size == 0
    except FileNotFoundError:
        return True


def _header_version(path: Path) -> int:
    """The version in the header; refuses what is no ledger before SQLite opens it for writing."""
    with path.open("rb") as file:
        header = file.read(_HEADER)
    if len(header) < _HEADER or not header.startswith(_MAGIC):
        raise _problem(path, "a file that is no ledger", ACCEPTED, code="ledger.other_file")
    version, application = (int.from_bytes(header[at : at + 4], "big") for at in (60, 68))
    journal = path.with_name(path.name + "-journal")
    if application == 0 and version == 0 and journal.exists():
        return 0  # the first command was cut short; SQLite takes its half written tables back
    if application != APPLICATION_ID:
        raise _problem(
            path,
            "a SQLite file of another program",
            ACCEPTED,
            "name the ledger meant with --ledger",
            code="ledger.other_file",
        )
    return version


def _connect(path: Path, read_only: bool) -> sqlite3.Connection:
    if not read_only:
        _begin(path)
    name = f"file:{quote(os.fsencode(path.absolute()))}?mode={'ro' if read_only else 'rwc'}"
    db = sqlite3.connect(name, uri=True, timeout=PATIENCE_MS / 1000, isolation_level=None)
    try:
        patiently(db, path, lambda: _set_up(db))
    except BaseException:
        db.close()
        raise
    return db


def _set_up(db: sqlite3.Connection) -> None:
    for setting in ("foreign_keys = ON", "trusted_schema = OFF", "cell_size_check = ON", "synchronous = EXTRA"):
        db.execute(f"PRAGMA {setting}")
    _version(db)  # whoever is in the way is in the way here already


def _begin(path: Path) -> None:
    """Make a file with what the user's mask leaves of its permissions; SQLite would not let a group write, ever."""
    with suppress(OSError):  # SQLite meets the same, and what it says is reported
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o666))


def _bring_up_to_date(db: sqlite3.Connection, path: Path) -> None:
    """Run the steps that are missing in one transaction; a ledger with something in it is backed up first."""
    if _version(db) == VERSION:
        return
    db.execute("PRAGMA journal_mode = DELETE")
    patiently(db, path, lambda: db.execute("BEGIN IMMEDIATE"))
    try:
        version = _version(db)
        if version > 0 and version != VERSION:
            _copy_before_step(path, version)
        for step in STEPS[version:]:
            for statement in statements(step):
                db.execute(statement)
        if version < FIRST_SEALED:
            seal_all(db)
        db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        db.execute(f"PRAGMA user_version = {VERSION}")
        db.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            db.execute("ROLLBACK")
        raise


def _version(db: sqlite3.Connection) -> int:
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def _copy_before_step(path: Path, version: int) -> None:
    """The file as it is, beside it, named after its version; the lock held keeps it still meanwhile."""
    copy = path.with_name(f"{path.name}.version-{version}")
    if not copy.exists():
        source = _connect(path, read_only=True)
        try:
            save_copy(source, copy)
        finally:
            source.close()


def save_copy(source: sqlite3.Connection, target: Path) -> None:
    """Copy an open ledger to a new file that is whole and on disk, or not there."""
    half = unfinished(target)
    try:
        _begin(half)
        copy = sqlite3.connect(half)
        try:
            source.backup(copy)
        finally:
            copy.close()
        with half.open("rb+") as file:
            os.fsync(file.fileno())
        os.replace(half, target)
    finally:
        half.unlink(missing_ok=True)


@contextmanager
def refusals_named(path: Path) -> Iterator[None]:
    """Turn what SQLite or the system refuses into a Problem."""
    try:
        yield
    except sqlite3.Error as error:
        raise _known_refusal(path, error) or error from error
    except OSError as error:
        raise _problem(
            path,
            f"a file that cannot be used ({error.strerror or error})",
            "a ledger in a folder that can be read and written",
            "name another place with --ledger",
            code="ledger.unusable",
        ) from error


def _known_refusal(path: Path, error: Exception) -> ProblemsFound | None:
    """What SQLite refuses, in words; None where that says nothing a user could act on."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return _problem(
            path,
            f"a ledger that {holder(path, readers=True) or SOMEBODY} has held for {PATIENCE_MS // 1000} seconds",
            "a ledger that is free within that time",
            "wait for the other program, or close it; nothing was changed",
            code="ledger.busy",
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN):
        return _problem(
            path,
            f"a ledger or a folder that cannot be written ({error})",
            "a ledger in a folder that can be written, because its journal lies beside it",
            "nothing was changed; allow writing there, or name another place with --ledger",
            code="ledger.unusable",
        )
    if code == sqlite3.SQLITE_FULL:
        return _problem(
            path,
            "a disk that is full",
            "room for the ledger and its journal",
            "nothing was changed; make room",
            code="file.disk",
        )
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return damaged(path, str(error))
    if code == sqlite3.SQLITE_IOERR:
        return _problem(
            path,
            f"a disk that fails or is full ({error})",
            "a disk that can be written",
            "nothing was changed; make room, look at the disk, and run cutplan rack verify",
            code="file.disk",
        )
    return None


def _problem(path: Path, found: str, accepted: str, hint: str = "", *, code: str) -> ProblemsFound:
    return ProblemsFound(
        [Problem(where=str(path), found=found, accepted=accepted, hint=hint, found_is_text=False, code=code)]
    )
